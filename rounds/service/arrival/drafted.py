"""A delivery that is being looked at: in a logbook of its own beside the grower's, until decided.

Its plants are not entered yet. Each key of the round is on disk there as it is in any round, and
what the looks say is told by the same sums. Taken, plants and looks are copied, and the file goes.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from datetime import date
from pathlib import Path

from rounds import words
from rounds.core.collection import Place, Plant
from rounds.core.log.effective import EffectiveLook
from rounds.core.log.entries import Look, Sign, Tally
from rounds.core.plan.claims import Claim
from rounds.errors import Refused
from rounds.service.arrival.arrive import Arrived, judge
from rounds.service.arrival.delivery import Delivery
from rounds.service.arrival.enter import checked, enter
from rounds.service.arrival.opening import opening_of
from rounds.service.collection.next_code import next_codes
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.entries.corrections import settle
from rounds.service.entries.looks import round_of_entries
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment, local_noon, now
from rounds.service.plan.today import GAIN, DayPlan, PlannedPlant
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import seen_status
from rounds.service.plant.zones import PlannedZone
from rounds.service.round import RoundWalk, begin, is_under_way, resume
from rounds.store import desk, log
from rounds.store.signs import append_sign

DELIVERY = "delivery"
"""The setting of the draft that holds what was said of the delivery."""

NOT_TAKEN_ALONG = ("second-looks",)
"""Settings of the grower's logbook that the draft has not: pairs of looks stay with no plant."""


def draft_path(logbook: Logbook) -> Path:
    """Where the draft of a logbook lies, if there is one."""
    return logbook.file.path.with_name(f"{logbook.file.path.name}.delivery")


def is_drafted(logbook: Logbook) -> bool:
    """Whether a delivery is being looked at."""
    return draft_path(logbook).exists()


class Draft:
    """A delivery that is being looked at, opened; `close` lets go of its file."""

    def __init__(self, logbook: Logbook) -> None:
        """LogbookUnusable where the file cannot be opened."""
        self._real = logbook
        self._book = Logbook(draft_path(logbook), logbook.clock)
        self._book.parameters = logbook.parameters_on(logbook.clock.today())
        said = json.loads(self._book.setting(DELIVERY) or "{}")
        lists = {name: tuple(value) for name, value in said.items() if isinstance(value, list)}
        self.delivery = Delivery(**{**said, **lists})

    @property
    def day(self) -> date:
        """The day the delivery came."""
        return self._plants[0].first_day

    def close(self) -> None:
        """Let go of the file."""
        self._book.close()

    def forget(self) -> None:
        """Delete it."""
        self.close()
        _remove(draft_path(self._real))

    # looking

    def to_look_at(self) -> list[PlantRecord]:
        """Those to be opened that nobody has looked at yet, in their order."""
        return [record for record in self._opened() if record.last_look_on is None]

    def opened(self) -> tuple[int, int]:
        """How many were looked at, and how many are to be."""
        return len(self._opened()) - len(self.to_look_at()), len(self._opened())

    def walk(self, who: str | None) -> RoundWalk:
        """The look at those to be opened, plant by plant and zone by zone; gone on with if begun.

        Refused where all were looked at.
        """
        today = self._book.clock.today()
        under_way = is_under_way(self._book, today)
        if under_way is not None:
            walk = resume(self._book, under_way, who, take_over=True)
        else:
            waiting = self.to_look_at()
            if not waiting:
                raise Refused("delivery-seen")
            walk = begin(self._book, _plan(waiting, today), who)
        walk.is_of_delivery = True
        return walk

    # deciding

    def judged(self) -> Arrived:
        """What is advised, by all that was looked at so far."""
        of = checked(self._book, self.day, replace(self.delivery, opened=None))
        return judge(self._book, self._book.clock.today(), of, self._plants)

    def take(self, who: str | None) -> tuple[Plant, ...]:
        """Enter the plants, with their looks, and forget the draft; the plants.

        BadInput where there is no place for them by now, or a code is taken.
        """
        drafted = self._plants
        codes = tuple(plant.code for plant in drafted)
        day = self.day
        with self._real.file.writing():
            moment = _moment_on(self._real, day, who)
            wanted = replace(self.delivery, codes=codes, opened=0)
            of = checked(self._real, day, wanted)
            # plants of that name may have come from there before, on the same day
            plants = enter(self._real, moment, replace(of, known=()))
            collection = CollectionDay(self._book, self._book.clock.today())
            for draft, plant in zip(drafted, plants, strict=True):
                _copy_looks(self._real, collection.record(draft.id), plant, who)
        self.forget()
        return plants

    @property
    def _plants(self) -> list[Plant]:
        return list(self._book.collection().plants.values())

    def _opened(self) -> list[PlantRecord]:
        day = CollectionDay(self._book, self._book.clock.today())
        count = self.delivery.opened or 0
        return [day.record(plant.id) for plant in self._plants[:count]]


def draft(logbook: Logbook, delivery: Delivery, who: str | None = None) -> Draft:
    """Begin to look at a delivery of today, in place of one begun before.

    As many are opened as are said, or as are to be. BadInput where it cannot be so.
    """
    moment = now(logbook.clock, who)
    of = checked(logbook, moment.day, replace(delivery, opened=delivery.opened or 0))
    if delivery.opened is None:
        opening = opening_of(logbook, moment.day, delivery.units, of.form, of.size)
        delivery = replace(delivery, opened=opening.open_units)
    taken = [plant.code for plant in logbook.collection().plants.values()]
    codes = delivery.codes or tuple(next_codes(taken, delivery.units))
    path = draft_path(logbook)
    _remove(path)
    with Logbook(path, logbook.clock) as book, book.file.writing():
        for name, value in desk.settings(logbook.file):
            if name not in NOT_TAKEN_ALONG:
                book.put_setting(name, value)
        book.put_setting("second-looks", "off")
        delivery = replace(delivery, place=of.room.name if of.room else None)
        book.put_setting(DELIVERY, json.dumps(asdict(delivery)))
        _fill(book, moment, delivery, codes, of.room)
    return Draft(logbook)


def _fill(
    book: Logbook, moment: Moment, delivery: Delivery, codes: Sequence[str], room: Place | None
) -> None:
    """Enter the plants: those to be opened where they will stand, the others out of their reach.

    A find lets plants nearby join the round, and nobody opens those here.
    """
    name = room.name if room else delivery.source
    details = PlaceDetails(
        apart=room is not None and room.apart(moment.day),
        usual_c=room.usual_c(moment.day) if room else None,
    )
    closed = words.say("arrival.unopened", place=name)
    for place in (name, closed):
        put_place(book, moment, place, details)
    for units, place in ((delivery.opened or 0, name), (delivery.units, closed)):
        if units:
            part = replace(delivery, units=units, codes=tuple(codes[:units]), place=place, opened=0)
            enter(book, moment, checked(book, moment.day, part))


def _remove(path: Path) -> None:
    """Delete a logbook, with what SQLite keeps beside it."""
    for ending in ("", "-wal", "-shm"):
        path.with_name(f"{path.name}{ending}").unlink(missing_ok=True)


def _plan(records: Sequence[PlantRecord], on: date) -> DayPlan:
    """Each plant zone by zone, a full look at each."""
    planned = tuple(_planned(record, at) for at, record in enumerate(records, 1))
    seconds = sum(plant.planned_seconds for plant in planned)
    return DayPlan(on=on, minutes=seconds / 60, plan=planned, left_out=())


def _planned(record: PlantRecord, position: int) -> PlannedPlant:
    zones = tuple(PlannedZone(z.zone, z.reference_seconds) for z in record.body.outside)
    return PlannedPlant(
        position=position,
        status=seen_status(record),
        hygiene_stop_before=False,
        zones=zones,
        whole_plant=False,
        steps=tuple((zone.zone,) for zone in zones),
        claim=_claimed(record.claim_seen),
        owed_seconds=sum(zone.planned_seconds for zone in zones),
        short=None,
        handling_seconds=0.0,
        overhead_seconds=0.0,
        spared_seconds=0.0,
    )


def _claimed(claim: Claim) -> str:
    return claim.code if claim.is_due else GAIN


def _moment_on(logbook: Logbook, day: date, who: str | None) -> Moment:
    """This instant where the day is today; noon of a day past."""
    present = now(logbook.clock, who)
    return present if present.day == day else local_noon(day, who)


def _copy_looks(logbook: Logbook, drafted: PlantRecord, plant: Plant, who: str | None) -> None:
    """Write the looks that stand of a plant of the draft, with all that was seen at them."""
    for look in drafted.log:
        moment = _moment_on(logbook, look.day, who)
        round_id = round_of_entries(logbook, moment, "entered")
        look_id = logbook.file.next_id()
        log.append_look(
            logbook.file,
            Look(
                look_id, look.day, plant.id, look.zone, round_id, look.began_at, look.seconds,
                look.outcome, look.reason, look.unpotted,
            ),
        )  # fmt: skip
        for tally, verdict in _tallies(logbook, look, plant, look_id):
            log.append_tally(logbook.file, tally)
            if verdict is not None:
                name = EntryName("tally", tally.day, plant.id, tally.id)
                settle(logbook, moment, str(name), verdict)
        for sign in look.signs:
            entry = logbook.file.next_id()
            at_ms = look.began_at * 1000
            append_sign(logbook.file, Sign(entry, look.day, plant.id, look_id, at_ms, sign.kind))


def _tallies(
    logbook: Logbook, look: EffectiveLook, plant: Plant, look_id: int
) -> Iterator[tuple[Tally, str | None]]:
    """The counts of a look for its copy, each with what a doubt was settled as."""
    for tally in look.tallies:
        copied = Tally(
            logbook.file.next_id(), look.day, plant.id, look_id, tally.at_ms, tally.kind,
            tally.stage, tally.pest, tally.count,
        )  # fmt: skip
        yield copied, tally.settled_as

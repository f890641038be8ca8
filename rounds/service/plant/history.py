"""All that was ever entered about one plant, taken back or not, as its page shows it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from rounds.core.log.effective import Standing, StandingLook, StandingTally
from rounds.core.log.entries import LIVE_KINDS, Look, OpenLook, PlantEntries, StageGiven, Tally
from rounds.core.quarantine.days import credited_seconds
from rounds.errors import BadInput
from rounds.errors import Place as Where
from rounds.service.collection.plants import moves_of
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.plant.life import (
    DividedFrom,
    DividedInto,
    Gone,
    Repotted,
    SignMade,
    TimeApart,
    came_from,
    divisions,
    gone,
    repottings,
    signs_made,
    times_apart,
)
from rounds.service.plant.record import PlantRecord
from rounds.store import walks


@dataclass(frozen=True, slots=True)
class ZoneSeen:
    """A zone of the plant as it is now, top to bottom."""

    zone: str
    weight: float
    tucked_share: float
    reference_seconds: float
    last_look_on: date | None
    probably_left: float | None
    """mean number; None while it is not worked out"""


@dataclass(frozen=True, slots=True)
class TallyEntered:
    """One count. `withdrawn` also where its look was taken back."""

    id: str
    kind: str
    stage: str | None
    count: int
    withdrawn: bool
    settled_as: str | None


@dataclass(frozen=True, slots=True)
class LookMade:
    """One look with what of its counts stands; `tallies` are all that were entered.

    A doubt that was alive counts as left there; one that was not is in no count.
    """

    id: str
    day: date
    zone: str
    seconds: float
    credited_seconds: float
    outcome: str
    unpotted: bool
    found: int
    removed: int
    killed: int
    left: int
    doubtful: int
    who: str | None
    withdrawn: bool
    tallies: tuple[TallyEntered, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """The plant was put somewhere."""

    on: date
    place: str
    spot: str | None
    id: str


@dataclass(frozen=True, slots=True)
class PlantHistory:
    """Everything behind the status of a plant, oldest first."""

    zones: tuple[ZoneSeen, ...]
    looks: tuple[LookMade, ...]
    periods: tuple[TimeApart, ...]
    moves: tuple[Moved, ...]
    signs: tuple[SignMade, ...]
    repotted: tuple[Repotted, ...]
    divided: tuple[DividedInto, ...]
    divided_from: DividedFrom | None
    gone: Gone | None


def history_of(record: PlantRecord) -> PlantHistory:
    """The history of a plant at the end of the day of its record. BadInput before it came."""
    plant, on = record.plant, record.on
    if on < plant.first_day:
        raise BadInput(
            "plant-not-yet",
            code=plant.code,
            day=on,
            first=plant.first_day,
            places=[Where(argument="--on")],
        )
    return PlantHistory(
        zones=zones_seen(record, record.likely.left_by_zone),
        looks=looks_made(record),
        periods=tuple(times_apart(plant, on)),
        moves=tuple(_moves(record)),
        signs=tuple(signs_made(record)),
        repotted=tuple(repottings(plant, on)),
        divided=tuple(divisions(record)),
        divided_from=came_from(record),
        gone=gone(plant, on),
    )


def zones_seen(record: PlantRecord, left: Mapping[str, float]) -> tuple[ZoneSeen, ...]:
    """Every zone of the plant as it is now, when it was last looked at, what is `left` there."""
    last: dict[str, date] = {}
    for look in record.log:
        if look.outcome == "looked" or look.counted():
            last[look.zone] = look.day
    return tuple(
        ZoneSeen(
            zone.zone,
            zone.weight,
            zone.tucked_share,
            zone.reference_seconds,
            last.get(zone.zone),
            left.get(zone.zone),
        )
        for zone in record.body.zones
    )


def looks_made(record: PlantRecord) -> tuple[LookMade, ...]:
    """Every look entered up to the day, also those taken back, oldest first."""
    entries = record.entries
    entered: tuple[Look | OpenLook, ...] = (*entries.looks, *entries.open_looks)
    made = [look for look in entered if look.day <= record.on]
    rounds = sorted({look.round_id for look in made})
    who = walks.who_by_round(record.logbook.file, rounds)
    shelf = _TallyShelf(entries, record.on, {look.id for look in made})
    standing = {look.id: look for look in record.log}
    return tuple(
        _look_made(record, look, standing.get(look.id), who[look.round_id], shelf)
        for look in sorted(made, key=lambda look: (look.day, look.id))
    )


def _look_made(
    record: PlantRecord,
    look: Look | OpenLook,
    standing: StandingLook | None,
    who: str | None,
    shelf: "_TallyShelf",
) -> LookMade:
    counts = _counts(standing.tallies if standing else ())
    return LookMade(
        id=str(EntryName("look", look.day, look.plant_id, look.id)),
        day=look.day,
        zone=look.zone,
        seconds=look.seconds,
        credited_seconds=_credited(record, standing),
        outcome=look.outcome if isinstance(look, Look) else "partial",
        unpotted=look.unpotted,
        found=counts["removed"] + counts["killed"] + counts["left"],
        removed=counts["removed"],
        killed=counts["killed"],
        left=counts["left"],
        doubtful=counts["doubtful"],
        who=who,
        withdrawn=standing is None,
        tallies=shelf.of(look.id),
    )


def _credited(record: PlantRecord, standing: StandingLook | None) -> float:
    """Nothing for a look taken back, nor for a zone the plant no longer had that day."""
    if standing is None:
        return 0.0
    for zone in record.body_on(standing.day).zones:
        if zone.zone == standing.zone:
            inspection = record.logbook.parameters.inspection
            return credited_seconds(standing, zone.reference_seconds, inspection)
    return 0.0


def _counts(tallies: Iterable[StandingTally]) -> dict[str, int]:
    counts = dict.fromkeys(("removed", "killed", "left", "doubtful"), 0)
    for tally in tallies:
        if tally.kind in LIVE_KINDS or tally.is_open_doubt:
            counts[tally.kind] += tally.count
        elif tally.is_live:
            counts["left"] += tally.count
    return counts


class _TallyShelf:
    """All counts of a plant, each under the look that holds it or held it last."""

    def __init__(self, entries: PlantEntries, on: date, looks: set[int]) -> None:
        self._standing = Standing(w for w in entries.withdrawals if w.day <= on)
        self._stages = _stages(entries.stages, self._standing, on)
        self._by_look: dict[int, list[TallyEntered]] = defaultdict(list)
        for tally in sorted(entries.tallies, key=lambda tally: tally.id):
            if tally.day <= on:
                holder = self._standing.holder(tally.look_id, looks)
                self._by_look[holder].append(self._entered(tally))

    def of(self, look_id: int) -> tuple[TallyEntered, ...]:
        """The counts under one look, in the order they were made."""
        return tuple(self._by_look[look_id])

    def _entered(self, tally: Tally) -> TallyEntered:
        stands = self._standing.stands(tally.id)
        return TallyEntered(
            id=str(EntryName("tally", tally.day, tally.plant_id, tally.id)),
            kind=tally.kind,
            stage=self._stages.get(tally.id, tally.stage),
            count=tally.count,
            withdrawn=not stands or self._standing.heir(tally.look_id) is None,
            settled_as=self._standing.verdict(tally.id) if tally.kind == "doubtful" else None,
        )


def _stages(given: Iterable[StageGiven], standing: Standing, on: date) -> dict[int, str]:
    return {
        stage.tally_id: stage.stage
        for stage in sorted(given, key=lambda stage: stage.id)
        if stage.day <= on and standing.stands(stage.id)
    }


def _moves(record: PlantRecord) -> Iterable[Moved]:
    places = record.logbook.collection().places
    for move in moves_of(record.plant, record.on):
        name = str(EntryName("move", move.day, move.plant_id, move.id))
        yield Moved(move.day, places[move.place_id].name, move.spot, name)

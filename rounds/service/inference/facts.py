"""What the inference is told of a plant: its looks, where it stood, what its mates tell."""

from collections.abc import Generator, Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import cached_property
from typing import Protocol

from rounds.core.collection import Place, Plant
from rounds.core.inference.facts import Division, Mate, PlantFacts, begins_on, chance_infested
from rounds.core.parameters import Parameters
from rounds.core.quarantine.interval import USUAL_LOOKS
from rounds.service.courses.standing import treated
from rounds.service.inference.kept import dated, kept_or_worked_out, kept_together, knows
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord

Arrival = tuple[str, str]
"""The day some plants came, and where from: those of no named source came with nobody."""

TOLD_TO = 6
"""decimals of the chance told by mates, so that what one look more would hardly move stays kept"""


def facts_of(
    record: PlantRecord,
    pest: str,
    told: float | None,
    neighbours: Mapping[date, float],
    until: date | None = None,
) -> PlantFacts:
    """All that the evidence of a plant rests on, for one pest.

    Args:
        record: the plant at the end of a day.
        pest: by code.
        told: chance that it came infested by what those it came with tell; None without any.
        neighbours: crawlers expected from infested plants near it, by day.
        until: the last day whose looks are read; that of the record by default.
    """
    until = until or record.on
    plant, logbook = record.lived, record.logbook
    places = logbook.collection().places
    first = read_from(record, pest, until)
    return PlantFacts(
        looks=tuple(look for look in record.looks_from(first) if look.day <= until),
        body_on=record.body_on,
        range_c=lambda day: record.temperatures.range_c(plant, day),
        apart=lambda day: stood_apart(plant, day, places),
        first_day=record.since(pest),
        arrived=_came_with_it(record, pest),
        pest=pest,
        chance_infested=told,
        neighbours=neighbours,
        divisions=tuple(_divisions(record, first)),
        treated=treated(record, until, pest),
        insects_seen=record.insects_seen_on == record.since(pest),
    )


def read_from(record: PlantRecord, pest: str, until: date) -> date:
    """The first day of which any look is read, for what the log says at the end of a day.

    The inference begins at a day of its own; doubts of shortly before it may still count, and how
    long looks usually take is told by the last few complete ones, however old.
    """
    parameters, known = record.table, record.of_pest(pest)
    begins = begins_of(record, pest, until)
    complete = [d.day for d in known.days if d.complete and d.day <= until][-USUAL_LOOKS:]
    doubts = timedelta(days=parameters.inspection.doubts_within_days)
    return max(record.since(pest), min([begins - doubts, *complete[:1]]))


def read_from_arrival(record: PlantRecord, pest: str) -> bool:
    """Whether the log of a plant that came is read from the very day, so that its start matters."""
    return _came_with_it(record, pest) and begins_of(record, pest) == record.lived.first_day


def _came_with_it(record: PlantRecord, pest: str) -> bool:
    """Whether a plant came new, and is followed for a pest from that day on."""
    if record.since(pest) > record.lived.first_day:
        return False
    return record.lived.fact("arrived", record.on) is not None


def tells_its_mates(record: PlantRecord, pest: str) -> bool:
    """Whether anything was seen of a plant since the day it came, so that its start is told."""
    is_seen = record.insects_seen_on is not None or record.last_look_on is not None
    return is_seen and pest in record.pests and read_from_arrival(record, pest)


def begins_of(record: PlantRecord, pest: str, until: date | None = None) -> date:
    """The first day the sums read, for the end of the day of the record or of an earlier one."""
    until = until or record.on
    live_on = [day for day in record.of_pest(pest).live_on if day <= until]
    return begins_on(live_on, record.since(pest), until, record.table.infestation)


def _divisions(record: PlantRecord, first: date) -> Iterator[Division]:
    """Every division in the life of a plant up to the day, with the looks made before it."""
    for divided in record.divisions:
        before = record.looks_before(divided.day, divided.entry, max(first, divided.day))
        earlier = tuple(sorted(look.id for look in before if look.day == divided.day))
        yield Division(divided.day, 1 / divided.parts, earlier)


def stood_apart(plant: Plant, day: date, places: Mapping[int, Place]) -> bool:
    """Whether it stood where fewer insects come by: in quarantine, or at a place apart."""
    if plant.quarantine(day) is not None:
        return True
    move = plant.move_on(day)
    return move is not None and places[move.place_id].apart(day)


class DayOfMates(Protocol):
    """What `Company` asks of the day."""

    logbook: Logbook
    on: date
    kept_as: str

    @property
    def parameters(self) -> Parameters:
        """The table, with what the grower is known to find."""

    @property
    def came(self) -> Mapping[int, PlantRecord]:
        """All plants that came up to the day, by id."""

    def arrivals(self, record: PlantRecord, pest: str) -> Mapping[date, float]:
        """Crawlers expected from infested neighbours, by day."""

    def key_without_mates(self, record: PlantRecord, pest: str) -> str:
        """Digest of all that a result rests on, but for what those tell that came along."""


class Company:
    """What plants that came together tell of each other.

    Of a mate only its log counts, whatever is supposed of its own start, and what is reckoned to
    come from neighbours rests on no mates either: so nothing goes in a circle.
    """

    def __init__(self, day: DayOfMates) -> None:
        self._day = day
        self._told: dict[tuple[int, str], Mate] = {}

    @cached_property
    def _arrivals(self) -> dict[Arrival, list[PlantRecord]]:
        found: dict[Arrival, list[PlantRecord]] = {}
        for record in self._day.came.values():
            arrival = self._arrival(record.plant)
            if arrival is not None:
                found.setdefault(arrival, []).append(record)
        return found

    def _arrival(self, plant: Plant) -> Arrival | None:
        arrived, source = (plant.fact(what, self._day.on) for what in ("arrived", "source"))
        return (arrived, source) if arrived and source and source.strip() else None

    def came_with(self, record: PlantRecord) -> list[PlantRecord]:
        """Those that came on the same day from the same source, gone or not; no parts of it."""
        if record.parent is not None:
            return self.came_with(record.parent)
        arrival = self._arrival(record.plant)
        if arrival is None:
            return []
        return [o for o in self._arrivals.get(arrival, []) if o.plant.id != record.plant.id]

    def told(self, record: PlantRecord, pest: str) -> float | None:
        """Chance that a plant came infested; None where its start is past or no mate tells."""
        if not read_from_arrival(record, pest):
            return None
        telling = [mate for mate in self.came_with(record) if tells_its_mates(mate, pest)]
        if not telling:
            return None
        mates = [finished(self._mate(mate, pest)) for mate in telling]
        return round(chance_infested(mates, record.table.infestation), TOLD_TO)

    def tell_in_steps(self) -> Iterator[None]:
        """Work out what the log of each plant tells its mates, in steps."""
        for batch in self._arrivals.values():
            yield from self._tell_in_steps(batch)

    def _tell_in_steps(self, batch: Sequence[PlantRecord]) -> Iterator[None]:
        """The same of one batch; kept in one write."""
        if len(batch) < 2:
            return
        with kept_together(self._day.logbook):
            for record in batch:
                for pest in record.pests:
                    if tells_its_mates(record, pest):
                        yield from self._mate(record, pest)
                        yield

    def _mate(self, record: PlantRecord, pest: str) -> Generator[None, None, Mate]:
        of = record.plant.id, pest
        if of not in self._told:
            self._told[of] = yield from self._kept(record, pest)
        return self._told[of]

    def _kept(self, record: PlantRecord, pest: str) -> Generator[None, None, Mate]:
        day, plant_id = self._day, record.plant.id
        name = f"{day.kept_as}told {pest}"
        key = dated(day.on, day.key_without_mates(record, pest))
        weights: list[float] = []
        if day.logbook.works_out and not knows(day.logbook, plant_id, name, key):
            weights = yield from self._worked_out(record, pest)
        return Mate(*kept_or_worked_out(day.logbook, plant_id, name, key, lambda: weights))

    def _worked_out(self, record: PlantRecord, pest: str) -> Generator[None, None, list[float]]:
        if record.insects_seen_on is not None:
            # one at least, which no plant that came clean has
            return [1.0, 0.0]
        # slow to import, and not needed where all is kept
        from rounds.core.inference.evidence import gather
        from rounds.core.inference.mates import mate_in_steps

        facts = facts_of(record, pest, None, self._day.arrivals(record, pest))
        mate = yield from mate_in_steps(gather(facts, record.on, self._day.parameters).log)
        return [mate.if_infested, mate.if_clean]

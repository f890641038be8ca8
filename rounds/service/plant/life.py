"""What was seen and done besides looks in the life of one plant, each with the name it goes by."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from rounds.core.collection import Period, Plant
from rounds.core.lineage import DIVIDED, origin_of
from rounds.core.log.effective import Standing
from rounds.core.log.entries import Look, OpenLook
from rounds.service.collection.division import parts_of
from rounds.service.collection.repot import REPOTTED
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.plant.record import PlantRecord
from rounds.store import walks


@dataclass(frozen=True, slots=True)
class SignMade:
    """Ants, stickiness or soot at a zone; `withdrawn` also where its look was taken back."""

    id: str
    day: date
    zone: str
    sign: str
    who: str | None
    withdrawn: bool


@dataclass(frozen=True, slots=True)
class TimeApart:
    """One quarantine; what is said of its end as it was known at the end of the day.

    `id` is the name of its beginning, `ended_id` of its end, None while it lasts.
    """

    began_on: date
    ended_on: date | None
    reason: str | None
    early: bool
    id: str
    ended_id: str | None


@dataclass(frozen=True, slots=True)
class Repotted:
    """It was put into fresh medium."""

    on: date
    id: str


@dataclass(frozen=True, slots=True)
class DividedInto:
    """It was divided into so many, itself counted; `parts` are the codes of the new ones."""

    on: date
    into: int
    parts: tuple[str, ...]
    id: str


@dataclass(frozen=True, slots=True)
class DividedFrom:
    """It came of a plant that was divided into so many."""

    code: str
    on: date
    into: int


@dataclass(frozen=True, slots=True)
class Gone:
    """It left for good."""

    on: date
    how: str
    id: str


def signs_made(record: PlantRecord) -> Iterator[SignMade]:
    """Every sign entered up to the day, also those taken back, oldest first."""
    entries = record.entries
    standing = Standing(w for w in entries.withdrawals if w.day <= record.on)
    made: tuple[Look | OpenLook, ...] = (*entries.open_looks, *entries.looks)
    looks = {look.id: look for look in made}
    who = walks.who_by_round(
        record.logbook.file, sorted({look.round_id for look in looks.values()})
    )
    for sign in sorted(entries.signs, key=lambda sign: (sign.day, sign.id)):
        if sign.day <= record.on:
            look = looks.get(standing.holder(sign.look_id, looks))
            if look is None:
                # entered at a look in progress that was given up for the one before it
                continue
            stands = standing.stands(sign.id) and standing.heir(sign.look_id) is not None
            name = str(EntryName("sign", sign.day, sign.plant_id, sign.id))
            yield SignMade(name, sign.day, look.zone, sign.kind, who[look.round_id], not stands)


def times_apart(plant: Plant, on: date) -> Iterator[TimeApart]:
    """Every quarantine begun up to a day, oldest first."""
    quarantines = [p for p in plant.periods if p.kind == "quarantine" and p.began_on <= on]
    for period in sorted(quarantines, key=lambda p: (p.began_on, p.id)):
        yield _time_apart(period, on)


def _time_apart(period: Period, on: date) -> TimeApart:
    began = str(EntryName("apart", period.began_on, period.plant_id, period.id))
    if period.is_open(on) or period.ended_on is None or period.end_id is None:
        return TimeApart(period.began_on, None, None, False, began, None)
    ended = str(EntryName("ended", period.ended_on, period.plant_id, period.end_id))
    return TimeApart(period.began_on, period.ended_on, period.reason, period.early, began, ended)


def repottings(plant: Plant, on: date) -> Iterator[Repotted]:
    """Every repotting up to a day, oldest first."""
    said = [f for f in plant.facts if f.what == REPOTTED and f.from_day <= on]
    for fact in sorted(said, key=lambda f: (f.from_day, f.id)):
        yield Repotted(fact.from_day, str(EntryName(REPOTTED, fact.from_day, plant.id, fact.id)))


def divisions(record: PlantRecord) -> Iterator[DividedInto]:
    """Every division of this very plant up to the day, oldest first."""
    plant = record.plant
    said = [f for f in plant.facts if f.what == DIVIDED and f.from_day <= record.on]
    for fact in sorted(said, key=lambda f: (f.from_day, f.id)):
        parts = sorted(parts_of(record.logbook, plant, fact.id), key=lambda part: part.id)
        name = str(EntryName(DIVIDED, fact.from_day, plant.id, fact.id))
        codes = tuple(part.code for part in parts)
        yield DividedInto(fact.from_day, int(fact.value), codes, name)


def came_from(record: PlantRecord) -> DividedFrom | None:
    """The division it came of."""
    origin = origin_of(record.plant)
    if origin is None:
        return None
    parent = record.logbook.collection().plants[origin.parent_id]
    return DividedFrom(parent.code, origin.day, origin.parts)


def gone(plant: Plant, on: date) -> Gone | None:
    """That it left for good, if it had by the end of a day."""
    said = next((f for f in plant.facts if f.what == "gone" and f.from_day <= on), None)
    if said is None:
        return None
    return Gone(said.from_day, said.value, str(EntryName("gone", said.from_day, plant.id, said.id)))

"""Plants that were divided: a part has the life of the plant it came from up to that day.

The parent stays, as one of the parts. Both are told as dated facts: the parent `divided` into so
many, each new part `divided-from` it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from rounds.core.collection import Fact, Period, Plant

DIVIDED, DIVIDED_FROM = "divided", "divided-from"
OF_LINEAGE = frozenset({DIVIDED, DIVIDED_FROM})


@dataclass(frozen=True, slots=True)
class Origin:
    """The division a part came from. `entry` is that of the part; later entries are its own."""

    parent_id: int
    parts: int
    """how many there were afterwards, the parent counted"""
    day: date
    entry: int


@dataclass(frozen=True, slots=True)
class Divided:
    """A plant was divided on a day; what was entered after `entry` is of its part alone."""

    day: date
    parts: int
    entry: int


def origin_of(plant: Plant) -> Origin | None:
    """The division a plant came from; None where it came as it is."""
    said = next((fact for fact in plant.facts if fact.what == DIVIDED_FROM), None)
    if said is None:
        return None
    parent, parts = said.value.split()
    return Origin(int(parent), int(parts), said.from_day, said.id)


def origin_value(parent_id: int, parts: int) -> str:
    """The value of the fact `divided-from`, as `origin_of` reads it."""
    return f"{parent_id} {parts}"


def divisions_of(plant: Plant, plants: Mapping[int, Plant]) -> tuple[Divided, ...]:
    """Every division in the life of a plant, its ancestors' among them, oldest first.

    Args:
        plant: which.
        plants: all, by id.
    """
    own = [Divided(f.from_day, int(f.value), f.id) for f in plant.facts if f.what == DIVIDED]
    origin = origin_of(plant)
    if origin is None:
        return _in_order(own)
    of_parent = divisions_of(plants[origin.parent_id], plants)
    before = [d for d in of_parent if (d.day, d.entry) < (origin.day, origin.entry)]
    return _in_order([*before, Divided(origin.day, origin.parts, origin.entry), *own])


def lived(plant: Plant, plants: Mapping[int, Plant]) -> Plant:
    """A plant with all that was said of its ancestors while it was part of them.

    A quarantine its parent was in is not among it: the part has one of its own, begun as early.
    """
    origin = origin_of(plant)
    if origin is None:
        return plant
    parent = lived(plants[origin.parent_id], plants)
    return replace(
        plant,
        first_day=parent.first_day,
        facts=(*_inherited(parent, origin), *plant.facts),
        moves=(*(m for m in parent.moves if (m.day, m.id) < (origin.day, origin.entry)),
               *plant.moves),
        periods=(*(p for p in parent.periods if _is_over(p, origin)), *plant.periods),
        courses=(*(c for c in parent.courses if (c.began_on, c.id) < (origin.day, origin.entry)),
                 *plant.courses),
        marks=(*(m for m in parent.marks if (m.day, m.id) < (origin.day, origin.entry)),
               *plant.marks),
    )  # fmt: skip


def said_before(plant: Plant, day: date, entry: int) -> Plant:
    """A plant with only what was said for days before one, or for that day before an entry."""
    return replace(
        plant,
        facts=tuple(f for f in plant.facts if (f.from_day, f.id) < (day, entry)),
        moves=tuple(m for m in plant.moves if (m.day, m.id) < (day, entry)),
        periods=tuple(
            _as_known(p, day, entry) for p in plant.periods if (p.began_on, p.id) < (day, entry)
        ),
        courses=tuple(c for c in plant.courses if (c.began_on, c.id) < (day, entry)),
        marks=tuple(m for m in plant.marks if (m.day, m.id) < (day, entry)),
    )


def _as_known(period: Period, day: date, entry: int) -> Period:
    """The period, open again where it ended on or after that day and entry."""
    if period.ended_on is None or (period.ended_on, period.end_id or 0) < (day, entry):
        return period
    return replace(period, ended_on=None, reason=None, early=False, end_id=None)


def _in_order(found: list[Divided]) -> tuple[Divided, ...]:
    return tuple(sorted(found, key=lambda divided: (divided.day, divided.entry)))


def _inherited(parent: Plant, origin: Origin) -> Iterable[Fact]:
    """Facts a part inherits: those up to the division, and first ones entered for later days."""
    told = set()
    for fact in parent.facts:
        if (fact.from_day, fact.id) < (origin.day, origin.entry) and fact.what not in OF_LINEAGE:
            told.add(fact.what)
            yield fact
    for fact in parent.facts:
        is_first = fact.from_day == parent.entered_on and fact.what not in told
        if is_first and fact.what not in OF_LINEAGE and fact.what != "touching":
            # a fact said at entry holds for the days before it as well
            told.add(fact.what)
            yield replace(fact, from_day=parent.first_day)


def _is_over(period: Period, origin: Origin) -> bool:
    """Whether a period begun before the division had ended by then, or is a watch."""
    if (period.began_on, period.id) >= (origin.day, origin.entry):
        return False
    return period.kind != "quarantine" or not period.is_open(origin.day)


@dataclass(frozen=True, slots=True)
class Life:
    """A plant, or the one it was divided from, for the days it was that one."""

    plant: Plant
    first: date
    last: date


def lives_of(plant: Plant, plants: Mapping[int, Plant], on: date) -> tuple[Life, ...]:
    """The plant up to `on` or to the day it was gone, and before a division the one divided."""
    gone = [fact.from_day for fact in plant.facts if fact.what == "gone"]
    last = min([on, *gone])
    own = Life(plant, plant.first_day, last)
    origin = origin_of(plant)
    if origin is None:
        return (own,)
    before = lives_of(plants[origin.parent_id], plants, min(last, origin.day))
    return (*before, Life(plant, origin.day, last))

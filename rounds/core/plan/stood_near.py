"""On which days two plants stood near each other, by where each stood on every day."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise, product

from rounds.core.collection import Place, Plant
from rounds.core.lineage import Life
from rounds.core.plan.claims import NEAREST, Exposed
from rounds.core.plan.near import nearness_in_course

DAY = timedelta(days=1)

Places = Mapping[int, Place]


@dataclass(frozen=True, slots=True)
class Stood:
    """Days in a row on which one plant stood equally near another."""

    how: Exposed
    first: date
    last: date


def stood_near(
    source: Iterable[Life], other: Iterable[Life], first: date, last: date, places: Places
) -> tuple[Stood, ...]:
    """When a plant stood near another between two days, both counted; oldest first.

    A plant moved on a day stood at either place on it.

    Args:
        source: the plant with insects, with those it was divided from.
        other: the plant asked about, likewise.
        first: the first day asked about.
        last: the last one.
        places: by id.
    """
    pairs = product(tuple(source), tuple(other))
    found = [
        stood
        for here, there in pairs
        if here.plant.id != there.plant.id
        for stood in _of_lives(here, there, first, last, places)
    ]
    return tuple(_joined(sorted(found, key=lambda stood: (stood.first, stood.last))))


def nearest(stood: Iterable[Stood]) -> Exposed:
    """The nearest that two plants stood. ValueError where they never did."""
    return min((each.how for each in stood), key=NEAREST.index)


def _of_lives(here: Life, there: Life, first: date, last: date, places: Places) -> Iterator[Stood]:
    first = max(first, here.first, there.first)
    last = min(last, here.last, there.last)
    if first > last:
        return
    changes = {day for day in _changes(here.plant, there.plant, places) if first < day <= last}
    for begins, ends in pairwise([*sorted({first, *changes}), last + DAY]):
        how = nearness_in_course(here.plant, there.plant, begins, places)
        if how is not None:
            yield Stood(how, begins, ends - DAY)


def _changes(source: Plant, other: Plant, places: Places) -> set[date]:
    """Days from which on something may be otherwise: the day of each change, and the one after."""
    moves = [*source.moves, *other.moves]
    touching = [fact.from_day for fact in source.facts if fact.what == "touching"]
    benches = [
        fact.from_day
        for place_id in {move.place_id for move in moves}
        for fact in places[place_id].facts
        if fact.what == "bench"
    ]
    days = {move.day for move in moves} | {*touching, *benches}
    return days | {day + DAY for day in days}


def _joined(found: Iterable[Stood]) -> Iterator[Stood]:
    """The same with those made one that follow each other and are equally near."""
    before: Stood | None = None
    for stood in found:
        if before is None:
            before = stood
        elif stood.how == before.how and stood.first <= before.last + DAY:
            before = Stood(before.how, before.first, max(before.last, stood.last))
        else:
            yield before
            before = stood
    if before is not None:
        yield before

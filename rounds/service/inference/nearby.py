"""Who stood near whom on a day, and what share of the crawlers that leave reaches them."""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator
from datetime import date

from rounds.core.collection import Place, Plant
from rounds.core.parameters import Risk
from rounds.core.plan.score import Neighbour
from rounds.service.logbook.book import Collection

WORTH = 1.0
"""of a plant of which nothing was said"""


def share_reached(
    source: Plant, other: Plant, day: date, places: dict[int, Place], risk: Risk
) -> float:
    """Of the crawlers that leave a plant on a day, those that reach another."""
    return shares_of(source, day, places, risk)(other)


def shares_of(
    source: Plant, day: date, places: dict[int, Place], risk: Risk
) -> Callable[[Plant], float]:
    """The same of any other plant; looked up by its place, as there are few of these."""
    touched = frozenset(source.touching(day))
    here = _place(source, day, places)
    known: dict[int, float] = {}

    def share(other: Plant) -> float:
        if other.id in touched:
            return risk.touching
        there = _place(other, day, places)
        if here is None or there is None:
            return 0.0
        if there.id not in known:
            known[there.id] = _share_between(here, there, day, risk)
        return known[there.id]

    return share


def _share_between(here: Place, there: Place, day: date, risk: Risk) -> float:
    if here.id == there.id or _same(here.bench(day), there.bench(day)):
        return risk.same_bench
    return risk.same_room if _same(here.room(day), there.room(day)) else 0.0


def shares_by_day(
    source: Plant, other: Plant, places: dict[int, Place], risk: Risk
) -> Callable[[date], float]:
    """The share of any day; looked up, as it changes only with a move or a word about either."""
    known: dict[int, float] = {}
    changes = sorted(_changes(source, other, places))

    def share_on(day: date) -> float:
        since = bisect_right(changes, day)
        if since not in known:
            known[since] = share_reached(source, other, day, places, risk)
        return known[since]

    return share_on


def _changes(source: Plant, other: Plant, places: dict[int, Place]) -> set[date]:
    moves = [*source.moves, *other.moves]
    said = [fact for fact in source.facts if fact.what == "touching"]
    of_places = [fact for move in moves for fact in places[move.place_id].facts]
    return {move.day for move in moves} | {fact.from_day for fact in (*said, *of_places)}


def neighbours_of(
    plant: Plant, day: date, collection: Collection, risk: Risk
) -> Iterator[Neighbour]:
    """The plants that what leaves this one may reach, with what they are worth."""
    share_of = shares_of(plant, day, collection.places, risk)
    for other in _others(plant, day, collection):
        share = share_of(other)
        if share > 0:
            yield Neighbour(share, worth(other, day))


def worth(plant: Plant, day: date) -> float:
    """What the grower says a plant is worth."""
    return float(plant.fact("value", day) or WORTH)


def _others(plant: Plant, day: date, collection: Collection) -> Iterable[Plant]:
    return (other for other in collection.here(day) if other.id != plant.id)


def _place(plant: Plant, day: date, places: dict[int, Place]) -> Place | None:
    move = plant.move_on(day)
    return places[move.place_id] if move else None


def _same(one: str | None, other: str | None) -> bool:
    return one is not None and one == other

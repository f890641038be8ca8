"""Who stood near whom on a day, and what share of the crawlers that leave reaches them."""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from rounds.core.collection import Place, Plant
from rounds.core.parameters import Risk
from rounds.core.plan.score import Neighbour

WORTH = 1.0
"""of a plant of which nothing was said"""


@dataclass(frozen=True, slots=True)
class Stand:
    """Where a plant stands on a day, what it touches, and what it is worth."""

    plant_id: int
    touching: tuple[int, ...]
    place_id: int | None
    bench: str | None
    room: str | None
    worth: float


def stand_of(plant: Plant, day: date, places: Mapping[int, Place]) -> Stand:
    """Read once where it is compared with many."""
    move = plant.move_on(day)
    place = places[move.place_id] if move else None
    return Stand(
        plant_id=plant.id,
        touching=plant.touching(day),
        place_id=place.id if place else None,
        bench=place.bench(day) if place else None,
        room=place.room(day) if place else None,
        worth=worth(plant, day),
    )


def share_reached(
    source: Plant, other: Plant, day: date, places: Mapping[int, Place], risk: Risk
) -> float:
    """Of the crawlers that leave a plant on a day, those that reach another."""
    return share_between(stand_of(source, day, places), stand_of(other, day, places), risk)


def share_between(source: Stand, other: Stand, risk: Risk) -> float:
    """The same from where both stand."""
    if other.plant_id in source.touching:
        return risk.touching
    if source.place_id is None or other.place_id is None:
        return 0.0
    if source.place_id == other.place_id or _same(source.bench, other.bench):
        return risk.same_bench
    return risk.same_room if _same(source.room, other.room) else 0.0


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


def neighbours_of(source: Stand, stands: Iterable[Stand], risk: Risk) -> Iterator[Neighbour]:
    """The plants that what leaves one may reach, with what they are worth.

    Args:
        source: where that one stands.
        stands: of all plants that are here.
        risk: the shares.
    """
    for other in stands:
        if other.plant_id != source.plant_id:
            share = share_between(source, other, risk)
            if share > 0:
                yield Neighbour(share, other.worth)


def worth(plant: Plant, day: date) -> float:
    """What the grower says a plant is worth."""
    return float(plant.fact("value", day) or WORTH)


def _same(one: str | None, other: str | None) -> bool:
    return one is not None and one == other

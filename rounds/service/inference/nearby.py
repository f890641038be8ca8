"""Who stood near whom on a day, and what share of the crawlers that leave reaches them."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from datetime import date

from rounds.core.collection import Place, Plant
from rounds.core.parameters import Risk

WORTH = 1.0
"""what a plant is worth where nothing was said"""

Places = Mapping[int, Place]


def share_reached(source: Plant, other: Plant, day: date, places: Places, risk: Risk) -> float:
    """The share of the crawlers leaving a plant on a day that reach another."""
    if other.id in source.touching(day):
        return risk.touching
    here, there = _place(source, day, places), _place(other, day, places)
    return 0.0 if here is None or there is None else share_between(here, there, day, risk)


def share_between(here: Place, there: Place, day: date, risk: Risk) -> float:
    """That share for two plants that do not touch, by where they stand."""
    if here.id == there.id or _same(here.bench(day), there.bench(day)):
        return risk.same_bench
    return risk.same_room if _same(here.room(day), there.room(day)) else 0.0


def shares_by_day(
    source: Plant, other: Plant, places: Places, risk: Risk
) -> Callable[[date], float]:
    """A function from a day to that share; memoised between moves and changes of facts."""
    known: dict[int, float] = {}
    changes = sorted(_changes(source, other, places))

    def share_on(day: date) -> float:
        since = bisect_right(changes, day)
        if since not in known:
            known[since] = share_reached(source, other, day, places, risk)
        return known[since]

    return share_on


def _changes(source: Plant, other: Plant, places: Places) -> set[date]:
    moves = [*source.moves, *other.moves]
    said = [fact for fact in source.facts if fact.what == "touching"]
    of_places = [fact for move in moves for fact in places[move.place_id].facts]
    return {move.day for move in moves} | {fact.from_day for fact in (*said, *of_places)}


def may_reach(source: Plant, other: Plant, places: Places) -> bool:
    """Whether what leaves a plant may have reached another on any day."""
    told = str(other.id)
    if any(f.what == "touching" and told in f.value.split() for f in source.facts):
        return True
    theirs = {move.place_id for move in other.moves}
    return any(
        move.place_id in theirs
        or not theirs.isdisjoint(_in_one_room(places[move.place_id], places))
        for move in source.moves
    )


def _in_one_room(place: Place, places: Places) -> set[int]:
    """The places that ever were in a room or on a bench this one was in or on."""
    names = _rooms(place)
    return {other.id for other in places.values() if not names.isdisjoint(_rooms(other))}


def _rooms(place: Place) -> set[tuple[str, str]]:
    return {(f.what, f.value) for f in place.facts if f.what in ("room", "bench") and f.value}


class Reached:
    """The worth of the plants that are here on a day, as seen by plants that may infest them."""

    def __init__(self, here: Iterable[Plant], day: date, places: Places, risk: Risk) -> None:
        self._day, self._places, self._risk = day, places, risk
        self._here = {other.id: (_place(other, day, places), worth(other, day)) for other in here}
        self._at: dict[int, float] = defaultdict(float)
        """worth of all that stands at a place, by its id"""
        for place, value in self._here.values():
            if place is not None:
                self._at[place.id] += value

    def worth_near(self, plant: Plant) -> float:
        """Summed worth of all others, each weighted by the share of crawlers that reaches it."""
        shares = self._shares_from(_place(plant, self._day, self._places))
        total = sum(share * self._at.get(place_id, 0.0) for place_id, share in shares.items())
        touched = set(plant.touching(self._day))
        for other in sorted(touched | {plant.id}):
            place, value = self._here.get(other, (None, 0.0))
            # itself, and what it touches, stand at a place too
            total -= shares.get(place.id, 0.0) * value if place is not None else 0.0
            if other != plant.id:
                total += self._risk.touching * value
        return max(0.0, total)

    def _shares_from(self, stands: Place | None) -> dict[int, float]:
        """By place id: the share of crawlers leaving a plant that reaches a plant there."""
        if stands is None:
            return {}
        return {
            place.id: share_between(stands, place, self._day, self._risk)
            for place in self._places.values()
        }


def worth(plant: Plant, day: date) -> float:
    """What the grower says a plant is worth."""
    return float(plant.fact("value", day) or WORTH)


def _place(plant: Plant, day: date, places: Places) -> Place | None:
    move = plant.move_on(day)
    return places[move.place_id] if move else None


def _same(one: str | None, other: str | None) -> bool:
    return one is not None and one == other

"""Going back: what a released plant would stand beside, and what that makes of its chance clean."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Final, Literal

from rounds.core.collection import Move, Place
from rounds.core.plan.claims import NEAREST, Exposed
from rounds.core.plan.near import nearness_of_spots
from rounds.errors import Refused
from rounds.service.collection.plants import moves_of
from rounds.service.inference.kept import digest, kept_or_worked_out
from rounds.service.inference.nearby import share_between
from rounds.service.plant.record import PlantRecord

if TYPE_CHECKING:
    # slow to load, and not needed where all is kept
    from rounds.core.inference.unlooked import Unlooked

Kind = Literal["alive", "recent", "doubt"]
KINDS: Final[tuple[Kind, ...]] = ("alive", "recent", "doubt")
"""Known to be alive on it; found not long ago, or in quarantine since; a speck nobody resolved."""

SURE = 1e-12
"""distance from 0 and 1 to which chances are clipped before their odds are taken"""
LAST = 1 << 62
"""Id of a move that is only supposed: after all that are entered."""


@dataclass(frozen=True, slots=True)
class Beside:
    """A plant from which insects may come to one that stands near it."""

    code: str
    kind: Kind
    how: Exposed
    on: date
    """of its last find, or of its first open doubt"""


@dataclass(frozen=True, slots=True)
class Standing:
    """How it is for a plant to stand somewhere from today on."""

    place: str
    spot: str | None
    move: Move
    beside: tuple[Beside, ...]
    """the weightiest first"""
    chance_clean: float
    """at the end of the days looked ahead, nobody looking"""
    low: float | None = None
    """of its band: that of today, carried along; None while it is not worked out"""
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Rejoining:
    """Where a plant would go from quarantine, and where it had better go."""

    on: date
    days: int
    """looked ahead"""
    there: Standing | None
    """where it came from, or stands; None where it only ever stood in quarantine places"""
    elsewhere: Standing | None
    """a place without a find, where `there` has some or there is none"""
    is_to_be_moved: bool
    """it stands in a quarantine place"""


def former_place(record: PlantRecord) -> Move | None:
    """Where a plant stood before its quarantine, if it is still at a quarantine place."""
    places = record.logbook.collection().places
    if not stands_apart(record):
        return None
    before = [
        move
        for move in moves_of(record.plant, record.on)
        if not places[move.place_id].apart(record.on)
    ]
    return before[-1] if before else None


def stands_apart(record: PlantRecord) -> bool:
    """Whether it stands in a quarantine place."""
    now_at = record.plant.move_on(record.on)
    places = record.logbook.collection().places
    return now_at is not None and places[now_at.place_id].apart(record.on)


def put_at(record: PlantRecord, place: Place, spot: str | None) -> Move:
    """The move that would put a plant somewhere at the end of the day of its record."""
    return Move(LAST, record.plant.id, record.on, place.id, spot)


def rejoining(record: PlantRecord, into: Move | None = None) -> Rejoining:
    """What awaits a plant where it would go, at the end of the day of its record.

    Args:
        record: of the plant.
        into: where it would be put; where it stood among the others before, if not said.
    """
    spots = _Spots(record)
    is_apart = stands_apart(record)
    move = into or (former_place(record) if is_apart else record.plant.move_on(record.on))
    there = spots.standing(move) if move else None
    elsewhere = None
    if there is None or there.beside:
        others = [spots.standing(move) for move in spots.elsewhere(move)]
        free = [other for other in others if not other.beside]
        elsewhere = min(free, key=lambda s: (-s.chance_clean, s.place.casefold()), default=None)
    return Rejoining(record.on, spots.days, there, elsewhere, is_apart)


class _Spots:
    """The places a plant may be put, as it is today."""

    def __init__(self, record: PlantRecord) -> None:
        self._record, self._on = record, record.on
        self._places = record.logbook.collection().places
        self._risk = record.table.risk
        self.days = self._risk.days_ahead
        self._lately = {find.plant.id: find.found_on[-1] for find in record.day.live_finds}

    def elsewhere(self, there: Move | None) -> Iterator[Move]:
        """All places but one where plants stand that are not in quarantine."""
        for place in self._places.values():
            if not place.apart(self._on) and (there is None or place.id != there.place_id):
                yield put_at(self._record, place, None)

    def standing(self, move: Move) -> Standing:
        """What awaits it where a move would put it."""
        place = self._places[move.place_id]
        arriving = self._arriving(place)
        low, high = (self._moved(times, arriving) for times in self._band_odds)
        chance = self._ahead.chance_clean(arriving)
        return Standing(place.name, move.spot, move, tuple(self._beside(move)), chance, low, high)

    def _beside(self, move: Move) -> list[Beside]:
        found = [
            Beside(other.plant.code, kind, how, day)
            for other in self._others
            if (how := self._nearness(other, move)) is not None
            for kind, day in self._kinds(other)[:1]
        ]
        return sorted(found, key=_weight)

    @cached_property
    def _others(self) -> list[PlantRecord]:
        records = self._record.day.records.values()
        return [other for other in records if other.plant.id != self._record.plant.id]

    def _kinds(self, other: PlantRecord) -> list[tuple[Kind, date]]:
        """Why insects may come from a plant, the weightiest first, each with its day."""
        found: list[tuple[Kind, date]] = []
        if other.plant.id in self._lately:
            found.append(("alive", self._lately[other.plant.id]))
        is_infested = other.infested or other.standing == "quarantine"
        if is_infested and other.last_find_on is not None:
            found.append(("recent", other.last_find_on))
        if other.open_doubts:
            found.append(("doubt", other.open_doubts[0].day))
        return found

    def _nearness(self, other: PlantRecord, move: Move) -> Exposed | None:
        stands = other.plant.move_on(self._on)
        if stands is None:
            return None
        if self._touches(other, move.place_id):
            return "touching"
        return nearness_of_spots(stands, move, self._on, self._places)

    def _touches(self, other: PlantRecord, place_id: int) -> bool:
        """Whether two touch, and go on to: who is put at another place touches nothing there."""
        stands = self._record.plant.move_on(self._on)
        stays = stands is not None and stands.place_id == place_id
        return stays and self._record.plant.id in other.plant.touching(self._on)

    @cached_property
    def _band_odds(self) -> tuple[float | None, float | None]:
        """The odds at the ends of today's band over those of the figure itself."""
        likely = self._record.likely
        if not likely.is_band_known():
            return None, None
        odds = _odds(likely.chance_clean)
        low, high = (_odds(end) for end in (likely.band.low, likely.band.high))
        return (low / odds, high / odds) if odds else (1.0, 1.0)

    def _moved(self, times: float | None, arriving: float) -> float | None:
        """The chance there if the odds that what is on it now dies out were so many times these.

        What arrives is as it is supposed to be.
        """
        if times is None:
            return None
        cleared = self._ahead.cleared
        moved = times * cleared / (1 - cleared + times * cleared)
        return float(moved * self._ahead.clear_of_one**arriving)

    def _arriving(self, place: Place) -> float:
        """Crawlers a day that would reach it there."""
        infestation = self._record.table.infestation
        usual = (
            infestation.arrivals_apart if place.apart(self._on) else infestation.arrivals_collection
        )
        reached = sum(self._share(other, place) * left for other, left in self._leaving)
        return usual + min(reached, self._risk.most_reached)

    def _share(self, source: PlantRecord, place: Place) -> float:
        """The share of the crawlers leaving a plant that would reach this one at a place."""
        if self._touches(source, place.id):
            return self._risk.touching
        stands = source.plant.move_on(self._on)
        if stands is None:
            return 0.0
        return share_between(self._places[stands.place_id], place, self._on, self._risk)

    @cached_property
    def _leaving(self) -> list[tuple[PlantRecord, float]]:
        """Plants with finds, and the crawlers expected to leave each on a day as of today."""
        pest = self._record.pest
        found = []
        for other in self._others:
            if other.of_pest(pest).live_on:
                result = other.day.result(other, pest)
                range_c = other.temperatures.range_c(other.plant, self._on)
                found.append((other, float(result.mean @ result.process.leaving(*range_c))))
        return found

    @cached_property
    def _ahead(self) -> "Unlooked":
        """How it fares in these days by itself, and with one crawler a day."""
        from rounds.core.inference.unlooked import Unlooked

        record, likely = self._record, self._record.likely
        celsius = record.temperatures.mean_c(record.lived, self._on)
        kept = kept_or_worked_out(
            record.logbook, record.plant.id, f"unlooked {likely.pest}",
            digest(likely.key, self.days, celsius), lambda: _unlooked(record, self.days, celsius),
        )  # fmt: skip
        return Unlooked(*kept)


def _unlooked(record: PlantRecord, days: int, celsius: float) -> tuple[float, float]:
    from rounds.core.inference.observed import ImpossibleEntry
    from rounds.core.inference.scale import ChanceOutOfRange
    from rounds.core.inference.unlooked import unlooked

    evidence = record.likely.evidence()
    first = evidence.process.day(*record.temperatures.range_c(record.lived, record.on))
    later = evidence.process.day(celsius, celsius)
    try:
        found = unlooked(evidence.log, [first, *[later] * (days - 1)])
    except (ImpossibleEntry, ChanceOutOfRange) as fault:
        raise Refused("entries-too-rare", code=record.plant.code) from fault
    return found.cleared, found.clear_of_one


def _odds(chance: float) -> float:
    within = min(max(chance, SURE), 1 - SURE)
    return within / (1 - within)


def _weight(beside: Beside) -> tuple[int, int, str]:
    return KINDS.index(beside.kind), NEAREST.index(beside.how), beside.code.casefold()

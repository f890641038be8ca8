"""The types an insect on one plant can have, and the day, the look and the start in them.

A type is zone x sub-stage x reach. It is numbered zone by zone, within a zone sub-stage by
sub-stage, in reach before tucked away.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from rounds.core.biology.day import TILE, Day, Places, Values
from rounds.core.biology.degree_days import day_degree_days
from rounds.core.body import MEDIUM, ROOTS, ZoneReference, shares_of
from rounds.core.parameters import (
    DayOfLife,
    Kills,
    Parameters,
    StageParameters,
    Warmth,
    ZoneShare,
)

IN_REACH, TUCKED = 0, 1
DECIMALS = 1
"""Decimals to which temperatures, degC, are rounded: days are memoised by them."""


@dataclass(frozen=True, eq=False)
class Process:
    """One pest on the zones of one growth form. Vectors have one entry per type, T in all."""

    stages: tuple[StageParameters, ...]
    zones: tuple[tuple[str, float, float], ...]
    """code, weight and tucked share of each zone"""
    life: DayOfLife
    warmth: Warmth
    detection_times: float = 1.0
    """factor of the detection rates -ln(1 - p)"""
    exchange_times: float = 1.0

    @cached_property
    def sub_stages(self) -> int:
        """S, the number of sub-stages from egg to laying adult."""
        return sum(stage.sub_stages for stage in self.stages)

    @cached_property
    def stage_of(self) -> Places:
        """(S,): the stage each sub-stage belongs to."""
        return np.repeat(np.arange(len(self.stages)), [s.sub_stages for s in self.stages])

    @cached_property
    def zone_codes(self) -> tuple[str, ...]:
        """Codes of the zones in the order of the types."""
        return tuple(code for code, _, _ in self.zones)

    @property
    def size(self) -> int:
        """T, the number of types."""
        return len(self.zones) * self.sub_stages * 2

    @cached_property
    def start_mean(self) -> Values:
        """(T,): make-up of an infestation nobody has looked at, sums to 1."""
        by_stage = np.array([s.make_up / s.sub_stages for s in self.stages])
        return self._settled(by_stage[self.stage_of])

    @cached_property
    def arrival(self) -> Values:
        """(T,): where a crawler from elsewhere settles, sums to 1."""
        if self.unwatched is not self:
            return self.unwatched.arrival
        return self._settled(self._first_nymph)

    def day(self, min_c: float, max_c: float) -> Day:
        """The transition from a date of these temperatures, degC, to the next.

        Memoised by its degree-days, which are all that counts of them: many days share theirs.
        """
        ends = round(min_c, DECIMALS), round(max_c, DECIMALS)
        return _day(self.unwatched, day_degree_days(*ends, self.warmth))

    @cached_property
    def unwatched(self) -> "Process":
        """The same life, whoever looks: growers who find more or fewer share its days."""
        if self.detection_times == 1.0:
            return self
        return _process(self.stages, self.zones, self.life, self.warmth, 1.0, self.exchange_times)

    def leaving(self, min_c: float, max_c: float) -> Values:
        """(T,): chance that within the day one insect hatches and leaves the plant."""
        day, life = self.day(min_c, max_c), self.life
        # `day.wander` is the chance to hatch times this share, of those that wander on the plant
        on_plant = (1 - life.leaves) * (1 - life.stays)
        return day.wander * (life.leaves / on_plant)

    def found(self, zone: str, times: float, *, out_of_pot: bool = False) -> Values:
        """(T,): chance that a look at a zone finds one insect: exponential search (Koopman 1946).

        Args:
            zone: its code.
            times: seconds of the look in reference seconds of the zone.
            out_of_pot: whether the roots were seen, which brings the tucked ones into reach.

        Raises:
            ValueError: the growth form has no such zone.
        """
        at = self.zone_codes.index(zone)
        spent = np.zeros((2, len(self.zones)))
        spent[int(out_of_pot), at] = times
        return 1 - self.unseen(spent)

    def unseen(self, times: Values) -> Values:
        """(T,): chance that looks miss one insect; memoised, and so read-only.

        Args:
            times: (2, Z) reference seconds spent in each zone, from outside and out of the pot.
        """
        return _unseen(self, times.tobytes())

    def of_stages(self, codes: tuple[str, ...] | None) -> Values:
        """(T,): 1 for the types of these stages, else 0; all for None."""
        wanted = [codes is None or stage.code in codes for stage in self.stages]
        return self._everywhere(np.array(wanted, dtype=float)[self.stage_of])

    def of_zone(self, zone: str) -> Values:
        """(T,): 1 for the types of a zone, else 0."""
        here = np.array([code == zone for code in self.zone_codes], dtype=float)
        return np.repeat(here, self.sub_stages * 2)

    def of_reach(self, reach: int) -> Values:
        """(T,): 1 for the types in reach, or for those tucked away, else 0."""
        pattern = np.zeros(2)
        pattern[reach] = 1.0
        return np.tile(pattern, self.size // 2)

    def killed(self, kills: Kills) -> Values:
        """(T,): chance that one use of a treatment kills an insect."""
        below = np.zeros(self.size)
        for zone in (MEDIUM, ROOTS):
            below += self.of_zone(zone)
        egg = self.of_stages((self.stages[0].code,))
        met = 1 - egg
        if kills.spared:
            met = met * (1 - self.of_stages(kills.spared))
        open_to_view = kills.eggs * egg + kills.in_reach * met
        in_reach, tucked = self.of_reach(IN_REACH), self.of_reach(TUCKED)
        outside: Values = open_to_view * in_reach + kills.tucked * tucked
        return below * kills.below + (1 - below) * outside

    @cached_property
    def rate_in_reach(self) -> Values:
        """(S,): -ln(1 - p) of a look of the reference seconds, from outside."""
        return self._rates([s.found_in_reach for s in self.stages])

    @cached_property
    def rate_out_of_pot(self) -> Values:
        """(S,): the same for roots out of the pot."""
        return self._rates([s.found_out_of_pot for s in self.stages])

    def _rates(self, found: list[float]) -> Values:
        return np.asarray([-math.log1p(-chance) for chance in found])[self.stage_of]

    @cached_property
    def exchanged(self) -> Values:
        """(Z, S, 2, 2): chance to move from reach (row) to reach (column) on a warm day."""
        rates = np.array([s.daily_exchange for s in self.stages])[self.stage_of]
        rates = np.minimum(1.0, rates * self.exchange_times)
        tucked = np.array([share for _, _, share in self.zones])
        moved = np.zeros((len(self.zones), self.sub_stages, 2, 2))
        moved[:, :, IN_REACH, TUCKED] = np.outer(tucked, rates)
        moved[:, :, TUCKED, IN_REACH] = np.outer(1 - tucked, rates)
        return moved

    @cached_property
    def _first_nymph(self) -> Values:
        by_sub_stage = np.zeros(self.sub_stages)
        by_sub_stage[self.stages[0].sub_stages] = 1.0
        return by_sub_stage

    @cached_property
    def places(self) -> Values:
        """(Z, 2): share of an infestation by zone and reach."""
        return np.array([[w * (1 - tucked), w * tucked] for _, w, tucked in self.zones])

    def _settled(self, by_sub_stage: Values) -> Values:
        settled: Values = self.places[:, None, :] * by_sub_stage[:, None]
        return settled.reshape(-1)

    def _everywhere(self, by_sub_stage: Values) -> Values:
        return np.tile(np.repeat(by_sub_stage, 2), len(self.zones))


def make_process(
    zones: tuple[ZoneReference, ...],
    parameters: Parameters,
    pest: str,
    detection_times: float = 1.0,
    exchange_times: float = 1.0,
    tucked_times: float = 1.0,
) -> Process:
    """The process of a pest on a body with these zones; memoised.

    Args:
        zones: of the body; sizes of one growth form share a process.
        parameters: the table, and how much of what is there this grower finds.
        pest: whose stages, warmth and day of life they are.
        detection_times: factor of the detection rates, for a band.
        exchange_times: factor of the exchange, for a band.
        tucked_times: factor of the tucked shares, to 1 at most, for a band.

    Raises:
        KeyError: no such pest.
    """
    biology = parameters.pests[pest]
    sits: Iterable[ZoneReference | ZoneShare] = zones
    if biology.zones is not None:
        own, codes = biology.zones, [zone.zone for zone in zones]
        sits = shares_of(codes, own.weight, own.tucked_share, parameters.donors)
    shares = tuple(
        (zone.zone, zone.weight, min(1.0, zone.tucked_share * tucked_times)) for zone in sits
    )
    return _process(
        biology.stages, shares, biology.day, biology.warmth,
        detection_times * parameters.detection_times, exchange_times,
    )  # fmt: skip


@lru_cache(maxsize=256)
def _process(
    stages: tuple[StageParameters, ...],
    zones: tuple[tuple[str, float, float], ...],
    life: DayOfLife,
    warmth: Warmth,
    detection_times: float,
    exchange_times: float,
) -> Process:
    return Process(stages, zones, life, warmth, detection_times, exchange_times)


@lru_cache(maxsize=8192)
def _unseen(process: Process, times: bytes) -> Values:
    from_outside, out_of_pot = np.frombuffer(times).reshape(2, -1, 1)
    rates = np.empty((len(process.zones), process.sub_stages, 2))
    rates[..., TUCKED] = out_of_pot * process.rate_out_of_pot
    rates[..., IN_REACH] = from_outside * process.rate_in_reach + rates[..., TUCKED]
    unseen = np.exp(-process.detection_times * rates).reshape(-1)
    unseen.flags.writeable = False
    return unseen


@lru_cache(maxsize=2048)
def _day(process: Process, degree_days: float) -> Day:
    life, zones, per_zone = process.life, len(process.zones), process.sub_stages * 2
    mixed = _exchange(process, min(1.0, degree_days / life.reference_degree_days))
    stays, goes, wanders = _lived(process, degree_days)
    stays, goes = mixed * stays[:, None, None], mixed[:, 1:] * goes[:, None, None]
    tiles, links = _within_zone(stays, goes)
    wander, landing = np.tile(np.repeat(wanders, 2), zones), _landing(process, mixed)
    # of the very chances above: those of a type then add up to 1 but for one rounding
    lived_on = stays.sum(axis=3)
    lived_on[:, :-1] += goes.sum(axis=3)
    last = (np.arange(zones)[:, None] * per_zone + per_zone - 2 + np.arange(2)).reshape(-1)
    return Day(
        tiles,
        links,
        wander,
        np.flatnonzero(wander),
        landing,
        np.flatnonzero(landing),
        gone=np.maximum(0.0, 1.0 - lived_on.reshape(-1) - wander),
        laying=last,
        eggs=last - per_zone + 2,
        eggs_laid=life.eggs_a_day * min(1.0, degree_days / life.warm_day),
    )


def _lived(process: Process, degree_days: float) -> tuple[Values, Values, Values]:
    """Chances (S,) to stay in a sub-stage, (S - 1,) to pass to the next, (S,) to hatch and wander.

    Those that pass on stay within the zone.
    """
    life, stages = process.life, process.stages
    warmth = degree_days / life.reference_degree_days
    lived = np.array([s.daily_survival**warmth for s in stages])[process.stage_of]
    further = np.array([_further(s, degree_days) for s in stages])[process.stage_of]
    stays, goes, wanders = lived * (1 - further), (lived * further)[:-1], np.zeros(len(lived))
    hatching, on_plant = stages[0].sub_stages - 1, 1 - life.leaves
    wanders[hatching] = goes[hatching] * on_plant * (1 - life.stays)
    goes[hatching] *= on_plant * life.stays
    return stays, goes, wanders


def _within_zone(stays: Values, goes: Values) -> tuple[Values, Values]:
    """Tiles and links of a day from chances (Z, S, 2, 2) to stay and (Z, S - 1, 2, 2) to pass on.

    Both are from reach (row) to reach (column), each already with what moves in or out.
    """
    zones, sub_stages = stays.shape[:2]
    of_tile = TILE // 2 if sub_stages % (TILE // 2) == 0 else sub_stages
    tiles = np.zeros((zones, sub_stages // of_tile, of_tile, 2, of_tile, 2))
    for at in range(of_tile):
        tiles[:, :, at, :, at] = stays[:, at::of_tile]
    for at in range(of_tile - 1):
        tiles[:, :, at, :, at + 1] = goes[:, at::of_tile]
    links = np.ascontiguousarray(goes[:, of_tile - 1 :: of_tile])
    return tiles.reshape(zones, -1, 2 * of_tile, 2 * of_tile), links


def _further(stage: StageParameters, degree_days: float) -> float:
    """Chance to pass to the next sub-stage on a day, such that a stage has its mean length."""
    if stage.degree_days is None:
        return 0.0
    return min(1.0, degree_days * stage.sub_stages / stage.degree_days)


def _exchange(process: Process, moving: float) -> Values:
    """(Z, S, 2, 2): chance to move from reach (row) to reach (column) on a day, by sub-stage.

    Args:
        process: with the daily exchange of each stage.
        moving: share of it that a day so warm has: cold insects sit still.
    """
    mixed = process.exchanged * moving
    mixed[:, :, IN_REACH, IN_REACH] = 1 - mixed[:, :, IN_REACH, TUCKED]
    mixed[:, :, TUCKED, TUCKED] = 1 - mixed[:, :, TUCKED, IN_REACH]
    return mixed


def _landing(process: Process, mixed: Values) -> Values:
    """(T,): distribution of a wandering crawler once it has settled and changed reach that day."""
    first = process.stages[0].sub_stages
    landing = np.zeros((len(process.zones), process.sub_stages, 2))
    landing[:, first] = np.einsum("zr,zrq->zq", process.places, mixed[:, first])
    return landing.reshape(-1)

"""Many plants without finds at once, looks of their own; those that share their days in groups."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rounds.core.biology.day import Day, Places, Values, numbers_after, values_before

AT_ONCE = 96
"""plants in a batch, so that their state stays in the processor's cache; measured"""


@dataclass(frozen=True, slots=True, eq=False)
class CleanPlants:
    """B plants of one process and the same days on which nothing was found.

    D dates, numbered from 0; all end on the last.

    Start: infested with chance `infested` (B,), then `mean` (B,) insects made up as `make_up` (T,).
    """

    begins: Places
    """(B,): the first date of each"""
    infested: Values
    mean: Values
    shape: Values
    """(B,)"""
    make_up: Values
    landing: Values
    """(T,): of those that arrive"""
    steps: Sequence[Day]
    """D - 1, from each date to the next"""
    arrivals: Values
    """(D, B): mean numbers"""
    unseen: Values
    """(K, T): of each kind of look, the chance that it misses an insect"""
    looks: NDArray[np.intp]
    """(D, B): the kind of look of each plant on each date; -1 none"""


def clean_answers(several: Sequence[CleanPlants]) -> list[tuple[Values, Values]]:
    """(B,), (T, B) of each group: chance clean, and the mean number left of every type.

    All groups have the same types.
    """
    found = [(np.empty(len(p.begins)), np.empty((len(p.make_up), len(p.begins)))) for p in several]
    for run in _runs(several):
        run.back(keep=True)
        means = run.down()
        for way in run.ways:
            chances, of_type = found[way.group]
            chances[way.order] = run.chances[way.here]
            of_type[:, way.order] = means[:, way.here]
    return found


def clean_chances(several: Sequence[CleanPlants]) -> Iterator[list[tuple[int, Places, Values]]]:
    """Group, plants (b,), and (2, b) chance clean and logarithm of that of the log, run by run."""
    for run in _runs(several):
        run.back(keep=False)
        told = np.stack([run.chances, np.log(run.of_log)])
        yield [(way.group, way.order, told[:, way.here]) for way in run.ways]


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """Plants of one group in a run."""

    group: int
    plants: CleanPlants
    order: Places
    """(b,): their numbers in the group"""
    first: int
    """the number of the first of them among the plants of the run"""

    @property
    def here(self) -> slice:
        """Where they stand among the plants of the run."""
        return slice(self.first, self.first + len(self.order))

    @property
    def columns(self) -> slice:
        """Where their values stand: those for nothing left, then those for any number."""
        return slice(2 * self.first, 2 * (self.first + len(self.order)))


def _runs(several: Sequence[CleanPlants]) -> Iterator["_Run"]:
    """As many plants as are quickest together, those of late starts first, group by group."""
    ways: list[_Way] = []
    taken = 0
    for group, plants in enumerate(several):
        order = np.argsort(-plants.begins, kind="stable")
        while len(order):
            some, order = order[: AT_ONCE - taken], order[AT_ONCE - taken :]
            ways.append(_Way(group, plants, some, taken))
            taken += len(some)
            if taken == AT_ONCE:
                yield _Run(ways)
                ways, taken = [], 0
    if ways:
        yield _Run(ways)


@dataclass(slots=True, eq=False)
class _Passed:
    """What the adjoint sweep needs of a day, for any number left: (L, b) of those that lay."""

    exp: Values
    laid: Values


class _Run:
    """N plants, some groups of them, back to their starts, and the adjoint sweep after it.

    D dates, as many as the longest log has. The values of a plant that has reached its start are
    worked out on, as long as its group has one that has not, and mean nothing.
    """

    def __init__(self, ways: Sequence[_Way]) -> None:
        self.ways = tuple(ways)
        self._dates = max(len(way.plants.looks) for way in ways)
        self._shape = sum(len(way.order) for way in ways)
        self.chances, self.of_log = np.empty(self._shape), np.empty(self._shape)
        """(N,): chances clean and of the logs, once it was run back"""
        self._begins = self._of_plants(lambda way: self._late(way) + way.plants.begins[way.order])
        types = len(ways[0].plants.make_up)
        self._kinds, self._looks = self._looks_of_all(types)
        self._arrivals = np.zeros((self._dates, self._shape))
        for way in ways:
            self._arrivals[self._late(way) :, way.here] = way.plants.arrivals[:, way.order]
        # of each column its plant: first those for nothing left, way by way
        self._plant = np.concatenate([np.tile(np.arange(w.first, w.here.stop), 2) for w in ways])
        is_any = np.concatenate([np.arange(2).repeat(len(w.order)) for w in ways])
        self._nothing, self._any = np.flatnonzero(is_any == 0), np.flatnonzero(is_any)
        landed = np.any([way.plants.landing > 0 for way in ways], axis=0)
        self._landed = np.flatnonzero(landed)
        landing = [np.outer(w.plants.landing[landed], np.ones(len(w.order))) for w in ways]
        self._landing = np.concatenate(landing, axis=1)
        self._slopes = np.zeros((types, self._shape))
        self._passed: dict[int, _Passed] = {}

    def back(self, *, keep: bool) -> None:
        """Run back to all starts; keep what the adjoint sweep needs, if it is to follow."""
        state = np.zeros((len(self._slopes), 2 * self._shape))
        state[:, self._any] = 1.0
        spare = state.copy()
        exponent, landing = np.zeros(2 * self._shape), self._landing[:, self._plant]
        for date in range(self._dates - 1, -1, -1):
            shown = self._looks[date]
            if shown.min() < len(self._kinds) - 1:
                state *= self._kinds[shown[self._plant]].T
            begun = np.flatnonzero(self._begins == date)
            if len(begun):
                self._start(begun, state, exponent)
            active = [way for way in self.ways if self._is_on(way, date)]
            if not active:
                return
            came = (landing * state[self._landed]).sum(axis=0) - 1
            exponent += self._arrivals[date, self._plant] * came
            # asking for as much memory each day takes as long as half of the product itself
            state, spare = self._day(date, active, state, spare, keep=keep), state

    def down(self) -> Values:
        """Adjoint sweep: (T, N) mean numbers left on the last date."""
        slope = np.zeros_like(self._slopes)
        for date in range(int(self._begins.min()), self._dates):
            active = [way for way in self.ways if self._is_on(way, date)]
            if active:
                slope = self._down_a_day(date, active, slope)
                slope[self._landed] += self._landing * self._arrivals[date]
            begun = np.flatnonzero(self._begins == date)
            slope[:, begun] = self._slopes[:, begun]
            slope *= self._kinds[self._looks[date]].T
        return slope

    def _day(
        self, date: int, active: Sequence[_Way], after: Values, before: Values, *, keep: bool
    ) -> Values:
        """Back over a day, into memory at hand; values of ways not active mean nothing."""
        laid_by = self._eggs_laid(date, active)
        for way in active:
            values_before(self._step(way, date), after[:, way.columns], before[:, way.columns])
        if laid_by.any():
            day = self._step(active[0], date)
            exp = np.exp(laid_by[self._plant] * (after[day.eggs] - 1))
            before[day.laying] *= exp
            if keep:
                laid = before[day.laying][:, self._any]
                self._passed[date] = _Passed(exp[:, self._any], laid)
        for way in active:
            before[:, way.columns] += self._step(way, date).gone[:, None]
        return before

    def _down_a_day(self, date: int, active: Sequence[_Way], slope: Values) -> Values:
        day, passed = self._step(active[0], date), self._passed.get(date)
        if passed is not None:
            laying = slope[day.laying]
            eggs = self._eggs_laid(date, active) * laying * passed.laid
            slope[day.laying] = laying * passed.exp
        after = np.zeros_like(slope)
        for way in active:
            after[:, way.here] = numbers_after(self._step(way, date), slope[:, way.here])
        if passed is not None:
            after[day.eggs] += eggs
        return after

    def _start(self, begun: Places, state: Values, exponent: Values) -> None:
        """The chances (b,) of plants that begin on a date, and the slopes of their starts."""
        make_up, infested, mean, shape = (
            self._of_plants(of)[..., begun]
            for of in (
                lambda way: np.outer(way.plants.make_up, np.ones(len(way.order))),
                lambda way: way.plants.infested[way.order],
                lambda way: way.plants.mean[way.order],
                lambda way: way.plants.shape[way.order],
            )
        )
        ends = []
        for columns in (self._nothing[begun], self._any[begun]):
            expected = mean * (make_up * (1 - state[:, columns])).sum(axis=0)
            value = 1 - infested + infested * (1 + expected / shape) ** -shape
            ends.append(value * np.exp(exponent[columns]))
        self.chances[begun], self.of_log[begun] = ends[0] / ends[1], ends[1]
        # of any number left, which is the last
        steep = infested * mean * (1 + expected / shape) ** -(shape + 1)
        self._slopes[:, begun] = make_up * (steep / value)

    def _eggs_laid(self, date: int, active: Sequence[_Way]) -> Values:
        """(N,): of each survivor that lays; 0 where nothing is to be worked out any more."""
        laid = np.zeros(self._shape)
        for way in active:
            laid[way.here] = self._step(way, date).eggs_laid
        return laid

    def _step(self, way: _Way, date: int) -> Day:
        """From the date before to a date."""
        return way.plants.steps[date - self._late(way) - 1]

    def _is_on(self, way: _Way, date: int) -> bool:
        """Whether some of its plants were there before a date."""
        return bool(self._begins[way.here].min() < date)

    def _late(self, way: _Way) -> int:
        """Dates by which its logs are shorter."""
        return self._dates - len(way.plants.looks)

    def _of_plants(self, of: Callable[[_Way], NDArray[Any]]) -> NDArray[Any]:
        return np.concatenate([of(way) for way in self.ways], axis=-1)

    def _looks_of_all(self, types: int) -> tuple[Values, Places]:
        """All kinds of looks (K, T), the last of which sees nothing, and (D, N) those of plants."""
        kinds = [*(way.plants.unseen for way in self.ways), np.ones((1, types))]
        firsts = np.cumsum([0, *(len(of) for of in kinds)])
        looks = np.full((self._dates, self._shape), firsts[-1] - 1, dtype=np.intp)
        for way, first in zip(self.ways, firsts, strict=False):
            shown = way.plants.looks[:, way.order]
            looks[self._late(way) :, way.here] = np.where(shown < 0, firsts[-1] - 1, shown + first)
        return np.concatenate(kinds), looks


def clean_day_back(day: Day, flat: Values) -> Values:
    """Run values (T, N) of one insect, without finds, back from the end of a day to its start."""
    before = values_before(day, flat)
    if day.eggs_laid > 0:
        before[day.laying] *= np.exp(day.eggs_laid * (flat[day.eggs] - 1))
    before += day.gone[:, None]
    return before

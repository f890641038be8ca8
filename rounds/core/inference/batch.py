"""Many plants without finds at once: one process, one temperature, looks of their own."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rounds.core.biology.day import Day, Places, Values, numbers_after, values_before

AT_ONCE = 96
"""plants in a batch, so that their state stays in the processor's cache; measured"""


@dataclass(frozen=True, slots=True, eq=False)
class CleanPlants:
    """B plants on which nothing was found. D dates, numbered from 0; all end on the last.

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


def clean_answers(plants: CleanPlants) -> tuple[Values, Values]:
    """(B,), (T, B): the chance clean of each, and the mean number left of every type."""
    result = np.empty(len(plants.begins))
    means = np.empty((len(plants.make_up), len(result)))
    for way in _ways(plants):
        for which, chances in way.back():
            result[which] = chances
        means[:, way.order] = way.down()
    return result, means


def clean_chances(plants: CleanPlants) -> tuple[Values, Values]:
    """(B,), (B,): the chance clean of each, and the logarithm of the chance of its log."""
    result, logs = np.empty(len(plants.begins)), np.empty(len(plants.begins))
    for way in _ways(plants):
        for which, chances in way.back():
            result[which] = chances
        logs[way.order] = np.log(np.concatenate(way.of_log))
    return result, logs


def _ways(plants: CleanPlants) -> Iterator["_Way"]:
    # latest start first: each plant leaves the batch at its own start
    order = np.argsort(-plants.begins, kind="stable")
    for first in range(0, len(order), AT_ONCE):
        yield _Way(plants, order[first : first + AT_ONCE])


@dataclass(slots=True, eq=False)
class _Passed:
    """What the adjoint sweep needs of a day, for any number left: (L, b) of those that lay."""

    exp: Values
    laid: Values


class _Way:
    """A batch of plants: a run back to their starts, latest first, and the adjoint sweep after it.

    On a date only the last b plants of `order` take part: the others began later.
    """

    def __init__(self, plants: CleanPlants, order: Places) -> None:
        self.plants, self.order = plants, order
        self._kinds = np.vstack([plants.unseen, np.ones(len(plants.make_up))])
        self._passed: dict[int, _Passed] = {}
        self._slopes: list[Values] = []
        self.of_log: list[Values] = []
        """chances of the logs, in the order of `order`, once it was run back"""

    def back(self) -> Iterator[tuple[Places, Values]]:
        """Run back; yield plants as their starts are reached, with their chances clean (b,)."""
        plants, which = self.plants, self.order
        state = np.zeros((len(plants.make_up), 2, len(which)))
        state[:, 1] = 1.0
        exponent = np.zeros((2, len(which)))
        for date in range(len(plants.looks) - 1, -1, -1):
            shown = plants.looks[date, which]
            if shown.max() >= 0:
                state *= self._kinds[shown].T[:, None, :]
            begun = int(np.searchsorted(-plants.begins[which], -date, side="right"))
            if begun:
                yield which[:begun], self._start(which[:begun], state[..., :begun],
                                                 exponent[:, :begun])  # fmt: skip
                which = which[begun:]
                state, exponent = state[..., begun:], exponent[:, begun:]
            if not len(which):
                return
            flat = np.ascontiguousarray(state).reshape(len(state), -1)
            arrived = (plants.landing @ flat).reshape(2, -1) - 1
            exponent = exponent + plants.arrivals[date, which] * arrived
            state = self._day(date, flat).reshape(state.shape)

    def down(self) -> Values:
        """Adjoint sweep: (T, b) mean numbers left on the last date, in the order of `order`."""
        plants = self.plants
        slope = np.empty((len(plants.make_up), 0))
        slopes = np.concatenate(self._slopes, axis=1)
        for date in range(int(plants.begins[self.order].min()), len(plants.looks)):
            if slope.shape[1]:
                which = self.order[len(self.order) - slope.shape[1] :]
                slope = self._down_a_day(date, slope)
                slope += np.outer(plants.landing, plants.arrivals[date, which])
            begun = np.flatnonzero(plants.begins[self.order] == date)
            slope = np.concatenate([slopes[:, begun], slope], axis=1)
            which = self.order[len(self.order) - slope.shape[1] :]
            slope *= self._kinds[plants.looks[date, which]].T
        return slope

    def _day(self, date: int, flat: Values) -> Values:
        day = self.plants.steps[date - 1]
        if day.eggs_laid <= 0:
            return clean_day_back(day, flat)
        half = flat.shape[1] // 2
        before = values_before(day, flat)
        exp = np.exp(day.eggs_laid * (flat[day.eggs] - 1))
        before[day.laying] *= exp
        self._passed[date] = _Passed(exp[:, half:], before[day.laying, half:])
        before += day.gone[:, None]
        return before

    def _down_a_day(self, date: int, slope: Values) -> Values:
        day, passed = self.plants.steps[date - 1], self._passed.get(date)
        if passed is None:
            return numbers_after(day, slope)
        laying = slope[day.laying]
        eggs = day.eggs_laid * laying * passed.laid
        slope[day.laying] = laying * passed.exp
        after = numbers_after(day, slope)
        after[day.eggs] += eggs
        return after

    def _start(self, which: Places, state: Values, exponent: Values) -> Values:
        plants = self.plants
        expected = plants.mean[which] * np.tensordot(plants.make_up, 1 - state, axes=1)
        shape, infested = plants.shape[which], plants.infested[which]
        value = 1 - infested + infested * (1 + expected / shape) ** -shape
        steep = infested * plants.mean[which] * (1 + expected[1] / shape) ** -(shape + 1)
        self._slopes.append(np.outer(plants.make_up, steep / value[1]))
        clean, any_ = value * np.exp(exponent)
        self.of_log.append(any_)
        return np.asarray(clean / any_)


def clean_day_back(day: Day, flat: Values) -> Values:
    """Run values (T, N) of one insect, without finds, back from the end of a day to its start."""
    before = values_before(day, flat)
    if day.eggs_laid > 0:
        before[day.laying] *= np.exp(day.eggs_laid * (flat[day.eggs] - 1))
    before += day.gone[:, None]
    return before

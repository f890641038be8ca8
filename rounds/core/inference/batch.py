"""Many plants without finds at once: one process, one temperature, looks of their own."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rounds.core.biology.day import Day, Places, Values, values_before

AT_ONCE = 96
"""plants side by side: their state stays near the processor; measured"""


@dataclass(frozen=True, slots=True, eq=False)
class CleanPlants:
    """B plants on which nothing was found. Dates are numbered from 0, D in all, the last shared.

    Start: infested with `infested` (B,), then `mean` (B,) insects made up as `make_up` (T,).
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
    """(K, T): kinds of looks, chance that an insect is not shown"""
    looks: NDArray[np.intp]
    """(D, B): the kind of look of each plant on each date; -1 none"""


def clean_chances(plants: CleanPlants) -> Values:
    """(B,): the chance clean of each."""
    kinds = np.vstack([plants.unseen, np.ones(len(plants.make_up))])
    # those that came last are done first, so that none is carried further than its start
    order = np.argsort(-plants.begins, kind="stable")
    result = np.empty(len(order))
    for first in range(0, len(order), AT_ONCE):
        _fill(result, plants, order[first : first + AT_ONCE], kinds)
    return result


def _fill(result: Values, plants: CleanPlants, which: Places, kinds: Values) -> None:
    state = np.zeros((len(plants.make_up), 2, len(which)))
    state[:, 1] = 1.0
    exponent = np.zeros((2, len(which)))
    for date in range(len(plants.looks) - 1, -1, -1):
        shown = plants.looks[date, which]
        if shown.max() >= 0:
            state *= kinds[shown].T[:, None, :]
        begun = int(np.searchsorted(-plants.begins[which], -date, side="right"))
        if begun:
            done = which[:begun]
            result[done] = _start(plants, done, state[..., :begun], exponent[:, :begun])
            which = which[begun:]
            state, exponent = state[..., begun:], exponent[:, begun:]
        if not len(which):
            return
        flat = np.ascontiguousarray(state).reshape(len(state), -1)
        arrived = (plants.landing @ flat).reshape(2, -1) - 1
        exponent = exponent + plants.arrivals[date, which] * arrived
        state = clean_day_back(plants.steps[date - 1], flat).reshape(state.shape)


def clean_day_back(day: Day, flat: Values) -> Values:
    """Values at the start of a day from those at its end, no find in them: (T, N) to (T, N)."""
    before = values_before(day, flat)
    if day.eggs_laid > 0:
        before[day.laying] *= np.exp(day.eggs_laid * (flat[day.eggs] - 1))
    before += day.gone[:, None]
    return before


def _start(plants: CleanPlants, which: Places, state: Values, exponent: Values) -> Values:
    expected = plants.mean[which] * np.tensordot(plants.make_up, 1 - state, axes=1)
    shape, infested = plants.shape[which], plants.infested[which]
    value = 1 - infested + infested * (1 + expected / shape) ** -shape
    clean, any_ = value * np.exp(exponent)
    return np.asarray(clean / any_)

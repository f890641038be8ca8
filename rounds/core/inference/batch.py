"""Many plants without finds at once: one process, one temperature, looks of their own."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rounds.core.biology.day import Day, Places, Values


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
    order = np.argsort(-plants.begins, kind="stable")
    kinds = np.vstack([plants.unseen, np.ones(len(plants.make_up))])
    result, types = np.empty(len(order)), len(plants.make_up)
    state = np.zeros((types, 2, len(order)))
    state[:, 1] = 1.0
    exponent = np.zeros((2, len(order)))
    for date in range(len(plants.looks) - 1, -1, -1):
        shown = plants.looks[date, order]
        if (shown >= 0).any():
            state *= kinds[shown].T[:, None, :]
        begun = int((plants.begins[order] == date).sum())
        if begun:
            chances = _start(plants, order[:begun], state[..., :begun], exponent[:, :begun])
            result[order[:begun]] = chances
            order = order[begun:]
            state = np.ascontiguousarray(state[..., begun:])
            exponent = np.ascontiguousarray(exponent[:, begun:])
        if not len(order):
            break
        exponent += plants.arrivals[date, order] * (np.tensordot(plants.landing, state, 1) - 1)
        state = _day_back(plants.steps[date - 1], state)
    return result


def _day_back(day: Day, state: Values) -> Values:
    groups, within, _ = day.blocks.shape
    flat = state.reshape(day.size, -1)
    lived = np.matmul(day.blocks, flat.reshape(groups, within, -1)).reshape(day.size, -1)
    lived[day.wandering] += day.wander[day.wandering, None] * (day.landing @ flat)
    if day.eggs_laid > 0:
        lived[day.laying] *= np.exp(day.eggs_laid * (flat[day.eggs] - 1))
    lived += day.gone[:, None]
    back: Values = lived.reshape(state.shape)
    return back


def _start(plants: CleanPlants, which: Places, state: Values, exponent: Values) -> Values:
    expected = plants.mean[which] * np.tensordot(plants.make_up, 1 - state, axes=1)
    shape, infested = plants.shape[which], plants.infested[which]
    value = 1 - infested + infested * (1 + expected / shape) ** -shape
    clean, any_ = value * np.exp(exponent)
    return np.asarray(clean / any_)

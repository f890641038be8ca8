"""Two small processes that are not the plant's own, and logs on them, for trials."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from rounds.core.biology.day import Day, Values, make_day
from rounds.core.inference.observed import Find, Log, LoggedDay, Look, Start

# TINY: egg and laying adult, one zone, always in reach.


def tiny_day(survival: tuple[float, float], hatch: float, eggs: float) -> Day:
    """An egg becomes an adult with `hatch`; a surviving adult lays Poisson(eggs)."""
    egg, adult = survival
    block = np.array([[[egg * (1 - hatch), egg * hatch], [0.0, adult]]])
    return make_day(block, np.zeros(2), np.array([1.0, 0.0]), np.array([1]), np.array([0]), eggs)


def tiny_look(shown: int | tuple[int, int], found: tuple[float, float], entry: int) -> Look:
    """A whole number is found of both types together, a pair of eggs and adults apart."""
    chances = np.array(found)
    groups = [np.ones(2)] if isinstance(shown, int) else [np.array([1.0, 0]), np.array([0, 1.0])]
    counts = [shown] if isinstance(shown, int) else list(shown)
    finds = tuple(
        Find(chances * group, count, entry=entry)
        for group, count in zip(groups, counts, strict=True)
        if count
    )
    return Look(1 - chances, finds)


def tiny_log(
    start: tuple[float, tuple[float, float], float],
    step: Day,
    arrivals: tuple[float, float],
    found: tuple[float, float],
    looks: Sequence[Sequence[int | tuple[int, int]]],
) -> Log:
    """A log of TINY. `start`: chance infested, mean by type, shape."""
    infested, mean, shape = start
    total = sum(arrivals)
    landing = np.array(arrivals) / total if total else np.array([0.5, 0.5])
    days = [
        LoggedDay(
            step if day else None,
            total if day else 0.0,
            tuple(tiny_look(shown, found, day) for shown in of_day),
        )
        for day, of_day in enumerate(looks)
    ]
    return Log(Start(infested, np.array(mean), shape), landing, tuple(days))


# PLANT: nine sub-stages on six zones, in reach or tucked away.

STAGES = ("E", "E", "L1", "L1", "L2", "L3", "P", "P", "A")
GROUPS = {"eggs": ("E",), "young": ("L1", "L2", "L3"), "adult": ("P", "A")}
WEIGHT = np.array([0.3, 0.25, 0.15, 0.1, 0.12, 0.08])
TUCKED = np.array([0.35, 0.25, 0.3, 0.4, 0.5, 0.9])
MAKE_UP = np.array([0.12, 0.12, 0.14, 0.14, 0.14, 0.12, 0.08, 0.07, 0.07])
SURVIVE = np.array([0.98, 0.98, 0.93, 0.95, 0.975, 0.985, 0.99, 0.99, 0.96])
LENGTH = np.array([42.5, 42.5, 82, 82, 117, 120, 189, 189, math.inf])
FOUND = np.array([0.05, 0.05, 0.1, 0.1, 0.35, 0.6, 0.8, 0.8, 0.85])
EXCHANGE = 0.12
ZONES, SUBS = len(WEIGHT), len(STAGES)
PLACES = np.stack([WEIGHT * (1 - TUCKED), WEIGHT * TUCKED], axis=1)


def plant_day(celsius: float) -> Day:
    warm = min(celsius, 28) - 8
    further = 1 - np.exp(-warm / LENGTH)
    blocks = np.zeros((ZONES, SUBS, 2, SUBS, 2))
    wander = np.zeros((ZONES, SUBS, 2))
    mixed = np.stack([_mixing(share) for share in TUCKED])
    for sub in range(SUBS):
        stay = mixed if sub >= 2 else np.tile(np.eye(2), (ZONES, 1, 1))
        blocks[:, sub, :, sub] = SURVIVE[sub] * (1 - further[sub]) * stay
        if sub + 1 < SUBS:
            moved = mixed if sub + 1 >= 2 else stay
            share = 0.5 if sub == 1 else 1.0
            blocks[:, sub, :, sub + 1] = SURVIVE[sub] * further[sub] * share * moved
    wander[:, 1] = SURVIVE[1] * further[1] * 0.5
    landing = np.zeros((ZONES, SUBS, 2))
    landing[:, 2] = np.einsum("zr,zrq->zq", PLACES, mixed)
    layers = (np.arange(ZONES)[:, None] * SUBS + SUBS - 1) * 2 + np.arange(2)
    return make_day(
        blocks.reshape(ZONES, SUBS * 2, SUBS * 2),
        wander.reshape(-1),
        landing.reshape(-1),
        layers.reshape(-1),
        (layers - 2 * (SUBS - 1)).reshape(-1),
        7 * min(1.0, warm / 15),
    )


def _mixing(tucked: float) -> Values:
    out, back = EXCHANGE * tucked, EXCHANGE * (1 - tucked)
    return np.array([[1 - out, out], [back, 1 - back]])


def plant_start(infested: float, mean: float, shape: float) -> Start:
    everywhere = np.einsum("zr,s->zsr", PLACES, MAKE_UP).reshape(-1)
    return Start(infested, mean * everywhere, shape)


def plant_landing() -> Values:
    """Half first nymphs, half young adults, in reach."""
    landing = np.zeros((ZONES, SUBS, 2))
    landing[:, 2, 0] = landing[:, 6, 0] = WEIGHT / 2
    return landing.reshape(-1)


Finds = Mapping[tuple[int, int], Mapping[str, int] | int]
"""By day and zone: how many of any stage, or how many of each group."""


def plant_look(zone: int, effort: float, finds: Mapping[str, int] | int, entry: int) -> Look:
    chances = np.zeros((ZONES, SUBS, 2))
    chances[zone, :, 0] = 1 - (1 - FOUND) ** effort
    flat = chances.reshape(-1)
    counts = {"any": finds} if isinstance(finds, int) else finds
    channels = [
        Find(flat * _of_group(group), count, entry=entry)
        for group, count in counts.items()
        if count
    ]
    return Look(1 - flat, tuple(channels))


def _of_group(group: str) -> Values:
    inside = [group == "any" or stage in GROUPS[group] for stage in STAGES]
    return np.tile(np.repeat(np.array(inside, dtype=float), 2), ZONES)


def plant_log(
    start: tuple[float, float, float],
    celsius: float,
    last: int,
    finds: Finds,
    *,
    every: int = 1,
    effort: float = 1.0,
    arrivals: float = 0.0,
    looked_at: Sequence[int] = range(ZONES),
) -> Log:
    """A log of PLANT with looks every so many days, and on days with finds."""
    step = plant_day(celsius)
    days = []
    for day in range(last + 1):
        looks: tuple[Look, ...] = ()
        if day % every == 0 or any(day == when for when, _ in finds):
            looks = tuple(plant_look(z, effort, finds.get((day, z), 0), day) for z in looked_at)
        days.append(LoggedDay(step if day else None, arrivals if day else 0.0, looks))
    return Log(plant_start(*start), plant_landing(), tuple(days))


def by_zone(mean: Values) -> Values:
    """(6,) from (T,)."""
    sums: Values = mean.reshape(ZONES, -1).sum(axis=1)
    return sums

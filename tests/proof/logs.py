"""Random logs with finds, and what was so: plants and a grower, both simulated from seeds.

Plants come in lots of one weather and one grower: looks daily, every third day or weekly, at all
outside zones for about their reference seconds, in every other lot at the roots out of the pot
now and then. All that is found is taken off. Each plant on which something was found is asked
about once, on a day drawn from its first find to its last look; the log ends there.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from tests.proof.insects import Colonies, unlooked
from tests.proof.process import Process
from tests.proof.records import DayLooks, Find, Group, PlantLog, Start, ZoneLook

EVERY = (1, 3, 7)
DAYS = 70
ROOTS_EVERY = 28
LOT = 300
TOLD: tuple[Group, ...] = ("eggs", "young", "adult")

Found = dict[int, dict[tuple[int, int], tuple[Find, ...]]]
"""Finds by plant, then by day and the place of the look in it."""


@dataclass(frozen=True, slots=True)
class Known:
    """A log and the truth at its end."""

    log: PlantLog
    clean: bool
    left: int


@dataclass(frozen=True, slots=True)
class Grower:
    """Weather and habits of one lot; `looks` are the clean looks of a day, by day."""

    temperatures: tuple[tuple[float, float], ...]
    looks: dict[int, DayLooks]


@dataclass
class Lot:
    """What happened on the plants of one lot."""

    grower: Grower
    left: list[np.ndarray] = field(default_factory=list)
    """by day, insects of each plant after the day's looks"""
    found: Found = field(default_factory=dict)
    given_up: dict[int, int] = field(default_factory=dict)
    """by plant, the day from which it is no longer followed"""


def random_logs(
    process: Process, start: Start, arrivals: float, number: int, seed: int
) -> Iterator[Known]:
    """So many logs with finds; the first ones of a larger number with the same seed."""
    made = 0
    for lot_number, stream in enumerate(np.random.SeedSequence(seed).spawn(10**4)):
        rng = np.random.default_rng(stream)
        grower = random_grower(process, lot_number, rng)
        lot = happened(process, start, arrivals, grower, rng)
        for known in asked(lot, start, arrivals, rng):
            yield known
            made += 1
            if made == number:
                return


def random_grower(
    process: Process, lot_number: int, rng: np.random.Generator, days: int = DAYS
) -> Grower:
    """A wandering temperature, and a rhythm of looks."""
    every = EVERY[lot_number % len(EVERY)]
    roots_too = lot_number // len(EVERY) % 2 == 1
    middle = rng.uniform(16, 24) + np.cumsum(rng.normal(0, 0.7, days))
    half_range = rng.uniform(0, 6, days)
    temperatures = tuple(
        (round(float(m - h), 1), round(float(m + h), 1))
        for m, h in zip(np.clip(middle, 10, 30), half_range, strict=True)
    )
    looks = {}
    for day in range(0, days + 1, every):
        effort = float(rng.choice([0.5, 1.0, 1.5]))
        seen = [
            ZoneLook(zone, effort * float(seconds))
            for zone, seconds in zip(process.zones, process.reference_seconds, strict=True)
            if zone != "roots"
        ]
        if roots_too and day and day // ROOTS_EVERY > (day - every) // ROOTS_EVERY:
            roots = float(process.reference_seconds[process.zones.index("roots")])
            seen.append(ZoneLook("roots", roots, unpotted=True))
        looks[day] = DayLooks(day, tuple(seen))
    return Grower(temperatures, looks)


def happened(
    process: Process,
    start: Start,
    arrivals: float,
    grower: Grower,
    rng: np.random.Generator,
    plants: int = LOT,
    most: int | None = None,
) -> Lot:
    """The whole time of a lot; plants are numbered from 0.

    A plant that comes to hold more than `most` insects is given up, as it would take all the time.
    """
    lot = Lot(grower)
    colonies = unlooked(process, start, plants, rng)
    for day in range(len(grower.temperatures) + 1):
        if day:
            colonies.live(process.degree_days(*grower.temperatures[day - 1]), arrivals)
        for place, look in enumerate(grower.looks[day].looks if day in grower.looks else ()):
            _look(colonies, look, (day, place), lot.found)
        lot.left.append(colonies.counts())
        if most is not None:
            over = lot.left[-1] > most
            lot.given_up |= dict.fromkeys(np.flatnonzero(over).tolist(), day)
            colonies.keep(~over[colonies.plant])
    return lot


def _look(colonies: Colonies, look: ZoneLook, when: tuple[int, int], into: Found) -> None:
    found = colonies.found(look)
    stage = colonies.sub_stage[colonies.kind]
    for group in TOLD:
        count = colonies.counts(found & colonies.process.members(group)[stage])
        for plant in np.flatnonzero(count):
            finds = into.setdefault(int(plant), {})
            finds[when] = (*finds.get(when, ()), Find(group, int(count[plant])))
    colonies.keep(~found)


def asked(lot: Lot, start: Start, arrivals: float, rng: np.random.Generator) -> Iterator[Known]:
    """Each plant with a find, on a day of its own."""
    for plant in sorted(lot.found):
        first = min(day for day, _ in lot.found[plant])
        last_day = int(rng.integers(first, DAYS + 1))
        left = int(lot.left[last_day][plant])
        yield Known(log_until(lot, plant, last_day, start, arrivals), left == 0, left)


def log_until(lot: Lot, plant: int, last_day: int, start: Start, arrivals: float) -> PlantLog:
    """What was written down about a plant up to a day."""
    days = tuple(
        _with_finds(looks, lot.found[plant])
        for day, looks in lot.grower.looks.items()
        if day <= last_day
    )
    return PlantLog(days, last_day, lot.grower.temperatures[:last_day], start, arrivals)


def _with_finds(looks: DayLooks, found: dict[tuple[int, int], tuple[Find, ...]]) -> DayLooks:
    """The clean looks of a day with what a plant's differed in; clean days are shared."""
    here = {place: finds for (day, place), finds in found.items() if day == looks.day}
    if not here:
        return looks
    return DayLooks(
        looks.day,
        tuple(
            ZoneLook(look.zone, look.seconds, look.unpotted, here.get(place, ()))
            for place, look in enumerate(looks.looks)
        ),
    )

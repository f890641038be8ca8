"""Two trial processes, simpler than the plant of the parameter table, and logs with known answers.

TINY is small enough to enumerate by hand; PLANT has six zones. In places both differ from the
process of the package on purpose, so that no value of it can slip into the check.
"""

from dataclasses import dataclass

import numpy as np

from tests.proof.process import Day, Process
from tests.proof.records import DayLooks, Find, Group, PlantLog, Start, ZoneLook

NO_KILL = 1.0


@dataclass(frozen=True, slots=True)
class Trial:
    """A log under a trial process, and what an exact method must say of it."""

    process: Process
    log: PlantLog
    log_chance: float
    clean: float
    left: float
    left_by_zone: tuple[float, ...] | None = None


def tiny_process(
    mu: tuple[float, float],
    survive: tuple[float, float],
    advance: float,
    eggs: float,
    nu: tuple[float, float],
    found: tuple[float, float],
) -> Process:
    """Eggs and laying adults in one zone, always in reach; the weather does not matter."""
    day = Day(np.array(survive), np.array([advance, 0.0]), eggs)
    shares = np.zeros((2, 1, 2))
    shares[:, 0, 0] = nu
    return Process(
        zones=("all",),
        weight=np.ones(1),
        tucked_share=np.zeros(1),
        reference_seconds=np.ones(1),
        groups=("eggs", "adult"),
        make_up=np.array(mu),
        exchange=np.zeros(2),
        found_in_reach=np.array(found),
        found_out_of_pot=np.array(found),
        day=lambda degree_days: day,
        arrival=shares,
        leaves=0.0,
        stays=1.0,
        killed=NO_KILL,
        sac_gone=0.0,
    )


Counted = int | tuple[int, int]


def tiny_look(found: Counted) -> ZoneLook:
    """A total, or eggs and adults apart."""
    if isinstance(found, int):
        return ZoneLook("all", 1.0, finds=(Find("unknown", found),) if found else ())
    groups: tuple[Group, ...] = ("eggs", "adult")
    finds = tuple(Find(group, count) for group, count in zip(groups, found, strict=True))
    return ZoneLook("all", 1.0, finds=finds)


def tiny_log(days: list[list[Counted]], start: Start, nu: tuple[float, float]) -> PlantLog:
    """Looks by day, in their order."""
    looks = tuple(DayLooks(n, tuple(map(tiny_look, found))) for n, found in enumerate(days))
    last = len(days) - 1
    return PlantLog(looks, last, ((22.0, 22.0),) * last, start, sum(nu))


def plant_process() -> Process:
    """Nine sub-stages in six zones, in reach and tucked away."""
    lengths = np.array([42.5, 42.5, 82, 82, 117, 120, 189, 189, np.inf])
    survive = np.array([0.98, 0.98, 0.93, 0.95, 0.975, 0.985, 0.99, 0.99, 0.96])

    def day(degree_days: float) -> Day:
        eggs = 7 * min(1.0, degree_days / 15)
        return Day(survive, 1 - np.exp(-degree_days / lengths), eggs)

    weight = np.array([0.3, 0.25, 0.15, 0.1, 0.12, 0.08])
    arrival = np.zeros((9, 6, 2))
    arrival[2, :, 0] = arrival[6, :, 0] = weight / 2
    found = np.array([0.05, 0.05, 0.1, 0.1, 0.35, 0.6, 0.8, 0.8, 0.85])
    return Process(
        zones=tuple("012345"),
        weight=weight,
        tucked_share=np.array([0.35, 0.25, 0.3, 0.4, 0.5, 0.9]),
        reference_seconds=np.ones(6),
        groups=("eggs",) * 2 + ("young",) * 4 + ("adult",) * 3,
        make_up=np.array([0.12, 0.12, 0.14, 0.14, 0.14, 0.12, 0.08, 0.07, 0.07]),
        exchange=np.array([0, 0, 1, 1, 1, 1, 1, 1, 1]) * 0.12,
        found_in_reach=found,
        found_out_of_pot=found,
        day=day,
        arrival=arrival,
        leaves=0.0,
        stays=0.5,
        killed=NO_KILL,
        sac_gone=0.0,
    )


Finds = dict[tuple[int, int], tuple[Find, ...]]


def some(count: int) -> tuple[Find, ...]:
    """So many of unknown stage."""
    return (Find("unknown", count),)


def plant_log(
    start: Start,
    temperature: float,
    every: int,
    last_day: int,
    finds: Finds,
    *,
    zones: str = "012345",
    effort: float = 1.0,
    arrivals: float = 0.0,
) -> PlantLog:
    """Looks through the zones on days 0, every, 2 every, ... and on days with finds."""
    days = sorted({*range(0, last_day + 1, every), *(day for day, _ in finds)})
    looks = tuple(
        DayLooks(day, tuple(ZoneLook(z, effort, finds=finds.get((day, int(z)), ())) for z in zones))
        for day in days
    )
    weather = ((temperature, temperature),) * last_day
    return PlantLog(looks, last_day, weather, start, arrivals)


def _tiny_trials() -> dict[int, Trial]:
    survive = (0.9, 0.85)
    first = Start(0.4, 0.5, 0.9)
    second = Start(1.0, 0.5, 2.0)
    none, some_arrive, adults_arrive = (0.0, 0.0), (0.02, 0.03), (0.0, 0.01)
    one = tiny_process((0.3, 0.2), survive, 0.3, 0.25, (1.0, 0.0), (0.3, 0.7))
    two = tiny_process((0.3, 0.2), survive, 0.3, 0.25, some_arrive, (0.3, 0.7))
    three = tiny_process((0.2, 0.3), survive, 0.3, 0.3, adults_arrive, (0.2, 0.6))
    looks_two: list[list[Counted]] = [[1, 1], [0], [0, 2], [1], [0]]
    looks_three: list[list[Counted]] = [[(1, 2)], [0], [(0, 1), (1, 0)], [0], [0]]
    log_one = tiny_log([[1], [0], [2], [0]], first, none)
    log_two = tiny_log(looks_two, first, some_arrive)
    log_three = tiny_log(looks_three, second, adults_arrive)
    return {
        1: Trial(one, log_one, -8.179765, 0.856090, 0.161575),
        2: Trial(two, log_two, -14.135615, 0.916328, 0.089683),
        3: Trial(three, log_three, -12.678181, 0.890807, 0.121454),
    }


def _plant_trials() -> dict[int, Trial]:
    plant, usual = plant_process(), Start(0.3, 6.0, 0.8)
    adults: Finds = {(0, 0): (Find("adult", 8),)}
    mixed: Finds = {(0, 1): (Find("young", 1), Find("adult", 1)), (4, 0): some(1), (10, 3): some(2)}
    logs = {
        4: plant_log(usual, 22, 1, 46, {(0, 0): some(2), (0, 1): some(1), (1, 1): some(1)}),
        5: plant_log(
            usual, 22, 1, 41, {(0, 0): some(1), (6, 2): some(2), (7, 0): some(1), (20, 4): some(1)}
        ),
        6: plant_log(usual, 22, 1, 45, adults),
        7: plant_log(usual, 22, 7, 56, {(0, 0): some(3), (14, 3): some(1)}),
        8: plant_log(Start(0.5, 8.0, 1.5), 18, 2, 60, mixed, zones="01234", effort=0.5),
        9: plant_log(
            Start(0.2, 5.0, 0.6), 24, 1, 45,
            {(0, 0): some(1), (3, 0): some(1), (9, 1): some(1), (9, 2): some(1)},
            arrivals=0.01,
        ),
    }  # fmt: skip
    known: dict[int, tuple[float, float, float]] = {
        4: (-12.108796, 0.932238, 0.411038),
        5: (-24.161157, 0.882940, 0.638795),
        6: (-29.217600, 0.871421, 0.789396),
        7: (-13.571218, 0.911815, 0.857009),
        8: (-20.245145, 0.855320, 1.184677),
        9: (-18.407971, 0.911165, 0.440869),
    }
    by_zone = {
        4: (0.0336928, 0.0153323, 0.0123233, 0.0154967, 0.0357750, 0.298418),
        7: (0.108959, 0.0550856, 0.0421383, 0.0480987, 0.0974623, 0.505266),
    }
    return {n: Trial(plant, log, *known[n], by_zone.get(n)) for n, log in logs.items()}


TRIALS = {**_tiny_trials(), **_plant_trials()}

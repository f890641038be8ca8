"""First crossings of a level by many more plants than `release` follows, and fewer kinds of them.

    python -m tests.proof.crossings --lots 16 --seed 401

Lots of very many plants, asked about on the same days: weekly, from two weeks without a find on.
Those that need more than a few coefficients are not asked about. The chance said is that of
`backwards`, which is held to the package's by a test.
"""

import argparse
import time
from collections import defaultdict
from collections.abc import Iterator
from math import prod

import numpy as np

from tests.proof.backwards import Caps, Life, chances_clean
from tests.proof.calibrate import plant
from tests.proof.logs import Grower, Lot, happened, log_until, random_grower
from tests.proof.release import CLEAN_FOR, DAYS, EVERY, HEAD, LEVELS, Crossings
from tests.proof.values import ASSUMED

PLANTS = 20_000
MOST = 16
"""coefficients of a plant asked about"""
AT_ONCE = 1200
"""coefficients of all plants worked out together"""


def lots(plants: int, number: int, seed: int) -> Iterator[Lot]:
    """So many lots of so many plants."""
    process = plant()
    for lot_number, stream in enumerate(np.random.SeedSequence(seed).spawn(number)):
        rng = np.random.default_rng(stream)
        grower = random_grower(process, lot_number, rng, DAYS)
        start, arrivals = ASSUMED.new_arrival, ASSUMED.arrivals_apart
        yield happened(process, start, arrivals, grower, rng, plants)


def question_days(grower: Grower) -> list[int]:
    """The first day with looks of every week, from the third on."""
    days: list[int] = []
    for day in sorted(grower.looks):
        if day >= CLEAN_FOR and (not days or day // EVERY > days[-1] // EVERY):
            days.append(day)
    return days


def crossed(life: Life, lot: Lot, levels: tuple[float, ...]) -> dict[float, Crossings]:
    """First crossings of each level by the plants of a lot with finds."""
    crossings = {level: Crossings() for level in levels}
    waiting = {one: list(levels) for one in lot.found}
    for day in question_days(lot.grower):
        for some in asked_together(lot, day, [one for one in sorted(waiting) if waiting[one]]):
            logs = [
                log_until(lot, one, day, ASSUMED.new_arrival, ASSUMED.arrivals_apart)
                for one in some
            ]
            for one, log, chance in zip(some, logs, chances_clean(life, logs), strict=True):
                while waiting[one] and chance >= waiting[one][0]:
                    at = crossings[waiting[one].pop(0)]
                    at.said.append(float(chance))
                    at.infested.append(bool(lot.left[day][one]))
                    at.days.append(day - (log.last_find or 0))
    return crossings


def asked_together(lot: Lot, day: int, plants: list[int]) -> Iterator[list[int]]:
    """Those without a find for long enough, in groups that are worked out together."""
    alike: dict[Caps, list[int]] = defaultdict(list)
    for one in plants:
        finds = [(found, find.count) for (found, _), some in lot.found[one].items()
                 for find in some if found <= day]  # fmt: skip
        caps = tuple(sorted((count for found, count in finds if found), reverse=True))
        long_enough = finds and day - max(found for found, _ in finds) >= CLEAN_FOR
        if long_enough and prod(cap + 1 for cap in caps) <= MOST:
            alike[caps].append(one)
    for caps, group in alike.items():
        step = AT_ONCE // prod(cap + 1 for cap in caps)
        yield from (group[at : at + step] for at in range(0, len(group), step))


def main() -> None:
    """Runs what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lots", type=int, default=16)
    parser.add_argument("--plants", type=int, default=PLANTS, help="of a lot")
    parser.add_argument("--seed", type=int, default=401)
    parser.add_argument("--levels", type=float, nargs="+", default=LEVELS)
    asked = parser.parse_args()
    levels = tuple(asked.levels)
    life, together = Life(plant()), {level: Crossings() for level in levels}
    began = time.perf_counter()
    for lot in lots(asked.plants, asked.lots, asked.seed):
        for level, found in crossed(life, lot, levels).items():
            together[level].add(found)
    print(f"{asked.lots} lots of {asked.plants} plants in {time.perf_counter() - began:.0f} s")
    print(HEAD)
    for level in levels:
        print(together[level].line(level))


if __name__ == "__main__":
    main()

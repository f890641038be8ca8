"""Heavy logs: very much was found, then nothing for a fortnight or more. What is said, what is so?

    python -m tests.proof.heavy --logs 1500 --budgets 32 256

Infested plants and growers, simulated; insects wander in all the while. A plant is asked about on
the first day with looks on which so much was found in all and then nothing for some days in a row,
drawn for each plant from two to four weeks: a day that the log alone decides on, so that chances
that are what they say are so of these logs too.
"""

import argparse
import time
from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np

from rounds.core.inference.answer import BUDGET, LIVE_BUDGET, chance_clean
from tests.proof.calibrate import HEAD, bin_lines, chances, plant, table_line
from tests.proof.exact_predict import evidence
from tests.proof.logs import Known, Lot, happened, log_until, random_grower
from tests.proof.records import PlantLog, Start
from tests.proof.scores import calibration
from tests.proof.values import ASSUMED

SEED = 2017
DAYS, PLANTS = 112, 150
INFESTED = Start(infested=1.0, mean=6.0, shape=0.5)
LEAST = 40
"""insects found in all"""
CLEAN_FOR = (14, 28)
MOST = 4000
"""insects on a plant from which it is given up: it is not clean a fortnight after"""


def heavy_logs(number: int, seed: int = SEED, least: int = LEAST) -> Iterator[Known]:
    """So many heavy logs and the truth at their end."""
    process, made = plant(), 0
    for lot_number, stream in enumerate(np.random.SeedSequence(seed).spawn(10**4)):
        rng = np.random.default_rng(stream)
        grower = random_grower(process, lot_number, rng, DAYS)
        lot = happened(process, INFESTED, ASSUMED.arrivals_apart, grower, rng, PLANTS, MOST)
        for one in sorted(lot.found):
            day = _asked_on(lot, one, least, int(rng.integers(*CLEAN_FOR, endpoint=True)))
            if day is None or lot.given_up.get(one, DAYS + 1) <= day:
                continue
            left = int(lot.left[day][one])
            log = log_until(lot, one, day, INFESTED, ASSUMED.arrivals_apart)
            yield Known(log, left == 0, left)
            made += 1
            if made == number:
                return


def within(budget: int, log: PlantLog) -> float:
    """The chance clean within a budget of coefficients."""
    return chance_clean(evidence(log).log, budget)


def _asked_on(lot: Lot, one: int, least: int, clean_for: int) -> int | None:
    """The first day with looks after so many finds in all and so many days without; None if none.

    Finds of the first day count too.
    """
    found: dict[int, int] = {}
    for (day, _), finds in lot.found[one].items():
        found[day] = found.get(day, 0) + sum(find.count for find in finds)
    for day in sorted(lot.grower.looks):
        so_far = {at: number for at, number in found.items() if at <= day}
        if sum(so_far.values()) >= least and day - max(so_far) >= clean_for:
            return day
    return None


def lines(known: Sequence[Known], budget: int) -> list[str]:
    """A row of scores, and rows by classes of the chance said."""
    said = chances(partial(within, budget), known)
    scores = calibration([one.clean for one in known], said)
    return [table_line(f"budget {budget}", scores), *bin_lines(said, known)]


def main() -> None:
    """Runs what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--logs", type=int, default=1500)
    parser.add_argument("--least", type=int, default=LEAST, help="insects found in all")
    parser.add_argument("--budgets", type=int, nargs="+", default=[LIVE_BUDGET, BUDGET])
    parser.add_argument("--seed", type=int, default=SEED)
    asked = parser.parse_args()
    began = time.perf_counter()
    known = list(heavy_logs(asked.logs, asked.seed, asked.least))
    print(f"{len(known)} logs in {time.perf_counter() - began:.0f} s")
    print(HEAD)
    for budget in asked.budgets:
        print("\n".join(lines(known, budget)), flush=True)


if __name__ == "__main__":
    main()

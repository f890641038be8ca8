"""Plants let go too early: of those whose chance clean first reaches a level, how many were not.

    python -m tests.proof.release --plants 1000 --seeds 11 12 13

Newly arrived plants on which something was found, followed by simulated growers for sixteen
weeks. The chance clean is asked for once a week, after a day with looks, from two weeks without a
find on. A chance that is what it says is so at any moment the log alone decides on, the first
crossing of a level included: the share infested then is one less the chance said.

`--more-than 16` follows the plants that `crossings` leaves out: those whose finds need more
coefficients, asked about as long as they do.
"""

import argparse
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import prod

import numpy as np

from tests.proof.calibrate import SEED, Predict, plant
from tests.proof.exact_predict import pooled
from tests.proof.logs import Lot, happened, log_until, random_grower
from tests.proof.process import Process
from tests.proof.records import Start
from tests.proof.values import ASSUMED

DAYS, CLEAN_FOR, EVERY = 112, 14, 7
LEVELS = (0.90, 0.95, 0.99)
HEAD = " level  plants days clean    said  infested   error      z"


@dataclass
class Crossings:
    """First crossings of a level: what was said, what was so, how long after the last find."""

    said: list[float] = field(default_factory=list)
    infested: list[bool] = field(default_factory=list)
    days: list[int] = field(default_factory=list)

    def add(self, other: "Crossings") -> None:
        """Take those of another run in."""
        self.said += other.said
        self.infested += other.infested
        self.days += other.days

    def line(self, level: float) -> str:
        """One row under `HEAD`; its error is the standard error of the share infested."""
        if not self.said:
            return f"{level:6.2f} {0:7d}"
        said, infested = np.array(self.said), np.array(self.infested, float)
        expected = float((1 - said).sum())
        spread = float(np.sqrt((said * (1 - said)).sum()))
        error = spread / len(said)
        z = (float(infested.sum()) - expected) / spread
        return (
            f"{level:6.2f} {len(said):7d} {np.median(self.days):10.0f} {said.mean():7.4f}"
            f" {infested.mean():9.4f} {error:7.4f} {z:6.2f}"
        )


def released(
    predict: Predict,
    plants: int,
    seed: int = SEED,
    levels: tuple[float, ...] = LEVELS,
    more_than: int = 0,
) -> dict[float, Crossings]:
    """Crossings of each level by so many plants with finds; some never cross.

    Only those that need more than so many coefficients, and only as long as they do.
    """
    process = plant()
    crossings = {level: Crossings() for level in levels}
    for lot, number in _plants(process, ASSUMED.new_arrival, plants, seed, more_than):
        waiting = list(levels)
        for day in _asked_on(lot, number):
            if not waiting:
                break
            if needed(lot, number, day) <= more_than:
                continue
            log = log_until(lot, number, day, ASSUMED.new_arrival, ASSUMED.arrivals_apart)
            chance = predict(log)
            while waiting and chance >= waiting[0]:
                at = crossings[waiting.pop(0)]
                at.said.append(chance)
                at.infested.append(bool(lot.left[day][number]))
                at.days.append(day - (log.last_find or 0))
    return crossings


def needed(lot: Lot, number: int, day: int) -> int:
    """Coefficients of what was found on a plant up to a day, each find by itself."""
    found = lot.found[number].items()
    return prod(f.count + 1 for (on, _), finds in found for f in finds if 0 < on <= day)


def _asked_on(lot: Lot, number: int) -> Iterator[int]:
    """Days with looks, a week apart or more, two weeks or more after the last find."""
    finds = sorted({day for day, _ in lot.found[number]})
    asked = -EVERY
    for day in sorted(lot.grower.looks):
        earlier = [found for found in finds if found <= day]
        if earlier and day - earlier[-1] >= CLEAN_FOR and day - asked >= EVERY:
            asked = day
            yield day


def _plants(
    process: Process, start: Start, number: int, seed: int, more_than: int
) -> Iterator[tuple[Lot, int]]:
    """So many plants with finds that come to need more coefficients, lot by lot."""
    made = 0
    for lot_number, stream in enumerate(np.random.SeedSequence(seed).spawn(10**4)):
        rng = np.random.default_rng(stream)
        grower = random_grower(process, lot_number, rng, DAYS)
        lot = happened(process, start, ASSUMED.arrivals_apart, grower, rng)
        for one in sorted(lot.found):
            if needed(lot, one, DAYS) <= more_than:
                continue
            yield lot, one
            made += 1
            if made == number:
                return


def main() -> None:
    """Runs what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plants", type=int, default=2000, help="with each seed")
    parser.add_argument("--seeds", type=int, nargs="+", default=[SEED])
    parser.add_argument("--levels", type=float, nargs="+", default=LEVELS)
    parser.add_argument("--more-than", type=int, default=0, help="coefficients")
    asked = parser.parse_args()
    levels = tuple(asked.levels)
    together = {level: Crossings() for level in levels}
    for seed in asked.seeds:
        began = time.perf_counter()
        crossings = released(pooled, asked.plants, seed, levels, asked.more_than)
        took = time.perf_counter() - began
        print(f"seed {seed}: {asked.plants} plants with finds, {DAYS} days, in {took:.0f} s")
        _table(crossings)
        for level in levels:
            together[level].add(crossings[level])
    if len(asked.seeds) > 1:
        print(f"{len(asked.seeds)} seeds together")
        _table(together)


def _table(crossings: dict[float, Crossings]) -> None:
    print(HEAD)
    for level, found in crossings.items():
        print(found.line(level), flush=True)


if __name__ == "__main__":
    main()

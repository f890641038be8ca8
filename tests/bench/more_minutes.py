"""python -m tests.bench.more_minutes [--first SEED] [--plans N]

Splits random plans with fewer and with more minutes, and prints those that prevent less with more.
"""

import argparse
import random
import sys

from rounds.core.plan.call import Turn
from rounds.core.plan.split import split
from tests.core.test_split import all_alive_fit, outbreak, turns_served


def prevents_less(seed: int) -> bool | None:
    """Whether a random plan does; None where it is none that is compared."""
    rng = random.Random(seed)
    turns = sorted(rng.choice(list(Turn)) for _ in range(rng.randint(1, 8)))
    seconds = rng.uniform(60, 2500)
    more = seconds * rng.choice([rng.uniform(1, 2), rng.uniform(1, 1.1)])
    calls = outbreak(seed, turns)
    if not all_alive_fit(calls, seconds):
        return None
    few, many = split(calls, seconds), split(calls, more)
    if turns_served(calls, many) != turns_served(calls, few):
        return None
    return many.prevented < few.prevented * (1 - 1e-6)


def main() -> int:
    """Try so many plans; 1 where one prevents less."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--first", type=int, default=0)
    asked.add_argument("--plans", type=int, default=5000)
    given = asked.parse_args()
    compared, less = 0, []
    for seed in range(given.first, given.first + given.plans):
        found = prevents_less(seed)
        compared += found is not None
        if found:
            less.append(seed)
            print(f"seed {seed} prevents less with more", flush=True)
        if (seed + 1 - given.first) % 500 == 0:
            print(f"{compared} compared, {len(less)} prevent less", flush=True)
    return int(bool(less))


if __name__ == "__main__":
    sys.exit(main())

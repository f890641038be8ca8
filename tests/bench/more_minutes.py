"""python -m tests.bench.more_minutes [--seconds N] [--seed S]

Draws plans at random, splits each with some seconds and with more of them, and prints how many were
compared and how often more minutes prevented less.
"""

import os

# as in the program itself; set before numpy is imported
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import sys
import time
from collections.abc import Sequence

import numpy as np

from tests.core.drawn_rounds import TURNS, all_alive_fit, outbreak, prevents_less

MOST_PLANTS = 9


def main(given: Sequence[str] | None = None) -> int:
    """Compare for so long; 1 where more minutes prevented less."""
    asked = _parser().parse_args(given)
    until = time.monotonic() + asked.seconds
    rng = np.random.default_rng(asked.seed)
    compared = broke = 0
    while time.monotonic() < until:
        prevents = _drawn(rng)
        compared += prevents is not None
        broke += prevents is False
    print(f"{compared} plans compared, in {broke} of them more minutes prevented less")
    return int(broke > 0)


def _drawn(rng: np.random.Generator) -> bool | None:
    """Whether more seconds prevent no less; None where not each plant with insects gets a look.

    Where these do not all fit, one more of them is worth any loss.
    """
    turns = [
        TURNS[number] for number in rng.integers(len(TURNS), size=rng.integers(1, MOST_PLANTS + 1))
    ]
    calls = outbreak(
        int(rng.integers(2**32)), turns, later_seconds=rng.uniform(60, 3000),
        latest_in=int(rng.integers(1, 15)),
    )  # fmt: skip
    seconds = rng.uniform(60, 2500)
    if not all_alive_fit(calls, seconds):
        return None
    # a moment more, or up to twice as much
    more = seconds + (2 * rng.random() if rng.random() < 0.5 else seconds * rng.random())
    return not prevents_less(calls, seconds, more)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser("python -m tests.bench.more_minutes", description=__doc__)
    parser.add_argument("--seconds", type=float, default=60.0, help="how long plans are drawn")
    parser.add_argument("--seed", type=int, default=1, help="of what is drawn")
    return parser


if __name__ == "__main__":
    sys.exit(main())

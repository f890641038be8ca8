"""What taking finds together costs: the chance clean within a budget against every find apart.

    python -m tests.proof.pooling --logs 3000 --most 8192

Random logs with finds that need more coefficients than the budget, and no more than `--most`, up
to which they are worked out exactly. By days since the last find: rms, worst and mean error.
"""

import argparse
import time
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rounds.core.inference.answer import BUDGET, LIVE_BUDGET, chance_clean
from tests.proof.calibrate import SEED, known_logs
from tests.proof.exact_predict import evidence, exact
from tests.proof.records import PlantLog

BUDGETS = (BUDGET, LIVE_BUDGET)
"""as used for the figure, its band and the forecast; numbers left, and a key in a round"""
SINCE = ((0, 0), (1, 13), (14, 70))
"""days since the last find"""
HEAD = "budget  days since  logs     rms   worst    mean"

Errors = NDArray[np.float64]


def days_since(log: PlantLog) -> int:
    """From the last find to the day asked about."""
    return log.last_day - (log.last_find or 0)


def errors(logs: Sequence[PlantLog], apart: Sequence[float], budget: int) -> Errors:
    """Of the chance clean within a budget; no number where the log does not need more."""
    found = np.full(len(logs), np.nan)
    for number, log in enumerate(logs):
        if log.coefficients > budget:
            found[number] = chance_clean(evidence(log).log, budget) - apart[number]
    return found


def lines(logs: Sequence[PlantLog], found: Errors, budget: int) -> list[str]:
    """Rows under `HEAD`."""
    since = np.array([days_since(log) for log in logs])
    rows = []
    for first, last in SINCE:
        some = found[(since >= first) & (since <= last) & ~np.isnan(found)]
        if len(some):
            worst = some[np.abs(some).argmax()]
            rms = np.sqrt((some**2).mean())
            rows.append(
                f"{budget:6d} {first:4d} to {last:2d} {len(some):6d} {rms:7.4f} {worst:7.4f}"
                f" {some.mean():7.4f}"
            )
    return rows


def main() -> None:
    """Runs what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--logs", type=int, default=3000)
    parser.add_argument("--most", type=int, default=8192)
    parser.add_argument("--seed", type=int, default=SEED)
    asked = parser.parse_args()
    began = time.perf_counter()
    known = [one.log for one in known_logs(asked.logs, asked.seed)]
    logs = [log for log in known if min(BUDGETS) < log.coefficients <= asked.most]
    apart = [exact(log) for log in logs]
    beyond = sum(log.coefficients > asked.most for log in known)
    print(
        f"{len(logs)} of {asked.logs} logs, {beyond} need more, {time.perf_counter() - began:.0f} s"
    )
    print(HEAD)
    for budget in BUDGETS:
        print("\n".join(lines(logs, errors(logs, apart, budget), budget)), flush=True)


if __name__ == "__main__":
    main()

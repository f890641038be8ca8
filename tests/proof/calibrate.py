"""Calibration on random logs with finds: predictors side by side.

    python -m tests.proof.calibrate --logs 20000 --predict shortcut joined
    python -m tests.proof.calibrate --logs 1500 --predict shortcut some.module:function

Scores beyond 3.3 mean that a predictor's chances are not what they say.
"""

import argparse
import time
from collections.abc import Callable, Sequence
from functools import partial
from importlib import import_module
from itertools import pairwise

from rounds.service.logbook.parameters import load_parameters
from tests.proof.logs import Known, random_logs
from tests.proof.process import Process
from tests.proof.records import PlantLog
from tests.proof.scores import Calibration, calibration
from tests.proof.shortcut import filtered_clean, joined_clean
from tests.proof.values import ASSUMED, plant_process

Predict = Callable[[PlantLog], float]

SEED = 1986
HEAD = (
    f"{'predictor':30} {'logs':>6} {'clean':>7} {'said':>7} {'sum z':>7} {'Sp. z':>7} {'Brier':>7}"
)
BINS = (0.0, 0.05, 0.2, 0.4, 0.6, 0.8, 0.9, 0.95, 0.99, 1.0)


def plant() -> Process:
    """What the random logs come from: a leafy plant of medium size under the table's values."""
    return plant_process(load_parameters(), "leafy-plant", "medium")


def predictor(name: str) -> Predict:
    """The function under a name: `shortcut`, `joined`, or `module:function` of your own.

    It takes a `PlantLog` and returns the chance that no living insect of any stage is on the
    plant at the end of `last_day`, after that day's looks. The log is of a medium leafy plant,
    zones by their codes in the parameter table, and holds

    - `days`: of each day with looks its `ZoneLook`s in their order, with the seconds credited,
      whether the pot was off, and the finds by group, count and what was done with them. In the
      random logs every find is `eggs`, `young` or `adult`, and `removed`; a look without finds
      is a clean look, a zone without a look that day was not looked at;
    - `last_day`, counted from the first date, 0;
    - `temperatures`: least and greatest degC of days 0 to last_day - 1;
    - `start`: chance infested, mean and shape before the first look of day 0;
    - `arrivals`: mean crawlers a day on every day from day 1.

    Raises:
        ValueError: no such name.
    """
    process = plant()
    own: dict[str, Predict] = {
        "shortcut": partial(filtered_clean, process),
        "joined": partial(joined_clean, process),
    }
    if name in own:
        return own[name]
    module, colon, function = name.partition(":")
    if not colon:
        raise ValueError(f"{name} is none of {', '.join(own)} and no module:function")
    found: Predict = getattr(import_module(module), function)
    return found


def known_logs(number: int, seed: int = SEED) -> list[Known]:
    """Random logs of a newly arrived plant that stands apart, and the truth."""
    return list(random_logs(plant(), ASSUMED.new_arrival, ASSUMED.arrivals_apart, number, seed))


def chances(predict: Predict, known: Sequence[Known]) -> list[float]:
    """What a predictor says of each log; rounding beyond 0 and 1 is cut off."""
    return [min(1.0, max(0.0, predict(one.log))) for one in known]


def scored(predict: Predict, known: Sequence[Known]) -> Calibration:
    """Scores of a predictor on logs whose truth is known."""
    return calibration([one.clean for one in known], chances(predict, known))


def table_line(name: str, scores: Calibration) -> str:
    """One row under `HEAD`."""
    return (
        f"{name:30} {scores.logs:6d} {scores.clean:7.4f} {scores.predicted:7.4f}"
        f" {scores.sum_z:7.2f} {scores.spiegelhalter_z:7.2f} {scores.brier:7.4f}"
    )


def bin_lines(said: Sequence[float], known: Sequence[Known]) -> list[str]:
    """Chance said and share clean by classes of the chance said."""
    lines = []
    for low, high in pairwise(BINS):
        top = high if high < 1 else 1.1
        inside = [n for n, chance in enumerate(said) if low <= chance < top]
        if inside:
            mean = sum(said[n] for n in inside) / len(inside)
            clean = sum(known[n].clean for n in inside) / len(inside)
            lines.append(f"  {low:.2f} to {high:.2f} {len(inside):7d} {mean:7.4f} {clean:7.4f}")
    return lines


def main() -> None:
    """Runs what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--logs", type=int, default=1500)
    parser.add_argument("--predict", nargs="+", default=["shortcut", "joined"])
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--most", type=int, help="leave out logs that cost more coefficients")
    parser.add_argument("--bins", action="store_true", help="also by classes of the chance said")
    asked = parser.parse_args()
    began = time.perf_counter()
    known = known_logs(asked.logs, asked.seed)
    if asked.most:
        known = [one for one in known if one.log.coefficients <= asked.most]
    print(f"{len(known)} logs in {time.perf_counter() - began:.1f} s")
    print(HEAD)
    for name in asked.predict:
        began = time.perf_counter()
        said = chances(predictor(name), known)
        scores = calibration([one.clean for one in known], said)
        print(f"{table_line(name, scores)}  {time.perf_counter() - began:.1f} s", flush=True)
        if asked.bins:
            print("\n".join(bin_lines(said, known)), flush=True)


if __name__ == "__main__":
    main()

"""Growers whose eye is better or poorer than the table's, and what is learned of it.

    python -m tests.proof.eyes --plants 96 --groups 3

Whole insects, as in `logs`, and looks that find with the rates times theta; one zone look in
twelve is followed by a second one. Each plant on which something was found tells its chances by
theta; the plants of one grower are taken together.
"""

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from rounds.core.estimates.own_detection import Rate, own_detection, times_tried
from rounds.core.inference.detection import log_chances, read_until_full
from rounds.service.inference.steps import finished
from tests.proof.calibrate import plant
from tests.proof.exact_predict import PARAMETERS, PEST, evidence
from tests.proof.logs import DAYS, EVERY, Grower, happened, log_until, random_grower
from tests.proof.process import Process
from tests.proof.records import DayLooks, PlantLog
from tests.proof.values import ASSUMED

EYES = (0.5, 1.0, 1.4)
KNOWN = PARAMETERS.second_looks
ONE_IN = KNOWN.one_in
LOT = 30
ADULTS = PARAMETERS.pests[PEST].stages[-1].found_in_reach


@dataclass(frozen=True, slots=True)
class Told:
    """What the log of one plant tells: chances by theta, and from how much."""

    chances: tuple[float, ...]
    found: int
    pairs: int


def with_eye(process: Process, theta: float) -> Process:
    """The process under a grower who finds with the rates times theta."""
    return replace(
        process,
        found_in_reach=1 - (1 - process.found_in_reach) ** theta,
        found_out_of_pot=1 - (1 - process.found_out_of_pot) ** theta,
    )


def with_second_looks(grower: Grower, rng: np.random.Generator) -> Grower:
    """One zone look in twelve, outside the pot, is followed by another as long."""
    looks = {
        day: DayLooks(
            day,
            tuple(
                each
                for look in of_day.looks
                for each in (look,) * (1 + (not look.unpotted and rng.random() < 1 / ONE_IN))
            ),
        )
        for day, of_day in grower.looks.items()
    }
    return Grower(grower.temperatures, looks)


def plants_of(theta: float, rhythm: int, seed: int) -> Iterator[PlantLog]:
    """Logs of plants on which something was found, without an end.

    `rhythm` is the place in `EVERY` of the days between looks.
    """
    process = with_eye(plant(), theta)
    lots = np.random.SeedSequence([seed, rhythm, round(100 * theta)]).spawn(10**4)
    for lot_number, stream in enumerate(lots):
        rng = np.random.default_rng(stream)
        number = rhythm + len(EVERY) * lot_number
        grower = with_second_looks(random_grower(process, number, rng), rng)
        start, arrivals = ASSUMED.new_arrival, ASSUMED.arrivals_apart
        lot = happened(process, start, arrivals, grower, rng, LOT)
        for one in sorted(lot.found):
            yield log_until(lot, one, min(DAYS, max(grower.looks)), start, arrivals)


def told_by(log: PlantLog) -> Told:
    """What a log tells of the eye that saw it."""
    whole = evidence(log).log
    read = read_until_full(whole)
    chances = tuple(finished(log_chances(read, times_tried(KNOWN), whole)))
    looks = [day.looks for day in log.days if day.day < len(read.days)]
    pairs = sum(a.zone == b.zone for of_day in looks for a, b in pairwise(of_day))
    return Told(chances, sum(look.found for of_day in looks for look in of_day), pairs)


def learned(told: Sequence[Told]) -> Rate:
    """The factor that some plants tell together."""
    return own_detection([one.chances for one in told], ADULTS, KNOWN)


def growers(told: Sequence[Told], found: int, pairs: int) -> list[list[Told]]:
    """The plants dealt out to growers, each until so many finds and so many pairs are reached."""
    dealt: list[list[Told]] = [[]]
    for one in told:
        dealt[-1].append(one)
        if sum(t.found for t in dealt[-1]) >= found and sum(t.pairs for t in dealt[-1]) >= pairs:
            dealt.append([])
    return dealt[:-1]


def main() -> None:
    """Prints what is learned, after ten finds and eight pairs and from many plants."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plants", type=int, default=96, help="with finds, of each grower")
    parser.add_argument("--groups", type=int, default=1, help="growers of so many plants each")
    parser.add_argument("--seed", type=int, default=7)
    asked = parser.parse_args()
    print("theta every   10 finds, 8 pairs (of)    all plants (5 to 95 in 100)")
    for theta in EYES:
        for rhythm, every in enumerate(EVERY):
            logs = plants_of(theta, rhythm, asked.seed)
            told = [told_by(next(logs)) for _ in range(asked.plants * asked.groups)]
            few = [learned(group).mean for group in growers(told, 10, 8)]
            many = [
                learned(told[n * asked.plants : (n + 1) * asked.plants])
                for n in range(asked.groups)
            ]
            said = "  ".join(
                f"{rate.mean:.2f} ({rate.low:.2f} to {rate.high:.2f})" for rate in many
            )
            print(f"{theta:5.2f} {every:5d}   {np.mean(few):.2f} ({len(few)})   {said}", flush=True)


if __name__ == "__main__":
    main()

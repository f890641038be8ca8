"""Collections that are as the program supposes, and some that are not: do the finds fit?

python -m tests.proof.misfits --plants 60 --lots 6
"""

import argparse
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from rounds.core.inference.band import band_in_steps
from rounds.core.inference.foretold import days_foretold
from rounds.core.inference.misfit import (
    FitRules,
    Kind,
    collection_misfit,
    greatest,
    least_tail,
    misfit,
)
from rounds.service.inference.steps import finished
from tests.proof.calibrate import plant
from tests.proof.exact_predict import PARAMETERS, day_of, evidence, facts_of
from tests.proof.insects import Colonies, unlooked
from tests.proof.logs import DAYS, EVERY, Lot, log_until, look_into, random_grower
from tests.proof.process import Process
from tests.proof.records import PlantLog, Start
from tests.proof.values import ASSUMED

FIT = PARAMETERS.infestation
COLONY_ON, COLONY = 35, 60.0
"""the day a second colony is there at once, and its mean number"""


@dataclass(frozen=True, slots=True)
class Truth:
    """What is so, where it is not what the program supposes."""

    eye: float = 1.0
    """times the rates at which a look finds"""
    start: Start = ASSUMED.new_arrival
    arrivals: float = ASSUMED.arrivals_apart
    colony: bool = False


TRUTHS: Mapping[str, Truth] = {
    "as supposed": Truth(),
    "eye half as good": Truth(eye=0.5),
    "more came infested": Truth(start=replace(ASSUMED.new_arrival, infested=0.6)),
    "fifty times as many wander in": Truth(arrivals=50 * ASSUMED.arrivals_apart),
    "a second colony": Truth(colony=True),
}


def lots(
    truth: Truth, plants: int, number: int, seed: int, rhythm: int | None = None
) -> Iterator[Lot]:
    """So many lots of so many plants, each with weather and a rhythm of its own.

    With a `rhythm`, a place in `EVERY`, only those that are looked at so often.
    """
    process = seen_by(plant(), truth.eye)
    for lot_number, stream in enumerate(np.random.SeedSequence(seed).spawn(number)):
        rng = np.random.default_rng(stream)
        if rhythm is not None and lot_number % len(EVERY) != rhythm:
            continue
        lot = Lot(random_grower(process, lot_number, rng))
        colonies = unlooked(process, truth.start, plants, rng)
        for day in range(DAYS + 1):
            if day:
                colonies.live(
                    process.degree_days(*lot.grower.temperatures[day - 1]), truth.arrivals
                )
            if truth.colony and day == COLONY_ON:
                sow(colonies, plants)
            look_into(colonies, lot, day)
        yield lot


def sow(colonies: Colonies, plants: int) -> None:
    """A second colony on every plant, made up as one nobody has looked at."""
    means = colonies.process.start_means(replace(ASSUMED.new_arrival, infested=1.0))
    colonies.sow(np.full(plants, COLONY), means)


def seen_by(process: Process, eye: float) -> Process:
    """The same insects before an eye so many times as good."""
    return replace(
        process,
        found_in_reach=1 - (1 - process.found_in_reach) ** eye,
        found_out_of_pot=1 - (1 - process.found_out_of_pot) ** eye,
    )


def logs_of(lot: Lot, plants: int) -> Iterator[tuple[PlantLog, int]]:
    """The log of each plant with finds, and once that of all the others with their number."""
    for one in sorted(lot.found):
        yield log_until(lot, one, DAYS, ASSUMED.new_arrival, ASSUMED.arrivals_apart), 1
    clean = Lot(lot.grower, found={0: {}})
    log = log_until(clean, 0, DAYS, ASSUMED.new_arrival, ASSUMED.arrivals_apart)
    yield log, plants - len(lot.found)


def fit_of(lot: Lot, plants: int) -> list[Mapping[str, float]]:
    """Of each plant, by assumption, how much likelier its log would be."""
    fits: list[Mapping[str, float]] = []
    for log, number in logs_of(lot, plants):
        band = finished(band_in_steps(facts_of(log), day_of(DAYS), PARAMETERS))
        fits += [band.fits] * number
    return fits


def named(lot: Lot, plants: int) -> str | None:
    """What the page of all plants would name."""
    return collection_misfit(fit_of(lot, plants), FIT.fit_all)


def doubted(log: PlantLog) -> Kind | None:
    """What the page of one plant would say."""
    days = finished(days_foretold(evidence(log).log, FIT.fit_days))
    rules = FitRules(FIT.fit_plant, FIT.fit_tail, FIT.fit_plant_alone)
    return misfit(greatest(days), least_tail(days), rules)


def told(lot: Lot, plants: int) -> list[Kind | None]:
    """What the pages of the plants with finds would say."""
    return [doubted(log) for log, number in logs_of(lot, plants) if number == 1]


def main() -> None:
    """Print how often each truth is told from what is supposed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plants", type=int, default=60)
    parser.add_argument("--lots", type=int, default=6)
    parser.add_argument("--seed", type=int, default=1978)
    asked = parser.parse_args()
    for name, truth in TRUTHS.items():
        for lot in lots(truth, asked.plants, asked.lots, asked.seed):
            said = told(lot, asked.plants)
            pages = {kind: said.count(kind) for kind in set(said) - {None}}
            print(f"{name:32} {len(said):4d} {named(lot, asked.plants)!s:20} {pages}", flush=True)


if __name__ == "__main__":
    main()

"""Growers whose insects sit elsewhere than assumed, or whose sources are worse: what is learned.

python -m tests.proof.seasons_learned --growers 200
"""

import argparse
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from rounds.core.estimates.season import (
    Learned,
    infested_share,
    rates_tried,
    wandering_rate,
    zone_weights,
)
from rounds.core.inference.detection import DAY_BUDGET, read_until_full
from rounds.core.inference.mates import by_start
from rounds.core.inference.wandering import by_arrivals
from rounds.service.inference.steps import finished
from tests.proof.calibrate import plant
from tests.proof.exact_predict import PARAMETERS, evidence
from tests.proof.logs import LOT, Lot, happened, log_until, random_grower
from tests.proof.process import Process
from tests.proof.values import ASSUMED

ELSEWHERE = {"axils": 0.55, "undersides": 0.12, "new-growth": 0.08, "sheaths": 0.12}
"""weights of a collection other than the assumed one; the rest in proportion"""
STRENGTH = 10.0
FINDS = 30
HALF_A_YEAR, MOST = 182, 400
"""days that are read, and insects on a plant from which it is followed no further"""
RATES = (0.0001, 0.02)
"""least and greatest rate that is tried"""


@dataclass(frozen=True, slots=True)
class Finds:
    """What was found on the first day with finds of each plant, and how well each zone was seen."""

    found: Mapping[str, float]
    """plants by zone, each shared over its zones"""
    shown: Mapping[str, float]


def sitting(process: Process, weights: Mapping[str, float]) -> Process:
    """The process under other weights of some zones."""
    given = np.array([weights.get(zone, np.nan) for zone in process.zones])
    rest = np.isnan(given)
    left = (1 - np.nansum(given)) / process.weight[rest].sum()
    weight = np.where(rest, process.weight * left, given)
    landing = np.stack([weight * (1 - process.tucked_share), weight * process.tucked_share], axis=1)
    arrival = np.zeros_like(process.arrival)
    arrival[process.crawler] = landing
    return replace(process, weight=weight, arrival=arrival)


def first_finds(lot: Lot, process: Process, most: int) -> Finds:
    """Of the first plants, until so many finds are reached."""
    make_up = process.make_up / process.make_up.sum()
    found = dict.fromkeys(process.zones, 0.0)
    shown = np.zeros(len(process.zones))
    plants = finds = 0
    for one in sorted(lot.found):
        if finds >= most:
            break
        plants += 1
        day = min(on for on, _ in lot.found[one])
        looks = lot.grower.looks[day].looks
        here = {place: some for (on, place), some in lot.found[one].items() if on == day}
        whole = sum(find.count for some in here.values() for find in some)
        finds += len({looks[place].zone for place in here})
        for place, some in here.items():
            found[looks[place].zone] += sum(find.count for find in some) / whole
        for at, zone in enumerate(process.zones):
            times = sum(k.seconds for k in looks if k.zone == zone and not k.unpotted)
            times /= process.reference_seconds[at]
            in_reach = 1 - process.tucked_share[at]
            shown[at] += in_reach * (make_up @ (1 - (1 - process.found_in_reach) ** times))
    return Finds(found, dict(zip(process.zones, shown / plants, strict=True)))


def learned_zones(
    weights: Mapping[str, float], seed: int, finds: int = FINDS
) -> tuple[dict[str, Learned], dict[str, float]]:
    """What one grower learns of the zones, and what is so."""
    usual = plant()
    process = sitting(usual, weights)
    rng = np.random.default_rng([seed, 6])
    grower = random_grower(process, seed % 3, rng)
    lot = happened(process, ASSUMED.new_arrival, ASSUMED.arrivals_apart, grower, rng, 2 * LOT)
    told = first_finds(lot, process, finds)
    assumed = dict(zip(usual.zones, usual.weight, strict=True))
    truth = dict(zip(process.zones, process.weight, strict=True))
    return zone_weights(told.found, told.shown, assumed, STRENGTH), truth


def learned_share(share: float, number: int, seed: int) -> Learned:
    """What one grower learns of a source of which so many in a hundred are infested."""
    process, start = plant(), replace(ASSUMED.new_arrival, infested=share)
    rng = np.random.default_rng([seed, 9])
    grower = random_grower(process, seed % 3, rng, 35)
    lot = happened(process, start, ASSUMED.arrivals_apart, grower, rng, number)
    told = []
    for one in range(number):
        lot.found.setdefault(one, {})
        last = max(grower.looks)
        log = evidence(log_until(lot, one, last, ASSUMED.new_arrival, ASSUMED.arrivals_apart)).log
        told.append(finished(by_start(read_until_full(log), DAY_BUDGET)))
    usual, plants = (
        PARAMETERS.infestation.priors["arrival"].chance,
        PARAMETERS.infestation.mates_plants,
    )
    before = usual * plants, (1 - usual) * plants
    return infested_share(told, *before)


def learned_rate(rate: float, number: int, seed: int) -> Learned:
    """What one grower learns of the crawlers a day, from so many plants of the collection."""
    process, start = plant(), ASSUMED.established
    assumed, table = ASSUMED.arrivals_in_collection, PARAMETERS.season
    rng = np.random.default_rng([seed, 12])
    grower = random_grower(process, seed % 3, rng, HALF_A_YEAR)
    lot = happened(process, start, rate, grower, rng, number, MOST)
    times, told = rates_tried(assumed, *RATES), []
    for one in range(number):
        first = min((day for day, _ in lot.found.setdefault(one, {})), default=max(grower.looks))
        log = read_until_full(evidence(log_until(lot, one, first, start, assumed)).log)
        told.append(by_arrivals(log, [0.0] * len(log.days), times))
    rates = [assumed * each for each in times]
    return wandering_rate(told, assumed, rates, table.wandering_known)


def main() -> None:
    """Prints how often the interval holds the truth, and how far the mean is from it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--growers", type=int, default=100)
    asked = parser.parse_args()
    for name, weights in (("as assumed", {}), ("elsewhere", ELSEWHERE)):
        for finds in (FINDS, 4 * FINDS):
            print(f"zones {name}, {finds} finds: truth, mean learned, within the interval")
            each = [learned_zones(weights, seed, finds) for seed in range(asked.growers)]
            for zone in each[0][0]:
                true = each[0][1][zone]
                means = [told[zone].value for told, _ in each]
                within = np.mean([told[zone].low <= true <= told[zone].high for told, _ in each])
                print(f"  {zone:12} {true:.3f} {np.mean(means):.3f} {within:.2f}", flush=True)
    for rate in (0.0005, 0.001, 0.005):
        told = [learned_rate(rate, 60, seed) for seed in range(asked.growers // 4)]
        within = np.mean([one.low <= rate <= one.high for one in told])
        print(f"crawlers {rate:.4f}: {np.mean([one.value for one in told]):.5f} {within:.2f}")
    for share in (0.1, 0.25, 0.6):
        told = [learned_share(share, 30, seed) for seed in range(asked.growers // 4)]
        within = np.mean([one.low <= share <= one.high for one in told])
        print(f"source {share:.2f}: {np.mean([one.value for one in told]):.3f} {within:.2f}")


if __name__ == "__main__":
    main()

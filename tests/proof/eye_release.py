"""Plants let go too early by a grower who sees less than is assumed: with and without learning it.

    python -m tests.proof.eye_release --lots 16 --seed 61

Newly arrived plants, whole insects, seen with half the detection rates (`--theta`). Each plant on
which something was found is let go on the first day on which all default criteria hold: 30 days
and 485 degree-days since the last find, eight clean looks, the roots out of the pot once, and a
chance clean of 95 in 100. The chance is asked once with the table's rates, once with those learned
from the plants of the same lot on the days up to the fiftieth, and once with the true ones.
"""

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from rounds.core.inference.answer import chance_clean
from tests.proof.calibrate import plant
from tests.proof.exact_predict import PARAMETERS, PEST, evidence
from tests.proof.eyes import learned, told_by, with_eye, with_second_looks
from tests.proof.logs import EVERY, Lot, happened, log_until, random_grower
from tests.proof.process import Process
from tests.proof.records import PlantLog
from tests.proof.values import ASSUMED

DAYS, LEARNED_ON, PLANTS, BUDGET = 112, 50, 120, 256
RULES = PARAMETERS.pests[PEST].rules["default"]


@dataclass
class LetGo:
    """Plants let go: on which day after the last find, and whether one was left."""

    days: list[int] = field(default_factory=list)
    infested: list[bool] = field(default_factory=list)

    def line(self, name: str) -> str:
        """One row of the table."""
        share = float(np.mean(self.infested)) if self.infested else float("nan")
        error = (share * (1 - share) / max(1, len(self.infested))) ** 0.5
        days = float(np.median(self.days)) if self.days else float("nan")
        return f"{name:10} {len(self.days):6d} {days:10.0f} {share:9.4f} {error:7.4f}"


def followed(lot: Lot, one: int, process: Process, theta: float, into: LetGo) -> None:
    """Ask about a plant week by week until it is let go."""
    parameters = replace(PARAMETERS, detection_times=theta)
    for day in _asked_on(lot, one, process):
        log = _log(lot, one, day)
        if chance_clean(evidence(log, parameters).log, BUDGET) >= RULES.chance_clean:
            into.days.append(day - (log.last_find or 0))
            into.infested.append(bool(lot.left[day][one]))
            return


def _asked_on(lot: Lot, one: int, process: Process) -> Iterator[int]:
    """Days with looks, a week apart, on which all criteria hold but the chance clean."""
    finds = sorted({day for day, _ in lot.found[one]})
    asked = -7
    for day in sorted(lot.grower.looks):
        last = max((found for found in finds if found <= day), default=None)
        if last is None or day - asked < 7 or day - last < RULES.days_apart:
            continue
        since = [lot.grower.looks[d] for d in lot.grower.looks if last < d <= day]
        roots = any(
            look.unpotted and of.day >= last + RULES.roots_after_days
            for of in since
            for look in of.looks
        )
        warmth = sum(process.degree_days(*lot.grower.temperatures[d]) for d in range(last, day))
        if roots and len(since) >= RULES.clean_looks and warmth >= RULES.degree_days:
            asked = day
            yield day


def _log(lot: Lot, one: int, day: int) -> PlantLog:
    return log_until(lot, one, day, ASSUMED.new_arrival, ASSUMED.arrivals_apart)


def lots(theta: float, number: int, seed: int) -> Iterator[tuple[Lot, Process]]:
    """Lots of growers who see the roots now and then, of the three rhythms in turn."""
    process = with_eye(plant(), theta)
    for lot_number, stream in enumerate(np.random.SeedSequence(seed).spawn(number)):
        rng = np.random.default_rng(stream)
        with_roots = lot_number % len(EVERY) + len(EVERY)
        grower = random_grower(process, with_roots, rng, DAYS)
        grower = with_second_looks(grower, rng)
        start, arrivals = ASSUMED.new_arrival, ASSUMED.arrivals_apart
        yield happened(process, start, arrivals, grower, rng, PLANTS), process


def learned_of(lot: Lot) -> float:
    """The factor learned from the plants of a lot on its first days."""
    day = max(day for day in lot.grower.looks if day <= LEARNED_ON)
    known = [one for one in lot.found if min(found for found, _ in lot.found[one]) <= day]
    return learned([told_by(_log(lot, one, day)) for one in sorted(known)]).mean


def compare(theta: float, number: int, seed: int) -> tuple[dict[str, LetGo], list[float]]:
    """Plants let go with the rates of the table, with those learned, and with the true ones."""
    found = {name: LetGo() for name in ("as assumed", "learned", "true")}
    rates = []
    for lot, process in lots(theta, number, seed):
        rates.append(learned_of(lot))
        used = dict(zip(found, (1.0, rates[-1], theta), strict=True))
        for one in sorted(lot.found):
            for name, rate in used.items():
                followed(lot, one, process, rate, found[name])
    return found, rates


def main() -> None:
    """Runs what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lots", type=int, default=16)
    parser.add_argument("--theta", type=float, default=0.5)
    parser.add_argument("--seed", type=int, default=61)
    asked = parser.parse_args()
    found, rates = compare(asked.theta, asked.lots, asked.seed)
    print(f"{asked.lots} growers with {asked.theta:g} times the rates, learned: mean", end=" ")
    print(f"{np.mean(rates):.2f}, {min(rates):.2f} to {max(rates):.2f}")
    print("rates      let go days clean  infested   error")
    for name, let_go in found.items():
        print(let_go.line(name))


if __name__ == "__main__":
    main()

"""Long runs of the simulation: trial cases beside their known answers, sample logs
by name beside what the sums of the package say.

    python -m tests.proof.confirm --trials 4 7 --replicates 200000 --batches 40
    python -m tests.proof.confirm --samples "one on arrival"

Without names all sample logs are run. The seed of a trial is its number. With fewer than some
hundreds of ancestors the errors are underestimated: run more replicates.
"""

import argparse
import time
from collections.abc import Iterator

from rounds.service.logbook.parameters import load_parameters
from tests.proof.conditioning import Conditioned, Estimate, condition
from tests.proof.exact_predict import left
from tests.proof.process import Process
from tests.proof.records import PlantLog
from tests.proof.sample_logs import sample_logs
from tests.proof.trials import TRIALS, Trial
from tests.proof.values import plant_process

HEAD = f"{'log':28} {'ln P':>17} {'clean':>17} {'left':>17} {'ancestors':>9} {'least':>7} {'s':>6}"


def trial_lines(number: int, trial: Trial, replicates: int, batches: int) -> Iterator[str]:
    """Estimates of a trial, what is known of it, and how many standard errors lie between."""
    began = time.perf_counter()
    seen = condition(trial.process, trial.log, replicates, batches, number)
    yield estimates(f"trial {number}", seen, time.perf_counter() - began)
    yield from beside(seen, "known", (trial.log_chance, trial.clean, trial.left))
    if trial.left_by_zone:
        off = [e.off(v) for e, v in zip(seen.left_by_zone, trial.left_by_zone, strict=True)]
        yield f"{'  by zone':28} " + " ".join(f"{distance:8.2f}" for distance in off)


def sample_lines(
    name: str, process: Process, log: PlantLog, replicates: int, batches: int
) -> Iterator[str]:
    """Estimates of a sample log, and what the package says of it."""
    began = time.perf_counter()
    seen = condition(process, log, replicates, batches, 1)
    yield estimates(name, seen, time.perf_counter() - began)
    said, _ = left(log)
    of_sums = (said.log_probability, said.chance_clean, float(said.mean.sum()))
    yield from beside(seen, "the sums", of_sums)


def beside(seen: Conditioned, name: str, values: tuple[float, float, float]) -> Iterator[str]:
    """Values to compare with, and how many standard errors lie between."""
    chance = Estimate(seen.log_chance, seen.log_chance_error)
    pairs = list(zip((chance, seen.clean, seen.left), values, strict=True))
    yield f"{'  ' + name:28} " + " ".join(f"{value:17.4f}" for _, value in pairs)
    yield f"{'  standard errors off':28} " + " ".join(f"{e.off(v):17.2f}" for e, v in pairs)


def estimates(name: str, seen: Conditioned, seconds: float) -> str:
    """One line of estimates with their standard errors."""
    chance = Estimate(seen.log_chance, seen.log_chance_error)
    cells = [f"{e.value:9.4f} ±{e.error:.4f}" for e in (chance, seen.clean, seen.left)]
    told = " ".join(f"{cell:>17}" for cell in cells)
    return f"{name:28} {told} {seen.ancestors:9d} {seen.least_ancestors:7d} {seconds:6.1f}"


def main() -> None:
    """Runs what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--trials", type=int, nargs="*", choices=sorted(TRIALS), default=[])
    parser.add_argument("--samples", nargs="*")
    parser.add_argument("--replicates", type=int, default=100_000)
    parser.add_argument("--batches", type=int, default=25)
    asked = parser.parse_args()
    print(HEAD)
    for number in asked.trials:
        for line in trial_lines(number, TRIALS[number], asked.replicates, asked.batches):
            print(line, flush=True)
    if asked.samples is None:
        return
    process = plant_process(load_parameters())
    for name, log in sample_logs(process).items():
        if not asked.samples or name in asked.samples:
            for line in sample_lines(name, process, log, asked.replicates, asked.batches):
                print(line, flush=True)


if __name__ == "__main__":
    main()

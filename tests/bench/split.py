"""The split of ten minutes among 10,000 plants, against one look at what each zone would gain."""

import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from rounds.core.body import make_body
from rounds.core.plan.call import PlantCall, Shares, Turn, ZoneCall
from rounds.core.plan.calls import Calls, calls_of
from rounds.core.plan.split import split
from rounds.service.logbook.parameters import load_parameters
from tests.bench.process import NotMeasured, in_turns
from tests.bench.table import Row, ratio_of_medians

REPEATS = 9
PLANTS = 10_000
MUST = 30
SECONDS = 600.0


def measure(repeats: int) -> list[Row]:
    """Plants drawn from a fixed seed; what is worked out once is worked out every time."""
    calls = _drawn()
    if not split(calls, SECONDS).plants():
        raise NotMeasured("nobody was planned")
    seconds = np.zeros(len(calls.owner))
    ours, against = in_turns(
        repeats, _timed(lambda: split(_drawn_anew(calls), SECONDS)),
        _timed(lambda: calls.zones.gain(seconds)),
    )  # fmt: skip
    return [Row("split-10000", "ms", ours, against, ratio_of_medians(ours, against), None)]


def _timed(work: Callable[[], object]) -> Callable[[], float]:
    def run() -> float:
        started = time.perf_counter()
        work()
        return (time.perf_counter() - started) * 1000

    return run


def _drawn_anew(calls: Calls) -> Calls:
    """The same plants with nothing kept of what was worked out of them."""
    return replace(calls)


def _drawn() -> Calls:
    parameters = load_parameters()
    rng = np.random.default_rng(1)
    found = tuple(stage.found_in_reach for stage in parameters.pests["mealybug"].stages)
    plants = []
    for number, size in enumerate(
        rng.choice(list(parameters.inspection.reference_seconds), PLANTS)
    ):
        body = make_body("leafy-plant", str(size), False, parameters)
        harm = rng.lognormal(-3, 2) * rng.gamma(1, 1, (len(body.outside), len(found)))
        turn, share = (Turn.DUE, 0.5) if number < MUST else (Turn.GAIN, 1 / 3)
        latest_in = 0 if turn == Turn.DUE else int(rng.integers(1, 8))
        zones = [
            ZoneCall(row.tolist(), z.reference_seconds, share * z.reference_seconds)
            for z, row in zip(body.outside, harm, strict=True)
        ]
        plants.append(PlantCall(f"P{number:05}", turn, latest_in, 10, 5.0, 5.0, zones, found))
    shares = Shares(parameters.inspection.credited_at_most, 1 / 3, 1 / 2, 1 / 2, 4.0, 600.0)
    return calls_of(plants, shares)

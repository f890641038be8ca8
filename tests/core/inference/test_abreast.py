"""Several courses as one run: each as it would be alone."""

from dataclasses import replace

import numpy as np
import pytest

from rounds.core.inference.abreast import run_abreast
from rounds.core.inference.backward import Backward, prepare
from rounds.core.inference.detection import with_detection
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import Refit
from rounds.core.inference.observed import Log
from rounds.service.inference.steps import finished

from .logs import PARAMETERS, facts, on, tally, whole

BUDGET = 64
LOOKS = [
    *whole(0, {"axils": [tally(2)]}),
    *whole(3, {"undersides": [tally(), tally(1, "killed")]}),
    *whole(7, {"axils": [tally(1, "left", stage="adult")], "medium": [tally(stage="egg-mass")]}),
    *whole(9),
]
REFITS = (
    Refit(),
    Refit(code="eye", detection=0.5),
    Refit(code="hides", tucked=1.5),
    Refit(code="moves", exchange=0.5, arrivals=5.0),
)


def log_of(refit: Refit) -> Log:
    near = {on(day): 0.02 for day in range(3, 9)}
    return gather(replace(facts(LOOKS), neighbours=near), on(9), PARAMETERS, refit).log


def alone(log: Log, scale: float) -> list[float]:
    ends = np.tile([[0.0], [1.0]], (len(log.landing), 1, 1))
    return [float(chance) for chance in Backward(prepare(log, BUDGET), ends, scale).values()]


def test_refits_abreast_are_what_each_is_alone() -> None:
    logs = [log_of(refit) for refit in REFITS]
    assert len({id(log.days[1].step) for log in logs}) == 3, "the eye changes no day"
    run = finished(run_abreast([prepare(log, BUDGET) for log in logs], (0.0, 1.0)))
    for number, log in enumerate(logs):
        assert run.chances_of(number) == pytest.approx(alone(log, run.scale), rel=1e-12)


def test_another_start_and_other_arrivals_are_told_at_the_end_of_the_run() -> None:
    log = log_of(REFITS[1])
    logs = [log_of(REFITS[0]), log]
    run = finished(run_abreast([prepare(each, BUDGET) for each in logs], (0.0, 1.0)))
    days = tuple(replace(day, arrivals=3 * day.arrivals) for day in log.days)
    other = replace(log, start=replace(log.start, infested=0.7), days=days)
    expected = alone(other, run.scale)
    assert run.chances_of(1, prepare(other, BUDGET).known.infested, 3.0) == pytest.approx(expected)


def test_a_grid_of_the_eye_is_one_run() -> None:
    logs = [with_detection(log_of(Refit()), theta) for theta in (0.4, 1.0, 1.4)]
    run = finished(run_abreast([prepare(log, BUDGET) for log in logs], (1.0,)))
    for number, log in enumerate(logs):
        assert run.chances_of(number) == pytest.approx([alone(log, run.scale)[1]], rel=1e-12)

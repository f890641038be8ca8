"""How likely a log is, the more or the fewer crawlers wander in: their rate is learned from it.

What arrives takes part in no step of an insect's life, and so one run back serves for every rate.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from rounds.core.inference import series
from rounds.core.inference.answer import BUDGET, log_probability, within_range
from rounds.core.inference.backward import Backward, Course, prepare
from rounds.core.inference.observed import Log
from rounds.core.inference.prior import start_value
from rounds.core.inference.series import Array


def by_arrivals(log: Log, others: Sequence[float], times: Sequence[float]) -> list[float]:
    """ln P(log), with so many times as many wandering in.

    Args:
        log: of one plant.
        others: for each day of the log, the mean number of those that came whatever the rate.
        times: of all other arrivals.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    course = prepare(log, BUDGET)
    days = zip(log.days, others, strict=True)
    of_others = prepare(
        replace(log, days=tuple(replace(day, arrivals=mean) for day, mean in days)), BUDGET
    )
    runs: list[Backward] = []

    def run(scale: float) -> tuple[Array, float]:
        runs[:] = [_run(course, scale)]
        values = runs[0].values()
        return values, float(values[0])

    scale, _ = within_range(log, run)
    (whole,) = runs
    value = start_value(course.known, whole.state, whole.frame.caps)[0]
    fixed = _run(of_others, scale).exponent
    exponents = fixed + np.asarray(times)[:, None] * (whole.exponent - fixed)
    chances = series.exp(exponents, whole.frame.caps) @ value[::-1]
    return [log_probability(course, scale, float(chance)) for chance in chances]


def _run(course: Course, scale: float) -> Backward:
    return Backward(course, np.ones((len(course.landing), 1, 1)), scale)

"""What the log of one plant tells of those it came with: how likely it is from either start.

The generating function is linear in the chance that the plant came infested, so that one run back
gives the chance of its log for a plant that came infested and for one that did not. Whatever is
supposed of the plant itself before its first look takes no part in it.
"""

import math
from collections.abc import Generator
from dataclasses import replace

import numpy as np

from rounds.core.inference.backward import Backward, Course, prepare
from rounds.core.inference.facts import Mate
from rounds.core.inference.observed import ImpossibleEntry, Log
from rounds.core.inference.prior import absorb, start_value
from rounds.core.inference.scale import scales
from rounds.core.inference.series import exp

MATES_BUDGET = 64
"""coefficients: of the finds of a mate little more is asked than that there were some"""
SILENT = Mate(1.0, 1.0)
"""of a log that says nothing of its start"""


def mate_in_steps(log: Log, budget: int = MATES_BUDGET) -> Generator[None, None, Mate]:
    """What a log from the day a plant came tells of its mates; yields some 15 ms apart.

    A log that cannot be worked out tells nothing.

    Args:
        log: of the plant; the chance infested of its start is not read.
        budget: coefficients, beyond which finds are taken together.
    """
    infested = replace(log, start=replace(log.start, infested=1.0))
    try:
        course = prepare(infested, budget)
    except ImpossibleEntry:
        return SILENT
    tries = scales(sum(course.pooling.caps))
    scale = next(tries)
    while True:
        run = Backward(course, np.ones((len(log.landing), 1, 1)), scale, in_parts=True)
        yield from run.quiet_parts()
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            came_infested = float(run.values()[0])
        try:
            scale = tries.send(came_infested)
        except StopIteration as end:
            found, _ = end.value
            return SILENT if found is None else _weighed(log, course, run, came_infested)


def _weighed(log: Log, course: Course, run: Backward, came_infested: float) -> Mate:
    """Both chances over the greater one: only their ratio tells anything."""
    came_clean = _came_clean(log, course, run)
    if came_clean <= 0:
        return Mate(1.0, 0.0)
    lead = course.known.log_factor + math.log(came_infested) - math.log(came_clean)
    return Mate(math.exp(min(0.0, lead)), math.exp(min(0.0, -lead)))


def _came_clean(log: Log, course: Course, run: Backward) -> float:
    """Chance of the log of a plant that came clean, at the scale of the run."""
    first = log.days[0]
    try:
        known, _ = absorb(
            replace(log.start, infested=0.0), first.looks if not first.arrivals else ()
        )
    except ImpossibleEntry:
        return 0.0
    value = start_value(known, run.state, run.frame.caps)
    arrived = exp(run.exponent, run.frame.caps)
    return float((arrived * value[:, ::-1]).sum())

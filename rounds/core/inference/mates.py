"""What the log of one plant tells of those it came with: how likely it is from either start.

The generating function is linear in the chance that the plant came infested, so that one run back
gives the chance of its log for a plant that came infested and for one that did not. Whatever is
supposed of the plant itself before its first look takes no part in it.
"""

import math
from collections.abc import Generator
from dataclasses import replace

import numpy as np

from rounds.core.inference.backward import Backward, known_at_first, prepare
from rounds.core.inference.facts import Mate
from rounds.core.inference.observed import ImpossibleEntry, Log
from rounds.core.inference.scale import ChanceOutOfRange, scales

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
    try:
        infested, clean = yield from by_start(log, budget)
    except ChanceOutOfRange:
        return SILENT
    if infested == clean == -math.inf:
        return SILENT
    lead = infested - clean
    # only their ratio tells anything
    return Mate(math.exp(min(0.0, lead)), math.exp(min(0.0, -lead)))


def by_start(log: Log, budget: int) -> Generator[None, None, tuple[float, float]]:
    """ln P(log | infested before the first look) and ln P(log | not); -inf where it cannot be.

    Yields some 15 ms apart.

    Raises:
        ChanceOutOfRange: the former fits no floating-point scale.
    """
    infested = replace(log, start=replace(log.start, infested=1.0))
    try:
        course = prepare(infested, budget)
    except ImpossibleEntry:
        return -math.inf, -math.inf
    found = sum(course.pooling.caps)
    tries = scales(found)
    scale = next(tries)
    while True:
        run = Backward(course, np.ones((len(log.landing), 1, 1)), scale, in_parts=True)
        yield from run.quiet_parts()
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            came_infested = float(run.values()[0])
        try:
            scale = tries.send(came_infested)
        except StopIteration as end:
            serves, is_possible = end.value
            if serves is not None:
                break
            if is_possible:
                raise ChanceOutOfRange("the chance of the log is out of range") from None
            return -math.inf, -math.inf
    scaled = found * math.log(scale)
    clean = _came_clean(log, run)
    return (
        course.known.log_factor + math.log(came_infested) - scaled,
        math.log(clean) - scaled if clean > 0 else -math.inf,
    )


def _came_clean(log: Log, run: Backward) -> float:
    """Chance of the log of a plant that came clean, at the scale of the run."""
    try:
        known, _ = known_at_first(replace(log, start=replace(log.start, infested=0.0)))
    except ImpossibleEntry:
        return 0.0
    return float(run.values(known)[0]) * math.exp(known.log_factor)

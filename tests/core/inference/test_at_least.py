"""A count that says 'at least so many' beside the exact sum over all numbers from there on."""

import math
from dataclasses import replace

import pytest

from rounds.core.inference.answer import Answer, answer
from rounds.core.inference.evidence import gather
from rounds.core.parameters import Parameters
from tests.core.inference.logs import LEAFY, PARAMETERS, facts, on, tally, whole

MITE = "spider-mite"
EXACTLY = replace(
    PARAMETERS, pests={MITE: replace(PARAMETERS.pests[MITE], counted_from=())}
)  # fmt: skip
HANDLING = PARAMETERS.inspection.seconds_per_find
LOOKED = LEAFY.zone("undersides").reference_seconds
ENOUGH = 1e-6
"""share of the sum below which greater numbers add nothing"""


def after(count: int, kind: str, days: int, table: Parameters, handled: int) -> Answer:
    """Found on the undersides on the first day; clean looks every third day up to the last."""
    looks = [
        replace(look, seconds=LOOKED + HANDLING * handled) if look.tallies else look
        for day in range(0, days + 1, 3)
        for look in whole(day, {"undersides": [tally(count, kind, pest=MITE)]} if not day else {})
    ]
    log = gather(replace(facts(looks), pest=MITE), on(days), table).log
    return answer(log, 4096, with_interval=False)


def summed(least: int, kind: str, days: int) -> float:
    """The chance clean by the sum over each number that there may have been."""
    first, weight, clean = None, 0.0, 0.0
    for count in range(least, least + 200):
        found = after(count, kind, days, EXACTLY, count)
        first = found.log_probability if first is None else first
        chance = math.exp(found.log_probability - first)
        weight += chance
        clean += chance * found.chance_clean
        if chance < ENOUGH * weight:
            return clean / weight
    raise AssertionError("the sum does not end")


@pytest.mark.parametrize("kind", ["left", "removed"])
@pytest.mark.parametrize("least", [1, 20])
@pytest.mark.parametrize(("days", "most"), [(14, 0.04), (21, 0.04), (28, 0.01), (42, 0.001)])
def test_seen_in_passing_is_as_near_the_exact_sum_as_the_method_says(
    kind: str, least: int, days: int, most: float
) -> None:
    read = after(least, kind, days, PARAMETERS, 1).chance_clean
    assert read == pytest.approx(summed(least, kind, days), abs=most)

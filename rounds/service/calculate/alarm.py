"""How often counts that do not rise set off the alarm, and how soon those that do."""

import math

from rounds import words
from rounds.errors import BadInput
from rounds.service.calculate.calculated import Calculated, check_above, check_count

MOST = 1000.0


def run_length(
    mean: float, reference: float, limit: float, head_start: float = 0.0
) -> float | None:
    """Counts until the sum signals, on average; None where it never does. TooFine as the chain."""
    # slow to load, and not needed to refuse a call
    from rounds.core.estimates.alarm import average_run_length

    length = average_run_length(mean, reference, limit, head_start)
    return None if math.isinf(length) else length


def alarm(mean: float, reference: float, limit: float, head_start: float) -> Calculated:
    """The average run length of an upper Poisson CUSUM. BadInput for what is no such scheme."""
    check_count("mean", mean, MOST)
    check_above("reference", reference, MOST)
    check_above("limit", limit, MOST)
    if not 0 <= head_start < limit:
        raise BadInput("head-start-too-far", given=f"{head_start:g}", limit=f"{limit:g}",
                       field="head_start")  # fmt: skip
    from rounds.core.estimates.alarm import TooFine

    try:
        length = run_length(mean, reference, limit, head_start)
    except TooFine:
        raise BadInput("too-fine", field="reference") from None
    never = words.section("sums.no-estimate")["never-signals"]
    return Calculated(
        calculation="alarm",
        method="poisson-cusum",
        inputs={
            "mean": mean,
            "reference": reference,
            "limit": limit,
            "head_start": head_start,
        },
        result={"average_run_length": length},
        no_estimate_reason=never if length is None else None,
        warnings=(),
        source=words.say("sums.source.alarm"),
    )

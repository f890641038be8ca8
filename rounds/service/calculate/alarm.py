"""How often counts that do not rise set off the alarm, and how soon those that do."""

import math

from rounds import words
from rounds.errors import BadInput
from rounds.service.calculate.calculated import Calculated, check_above, check_count

MOST = 1000.0


def alarm(mean: float, reference: float, limit: float, head_start: float) -> Calculated:
    """The average run length of an upper Poisson CUSUM. BadInput for what is no such scheme."""
    # slow to load, and not needed to refuse a call
    from rounds.core.estimates.alarm import TooFine, average_run_length

    check_count("mean", mean, MOST)
    check_above("reference", reference, MOST)
    check_above("limit", limit, MOST)
    if not 0 <= head_start < limit:
        raise BadInput("head-start-too-far", given=f"{head_start:g}", limit=f"{limit:g}",
                       field="head_start")  # fmt: skip
    try:
        length = average_run_length(mean, reference, limit, head_start)
    except TooFine:
        raise BadInput("too-fine", field="reference") from None
    never = math.isinf(length)
    return Calculated(
        calculation="alarm",
        method="poisson-cusum",
        inputs={
            "mean": mean,
            "reference": reference,
            "limit": limit,
            "head_start": head_start,
        },
        result={"average_run_length": None if never else length},
        no_estimate_reason=words.section("sums.no-estimate")["never-signals"] if never else None,
        warnings=(),
        source=words.say("sums.source.alarm"),
    )

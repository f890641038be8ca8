"""How a time for looking is best split over places."""

from collections.abc import Sequence

from rounds import words
from rounds.errors import BadInput
from rounds.service.calculate.calculated import Calculated, check_above, check_count, note

MOST_PLACES = 1000
MOST = 1e9


def effort(values: Sequence[float], rates: Sequence[float], total: float) -> Calculated:
    """The time each place gets, and the chance to find there what is there.

    BadInput where values and rates do not pair up, or are no such numbers.
    """
    if not 1 <= len(values) <= MOST_PLACES:
        raise BadInput("too-many-places", most=MOST_PLACES, field="values")
    if len(values) != len(rates):
        raise BadInput("rates-do-not-match", values=len(values), rates=len(rates), field="rates")
    for value in values:
        check_count("values", value, MOST)
    for rate in rates:
        check_above("rates", rate, MOST)
    check_count("total", total, MOST)
    # slow to load, and not needed to refuse a call
    from rounds.core.estimates.effort import best_split

    shares, found = best_split(values, rates, total)
    return Calculated(
        calculation="effort",
        method="random-search",
        inputs={"values": list(values), "rates": list(rates), "total": total},
        result={
            "shares": shares,
            "found_chance": found,
            "success": sum(value * chance for value, chance in zip(values, found, strict=True)),
        },
        no_estimate_reason=None,
        warnings=(note("random-search"),),
        source=words.say("sums.source.effort"),
    )

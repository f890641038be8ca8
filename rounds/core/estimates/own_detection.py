"""How much of what is there a grower finds, learned from zones looked at twice in a row.

Nothing moves between the two looks, and what the first one found is gone. Of all insects found at
such a pair, the share found by the second look says how much the first one left. It is not as
plain as one minus the second count over the first: the insects differ in how well they are seen,
and those that are left are the worse seen ones.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from rounds.core.parameters import SecondLooks, StageParameters

GRID = 200
"""points at which the share found is tried"""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two looks at one zone, one straight after the other: what each found and how long it took.

    `first_times` and `second_times` are the seconds of each in reference seconds of the zone.
    """

    first: int
    second: int
    first_times: float = 1.0
    second_times: float = 1.0

    @property
    def found(self) -> int:
        """Insects found by both looks."""
        return self.first + self.second


def own_detection(
    pairs: Sequence[Pair], stages: Sequence[StageParameters], known: SecondLooks
) -> float:
    """How many times the rates of the table a grower finds with; 1 while nothing was found.

    With p = 1 - (1 - p_ref) ** (rate * times) for each stage and m its share of an infestation,
    the insects found by the second look are Binomial(all found, rho / (1 + rho)) with
    rho = sum m (1 - p_first) p_second / sum m p_first. What a look of the reference seconds finds
    of laying adults has a beta prior; its mean given all pairs, taken on a grid, gives the rate,
    which is kept within what is known to be sensible.

    Args:
        pairs: of zones looked at twice.
        stages: of the pest, the best seen last.
        known: the prior and the limits.
    """
    by_times: dict[tuple[float, float], list[int]] = defaultdict(lambda: [0, 0])
    for pair in pairs:
        if pair.found:
            counts = by_times[pair.first_times, pair.second_times]
            counts[0] += pair.first
            counts[1] += pair.second
    if not by_times:
        return 1.0
    seen = [(stage.make_up, -math.log1p(-stage.found_in_reach)) for stage in stages]
    best = seen[-1][1]
    shares = [(n + 0.5) / GRID for n in range(GRID)]
    rates = [-math.log1p(-share) / best for share in shares]
    weights = [
        (known.found_before - 1) * math.log(share) + (known.missed_before - 1) * math.log1p(-share)
        for share in shares
    ]
    for (first_times, second_times), (first, second) in by_times.items():
        for at, rate in enumerate(rates):
            later = second_share(seen, rate * first_times, rate * second_times)
            weights[at] += second * math.log(later) + first * math.log1p(-later)
    most = max(weights)
    weights = [math.exp(weight - most) for weight in weights]
    mean = sum(w * s for w, s in zip(weights, shares, strict=True)) / sum(weights)
    return min(known.most, max(known.least, -math.log1p(-mean) / best))


def second_share(
    seen: Sequence[tuple[float, float]], first_times: float, second_times: float
) -> float:
    """Of the insects found by two looks, the share expected at the second: rho / (1 + rho).

    Args:
        seen: of each stage its share of an infestation, and its rate -ln(1 - p_ref).
        first_times: reference seconds of the first look, times the grower's own rate.
        second_times: the same of the second.
    """
    first = sum(m * -math.expm1(-rate * first_times) for m, rate in seen)
    second = sum(
        m * math.exp(-rate * first_times) * -math.expm1(-rate * second_times) for m, rate in seen
    )
    return second / (first + second)

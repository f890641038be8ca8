"""What a grower finds, from the zones looked at twice in a round."""

from collections.abc import Sequence
from dataclasses import dataclass

from rounds.core.estimates.own_detection import Pair
from rounds.core.estimates.own_detection import own_detection as rate_of
from rounds.core.parameters import Parameters

DECIMALS = 3
"""to which the factor is rounded: finer changes no figure on a screen"""


@dataclass(frozen=True, slots=True)
class OwnDetection:
    """`theta`: times the rates of the table; from how many pairs, and what they found in all."""

    theta: float
    pairs: int
    found: int


def learned(pairs: Sequence[Pair], parameters: Parameters) -> OwnDetection:
    """From all pairs of looks on the days before one: that day is worked out with one value.

    Args:
        pairs: of every plant that came, also those that are gone.
        parameters: the table.

    It is learned from the pest that is usually followed, and held to be the grower's for all.
    """
    theta = rate_of(
        pairs, parameters.pests[parameters.default_pest].stages, parameters.second_looks
    )
    return OwnDetection(round(theta, DECIMALS), len(pairs), sum(pair.found for pair in pairs))

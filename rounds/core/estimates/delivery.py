"""How well one look finds insects on a plant that has just come, if it holds some."""

from collections.abc import Iterable

from rounds.core.body import Body
from rounds.core.parameters import StageParameters, Supposed


def found_in_full_look(
    body: Body, stages: Iterable[StageParameters], detection_times: float = 1.0
) -> float:
    """Chance that a full look at all outside zones finds one insect of an unknown infestation.

    Args:
        body: of the plant; each outside zone has its reference time.
        stages: with the make-up of an unknown infestation.
        detection_times: the grower's own detection rates -ln(1 - p), over those of the stages.
    """
    in_reach = sum(zone.weight * (1 - zone.tucked_share) for zone in body.outside)
    seen = sum(
        stage.make_up * (1 - (1 - stage.found_in_reach) ** detection_times) for stage in stages
    )
    return float(in_reach * seen)


def look_sensitivity(found: float, supposed: Supposed) -> float:
    """Chance that a look shows something on a plant that holds an insect.

    The number on an infested plant is Poisson about a gamma mean: of those with each insect found
    with the chance p, (1 + mean p / shape) ** -shape show nothing, and with p 1 hold nothing.

    Args:
        found: chance of the look to find one insect, above 0.
        supposed: of a plant before its first look.
    """
    return (1 - _none(found, supposed)) / (1 - _none(1.0, supposed))


def chance_to_hold_insects(supposed: Supposed) -> float:
    """Chance that a plant holds an insect before its first look."""
    return supposed.chance * (1 - _none(1.0, supposed))


def _none(found: float, supposed: Supposed) -> float:
    return float((1 + supposed.mean * found / supposed.shape) ** -supposed.shape)

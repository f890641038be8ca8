"""How much of a stock and of water make a weaker liquid, and what to mind when mixing."""

from rounds import words
from rounds.core.estimates.dilution import diluted
from rounds.errors import BadInput
from rounds.service.calculate.calculated import Calculated, Note

MOST_ML = 1_000_000.0
"""A cubic metre: more is a slip of the hand."""


def dilution(stock_percent: float, target_percent: float, volume_ml: float) -> Calculated:
    """How many ml of a stock and of water make `volume_ml` of the strength wanted.

    BadInput for strengths outside (0, 100], one above the stock's, or no sensible volume. The
    cautions for handling it come with every result.
    """
    _in_range("stock_percent", stock_percent, 100, "no-strength")
    _in_range("target_percent", target_percent, 100, "no-strength")
    _in_range("volume_ml", volume_ml, MOST_ML, "no-volume")
    if target_percent > stock_percent:
        raise BadInput(
            "stronger-than-stock",
            target=f"{target_percent:g}",
            stock=f"{stock_percent:g}",
            field="target_percent",
        )
    made = diluted(stock_percent, target_percent, volume_ml)
    return Calculated(
        calculation="dilution",
        method="conservation",
        inputs={
            "stock_percent": stock_percent,
            "target_percent": target_percent,
            "volume_ml": volume_ml,
        },
        result={"stock_ml": made.stock, "water_ml": made.water},
        no_estimate_reason=None,
        warnings=dilution_cautions(),
        source=words.say("calculate.dilution.source"),
    )


def dilution_cautions() -> tuple[Note, ...]:
    """The cautions for mixing anything."""
    return tuple(Note(*caution) for caution in words.section("calculate.cautions").items())


def _in_range(field: str, given: float, most: float, fault: str) -> None:
    """Above 0 and up to `most`."""
    if not 0 < given <= most:
        raise BadInput(fault, given=f"{given:g}", field=field)

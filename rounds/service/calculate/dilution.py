"""How much of a stock and of water make a weaker liquid, and what to mind when mixing."""

from typing import Any

from rounds import words
from rounds.core.estimates.dilution import (
    METRIC_CUP,
    US_CUP,
    Cup,
    Dilution,
    diluted,
    from_rate,
    measured,
)
from rounds.errors import BadInput
from rounds.service.calculate.calculated import Calculated, Note

MOST_ML = 1_000_000.0
"""A cubic metre: more is a slip of the hand."""

ML_PER_LITRE_IN = {"ml-per-litre": 1.0, "fl-oz-per-gallon": 1000 / 128}
"""How a label may give a rate, US fluid ounces and gallons; each in ml per litre."""

MOST_RATE = 500.0
"""ml per litre: more is no dilution."""

LIQUIDS = ("alcohol", "soap", "oil", "peroxide", "bleach", "detergent", "other")
READY_PEROXIDE = 3.0
"""percent; stronger peroxide is not made weaker at home"""


def dilution(
    stock_percent: float, target_percent: float, volume_ml: float, liquid: str = "other"
) -> Calculated:
    """How many ml of a stock and of water make `volume_ml` of the strength wanted.

    BadInput for strengths outside (0, 100], one above the stock's, no sensible volume, or a liquid
    that is not made weaker at home. The cautions for handling it come with every result.
    """
    _in_range("stock_percent", stock_percent, 100, "no-strength")
    _in_range("target_percent", target_percent, 100, "no-strength")
    _in_range("volume_ml", volume_ml, MOST_ML, "no-volume")
    _check_liquid(liquid, stock_percent)
    if target_percent > stock_percent:
        raise BadInput(
            "stronger-than-stock",
            target=f"{target_percent:g}",
            stock=f"{stock_percent:g}",
            field="target_percent",
        )
    made = diluted(stock_percent, target_percent, volume_ml)
    inputs = {"stock_percent": stock_percent, "target_percent": target_percent}
    return _calculated("conservation", inputs, volume_ml, liquid, made, METRIC_CUP)


def label_dilution(rate: float, per: str, volume_ml: float, liquid: str = "other") -> Calculated:
    """The same for a rate that a label gives: so much of it to each litre, or gallon, of water.

    BadInput besides for a rate that is none, and for so little that no cup shows it.
    """
    if per not in ML_PER_LITRE_IN:
        allowed = ", ".join(ML_PER_LITRE_IN)
        raise BadInput("not-one-of", given=per, allowed=allowed, field="per")
    ml_per_litre = rate * ML_PER_LITRE_IN[per]
    _in_range("rate", ml_per_litre, MOST_RATE, "no-rate")
    _in_range("volume_ml", volume_ml, MOST_ML, "no-volume")
    _check_liquid(liquid, None)
    made = from_rate(ml_per_litre, volume_ml)
    cup = METRIC_CUP if per == "ml-per-litre" else US_CUP
    if measured(made.stock, cup) is None:
        raise BadInput("too-little-to-measure", given=f"{made.stock:.2g}", field="volume_ml")
    return _calculated("label-rate", {"rate": rate, "per": per}, volume_ml, liquid, made, cup)


def _calculated(
    method: str,
    inputs: dict[str, Any],
    volume_ml: float,
    liquid: str,
    made: Dilution,
    cup: Cup,
) -> Calculated:
    asked = dict.fromkeys(("stock_percent", "target_percent", "rate", "per")) | inputs
    shown = measured(made.stock, cup)
    return Calculated(
        calculation="dilution",
        method=method,
        inputs={**asked, "volume_ml": volume_ml, "liquid": liquid},
        result={
            "stock_ml": made.stock,
            "water_ml": made.water,
            "measured_stock_ml": shown and shown.stock,
            "measured_water_ml": shown and max(0.0, volume_ml - shown.stock),
            "error": shown and shown.error,
        },
        no_estimate_reason=None,
        warnings=dilution_cautions(),
        source=words.say("calculate.dilution.source"),
    )


def dilution_cautions() -> tuple[Note, ...]:
    """The cautions for mixing anything."""
    return tuple(Note(*caution) for caution in words.section("calculate.cautions").items())


def _check_liquid(liquid: str, stock_percent: float | None) -> None:
    """BadInput for what is not made weaker at home, whatever the figures are."""
    if liquid not in LIQUIDS:
        raise BadInput("not-one-of", given=liquid, allowed=", ".join(LIQUIDS), field="liquid")
    if liquid == "detergent":
        raise BadInput("no-detergent", field="liquid")
    if liquid == "bleach":
        raise BadInput("no-bleach", field="liquid")
    if liquid == "peroxide" and (stock_percent is None or stock_percent > READY_PEROXIDE):
        raise BadInput("strong-peroxide", field="liquid")


def _in_range(field: str, given: float, most: float, fault: str) -> None:
    """Above 0 and up to `most`."""
    if not 0 < given <= most:
        raise BadInput(fault, given=f"{given:g}", field=field)

"""Published sums on their own: what is given is checked, and what comes out says how it was got."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rounds import words
from rounds.core.estimates.dilution import diluted
from rounds.errors import BadInput

MOST_ML = 1_000_000.0
"""A cubic metre: more is a slip of the hand."""


@dataclass(frozen=True, slots=True)
class Note:
    """A caution or assumption told beside a result."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class Calculated:
    """A result, what it was made of, and where its formula is from."""

    calculation: str
    method: str
    inputs: Mapping[str, Any]
    result: Mapping[str, Any]
    no_estimate_reason: str | None
    warnings: tuple[Note, ...]
    source: str


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

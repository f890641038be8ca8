"""The results of sums as a person reads them."""

from collections.abc import Iterator

from rounds import words
from rounds.service.calculate.calculated import Calculated
from rounds.words.forms import percent, volume

EXACT = 1e-6
"""How far off, at most, a volume in a cup is that is just right."""


def dilution(found: Calculated, *, brief: bool = False) -> Iterator[str]:
    """How much of what, and what a cup shows of it; `brief`: that where there is little room."""
    result, inputs = found.result, found.inputs
    said = {
        "stock": volume(result["stock_ml"]),
        "water": volume(result["water_ml"]),
        "whole": volume(inputs["volume_ml"]),
    }
    if inputs["target_percent"] is None:
        yield words.say("calculate.dilution.said-rate", **said)
    else:
        yield words.say("calculate.dilution.said", target=percent(inputs["target_percent"]), **said)
    if result["measured_stock_ml"] is not None:
        yield measured_text(
            result["measured_stock_ml"], inputs["volume_ml"], result["error"], brief=brief
        )


def measured_text(stock_ml: float, volume_ml: float, error: float, *, brief: bool = False) -> str:
    """What a cup shows, and how far that makes it too strong or too weak."""
    off = f"{100 * abs(error):.2g}"
    # what is left of digits in a sum is no difference
    how = "exact" if abs(error) < EXACT else "stronger" if error > 0 else "weaker"
    return words.say(
        "calculate.dilution.measured-brief" if brief else "calculate.dilution.measured",
        stock=volume(stock_ml),
        whole=volume(volume_ml),
        error=words.say(f"calculate.dilution.{how}", error=off),
    )


def removal(found: Calculated) -> Iterator[str]:
    """How many there were and are."""
    result = found.result
    if result["estimate"] is None:
        return
    yield words.say(
        "sums.said.removal",
        estimate=_short(result["estimate"]),
        low=_short(result["low"]),
        high=words.say("sums.said.no-limit") if result["high"] is None else _short(result["high"]),
        removed=result["removed"],
        remaining=_short(result["remaining"]),
    )
    yield words.say("sums.said.pass-finds", share=_hundred(result["detection"]))
    if result["p_value"] is not None:
        yield words.say(
            "sums.said.first-pass",
            share=_hundred(result["first_detection"]),
            chi_square=_short(result["chi_square"]),
            p_value=_short(result["p_value"]),
        )


def freedom(found: Calculated) -> Iterator[str]:
    """The chance after each period."""
    for period, chance in enumerate(found.result["chances"], 1):
        yield words.say("sums.said.period", period=period, chance=_hundred(chance))
    plateau, first = found.result["plateau"], found.result["first_period_at_plateau"]
    yield words.say("sums.said.plateau", chance=_hundred(plateau))
    if first is not None:
        yield words.say("sums.said.plateau-from", period=first)


def sample_size(found: Calculated) -> Iterator[str]:
    """How many units."""
    samples, infested = found.result["samples"], found.result["infested_units"]
    if samples is None:
        return
    if infested is None:
        yield words.say("sums.said.samples-of-many", samples=samples)
    else:
        yield words.say(
            "sums.said.samples", samples=samples, units=found.inputs["units"], infested=infested
        )


def clean_visits(found: Calculated) -> Iterator[str]:
    """How many visits."""
    yield words.say(
        "sums.said.visits", visits=found.result["visits"], exact=_short(found.result["exact"])
    )


def degree_days(found: Calculated) -> Iterator[str]:
    """The warmth of a day."""
    days = found.result["degree_days"]
    yield words.say("sums.said.degree-days", days=f"{days:.2f}", unit=found.inputs["unit"])


def effort(found: Calculated) -> Iterator[str]:
    """The time of each place."""
    result = found.result
    pairs = zip(result["shares"], result["found_chance"], strict=True)
    for place, (share, chance) in enumerate(pairs, 1):
        yield words.say(
            "sums.said.place", place=place, share=_short(share), chance=_hundred(chance)
        )
    yield words.say("sums.said.success", success=_short(result["success"]))


def alarm(found: Calculated) -> Iterator[str]:
    """How long until a signal."""
    length = found.result["average_run_length"]
    if length is not None:
        yield words.say("sums.said.alarm", length=_short(length))


def efficacy(found: Calculated) -> Iterator[str]:
    """Both formulas, where the counts allow them."""
    abbott, henderson = found.result["abbott"], found.result["henderson_tilton"]
    if abbott is not None:
        yield words.say("sums.said.abbott", share=_hundred(abbott))
    if henderson is not None:
        yield words.say("sums.said.henderson-tilton", share=_hundred(henderson))


def _short(number: float) -> str:
    """Four figures are more than any of these sums is good for."""
    return f"{number:.4g}" if abs(number) < 1000 else f"{number:.0f}"


def _hundred(share: float) -> str:
    return f"{100 * share:.1f}"

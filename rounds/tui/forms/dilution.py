"""How much of a stock and how much water: a sum alone; nothing of it is saved."""

from dataclasses import replace

from rounds import words
from rounds.core.estimates.dilution import METRIC_CUP, US_CUP, measured
from rounds.errors import BadInput
from rounds.service.calculate.calculated import Calculated
from rounds.service.calculate.dilution import (
    MOST_ML,
    dilution,
    dilution_cautions,
    label_dilution,
)
from rounds.service.calculate.said import dilution as dilution_text
from rounds.service.courses.cautions import Mind
from rounds.service.logbook.book import Logbook
from rounds.tui.forms.fields import Again, Field, FieldFault, Form, Values
from rounds.tui.forms.values import needed, number_of
from rounds.tui.forms.wording import fault, heading_day, hint_for, label
from rounds.tui.screens.form import FormScreen
from rounds.words.display import display
from rounds.words.forms import ML_IN_FLUID_OUNCE, percent, volume

EXAMPLE_ML = {False: 500.0, True: 16 * ML_IN_FLUID_OUNCE}
"""What the hint names, by whether volumes are in fluid ounces."""

ML_IN = {
    "ml": 1.0,
    "gal": 128 * ML_IN_FLUID_OUNCE,
    "l": 1000.0,
    "fl oz": ML_IN_FLUID_OUNCE,
}
"""What may stand behind a volume; of two that end alike the longer comes first."""

RATES = (
    (("ml per litre", "ml per liter", "ml per l"), "ml-per-litre"),
    (("fl oz per gallon", "fl oz per gal"), "fl-oz-per-gallon"),
)
"""What may stand behind the rate of a label; a stroke is read as 'per'."""


def dilution_form(logbook: Logbook) -> FormScreen:
    """The screen that says what a weaker liquid is made of."""
    return FormScreen(mixing_form(logbook, {}))


def mixing_form(logbook: Logbook, kept: Values) -> Form:
    """The form of it, with what was typed into it before."""
    return Form(
        title=words.say("desk_forms.title.dilution"),
        plant=None,
        fields=(
            _strength_field("stock", kept.get("stock", "")),
            _strength_field("target", kept.get("target", "")),
            _volume_field(),
        ),
        write=_said,
        sentence=None,
        day=heading_day(logbook),
        lead=words.say("desk_forms.lead.dilution"),
        cautions=tuple(Mind(note.text, note.text) for note in dilution_cautions()),
        again=Again(
            words.say("calculate.dilution.another"), lambda values: mixing_form(logbook, values)
        ),
    )


def _strength_field(code: str, value: str) -> Field:
    def check(given: str) -> str:
        if code != "target" or rate_of(given) is None:
            percent_of(given, code)
        return given

    # a rate of a label goes without the strength of the stock
    is_asked = code == "target"
    return Field(
        code, label(code), value, hint=hint_for(code), check=check, may_be_empty=not is_asked
    )


def _volume_field() -> Field:
    def check(given: str) -> str:
        millilitres_of(given)
        return given

    example = volume(EXAMPLE_ML[display().fluid_ounces])
    return Field(
        "volume",
        label("volume"),
        hint=hint_for("volume", example=example),
        check=check,
        may_be_empty=False,
    )


def rate_of(given: str) -> tuple[float, str] | None:
    """The rate of a label, and what it is in: 5 ml per litre, 2 fl oz per gallon; else None.

    FieldFault where what stands before the unit is no number.
    """
    text = " ".join(given.casefold().replace("/", " per ").split())
    for endings, per in RATES:
        for ending in endings:
            if text.endswith(ending):
                return number_of(text.removesuffix(ending).strip(), "target"), per
    return None


def percent_of(given: str, field: str) -> float:
    """A strength, typed as 70, 70 % or 70 percent. FieldFault where it is none."""
    text = given.strip().casefold().removesuffix("percent").removesuffix("%")
    value = number_of(text.strip(), field)
    if not 0 < value <= 100:
        raise fault("no-strength", field, given=given)
    return value


def millilitres_of(given: str) -> float:
    """A volume in ml, typed in the unit on screen or with its own: 500, 500 ml, 1 l, 16 fl oz.

    FieldFault where it is none that is mixed by hand.
    """
    text, of_one = given.strip().casefold(), ML_IN["fl oz" if display().fluid_ounces else "ml"]
    for ending, in_ml in ML_IN.items():
        if text.endswith(ending):
            text, of_one = text.removesuffix(ending), in_ml
            break
    value = number_of(text.strip(), "volume") * of_one
    if not 0 < value <= MOST_ML:
        raise fault("no-volume", "volume", given=given, most=volume(MOST_ML))
    return value


def _said(values: Values) -> str:
    needed(values, "target", "volume")
    whole, rate = millilitres_of(values["volume"]), rate_of(values["target"])
    if rate is None:
        needed(values, "stock")
        found = _of_strengths(values, whole)
    else:
        try:
            found = label_dilution(*rate, whole)
        except BadInput as trouble:
            # the rate and what it comes to are one line here
            raise FieldFault(str(trouble), "target") from None
    return ". ".join(dilution_text(_by_own_cup(found), brief=True)).removesuffix(".")


def _of_strengths(values: Values, whole: float) -> Calculated:
    stock, target = (percent_of(values[code], code) for code in ("stock", "target"))
    try:
        return dilution(stock, target, whole)
    except BadInput:
        raise fault("stronger", "target", stock=percent(stock)) from None


def _by_own_cup(found: Calculated) -> Calculated:
    """The same as a cup in the grower's own unit shows it."""
    cup = US_CUP if display().fluid_ounces else METRIC_CUP
    shown = measured(found.result["stock_ml"], cup)
    own = {"measured_stock_ml": shown and shown.stock, "error": shown and shown.error}
    return replace(found, result={**found.result, **own})

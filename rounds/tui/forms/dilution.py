"""How much of a stock and how much water: a sum alone; nothing of it is saved."""

from rounds import words
from rounds.errors import BadInput
from rounds.service.calculate.dilution import MOST_ML, dilution, dilution_cautions
from rounds.service.logbook.book import Logbook
from rounds.tui.forms.fields import Again, Field, Form, Values
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


def dilution_form(logbook: Logbook) -> FormScreen:
    """The screen that says what a weaker liquid is made of."""
    return FormScreen(_form(logbook, {}))


def _form(logbook: Logbook, kept: Values) -> Form:
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
        cautions=tuple(note.text for note in dilution_cautions()),
        again=Again(words.say("calculate.dilution.another"), lambda values: _form(logbook, values)),
    )


def _strength_field(code: str, value: str) -> Field:
    def check(given: str) -> str:
        percent_of(given, code)
        return given

    return Field(code, label(code), value, hint=hint_for(code), check=check, may_be_empty=False)


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
    needed(values, "stock", "target", "volume")
    stock, target = (percent_of(values[code], code) for code in ("stock", "target"))
    whole = millilitres_of(values["volume"])
    try:
        found = dilution(stock, target, whole)
    except BadInput:
        raise fault("stronger", "target", stock=percent(stock)) from None
    return words.say(
        "calculate.dilution.said",
        stock=volume(found.result["stock_ml"]),
        water=volume(found.result["water_ml"]),
        whole=volume(whole),
        target=percent(target),
    )

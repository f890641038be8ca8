"""How days, figures and yes or no are typed into a form, and what they are then."""

import math
from collections.abc import Sequence
from datetime import date, timedelta

from rounds import words
from rounds.core.collection import Plant
from rounds.errors import BadInput
from rounds.service.collection.plants import COLDEST_C, WARMEST_C
from rounds.service.entries.looks import MOST_COUNTED
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon, now, read_day
from rounds.service.logbook.named import find_plant, pest_named
from rounds.tui.forms.fields import Choice, Field, FieldFault, Values
from rounds.tui.forms.wording import fault, hint_for, label
from rounds.words.days import written_day
from rounds.words.display import display
from rounds.words.forms import FAHRENHEIT_AT_0_C, FAHRENHEIT_STEPS, calendar_day, temperature
from rounds.words.pests import pest_name

DAYS_FROM_TODAY = {"today": 0, "yesterday": -1, "tomorrow": 1}
"""Days that are typed as a word."""

TODAY, YESTERDAY = "today", "yesterday"
LONGEST_MINUTES = 4
"""Most digits of the minutes of a look; a day has 1440."""

YES, NO = "yes", "no"


def choices_of(section: str) -> tuple[Choice, ...]:
    """Every word of a section of the forms, in its order."""
    return tuple(Choice(*pair) for pair in words.section(f"desk_forms.{section}").items())


def text_field(code: str, value: str = "", hinted: str | None = None) -> Field:
    """Any text, or none."""
    return Field(code, label(code), value, hint=hint_for(hinted or code))


def choice_field(code: str, value: str, choices: tuple[Choice, ...], hinted: str) -> Field:
    """One of several answers."""
    return Field(code, label(code), value, choices, hint_for(hinted), may_be_empty=False)


def yes_no_field(code: str, value: str, hinted: str = "") -> Field:
    """Yes or no."""
    choices = (Choice(YES, words.say("desk_forms.yes")), Choice(NO, words.say("desk_forms.no")))
    return choice_field(code, value, choices, hinted or code)


def day_field(logbook: Logbook, code: str, value: str = TODAY) -> Field:
    """A day that has come: today unless said otherwise."""

    def check(given: str) -> str:
        return shown_day(logbook, given, day_of(logbook, given, code))

    today = logbook.clock.today()
    example = hint_for(code, day=calendar_day(today - timedelta(days=1), today))
    return Field(code, label(code), value, hint=example, check=check, may_be_empty=False)


def day_of(logbook: Logbook, given: str, field: str) -> date:
    """A day as typed: today, yesterday, 4 May, 2026-05-04. FieldFault otherwise, or to come."""
    today = logbook.clock.today()
    day = any_day_of(logbook, given, field)
    if day > today:
        raise fault("not-yet", field, day=calendar_day(day, today))
    return day


def any_day_of(logbook: Logbook, given: str, field: str) -> date:
    """The same, and tomorrow; one to come too."""
    today = logbook.clock.today()
    said = given.strip().casefold()
    if said in DAYS_FROM_TODAY:
        return today + timedelta(days=DAYS_FROM_TODAY[said])
    known = written_day(given, today)
    if known is not None:
        return known
    try:
        return read_day(given, field)
    except BadInput as bad:
        if bad.code != "not-a-date":
            raise
        example = calendar_day(today, today)
        raise fault("not-a-day", field, given=given, day=example) from None


def shown_day(logbook: Logbook, given: str, day: date) -> str:
    """A typed day as a form goes on to show it: the word it was typed as, or 4 May."""
    is_word = given.strip().casefold() in DAYS_FROM_TODAY
    return given if is_word else calendar_day(day, logbook.clock.today())


def moment_of(logbook: Logbook, day: date, who: str | None = None) -> Moment:
    """This instant where the day is today; noon of a day past."""
    present = now(logbook.clock, who)
    return present if day == present.day else local_noon(day, who)


def number_of(given: str, field: str) -> float:
    """A finite number. FieldFault otherwise."""
    try:
        value = float(given.replace(",", "."))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise fault("no-number", field, given=given)
    return value


SCALE_ENDINGS = {"degc": False, "c": False, "degf": True, "f": True}
"""What may stand behind a temperature, and whether it means degF."""


def celsius_of(given: str, field: str) -> float:
    """A temperature in degC, typed in the unit on screen or with its own: 18, 64 F, 18 degC.

    FieldFault where it is none that plants live at.
    """
    text, is_fahrenheit = given.strip().casefold(), display().fahrenheit
    for ending, means_fahrenheit in SCALE_ENDINGS.items():
        if text.endswith(ending):
            text, is_fahrenheit = text.removesuffix(ending), means_fahrenheit
            break
    value = number_of(text.strip(), field)
    celsius = (value - FAHRENHEIT_AT_0_C) / FAHRENHEIT_STEPS if is_fahrenheit else value
    if not COLDEST_C <= celsius <= WARMEST_C:
        ends = {"coldest": temperature(COLDEST_C), "warmest": temperature(WARMEST_C)}
        raise fault("no-temperature", field, given=given, **ends)
    return celsius


def count_field(code: str, value: str = "0") -> Field:
    """A whole number from 0 up."""

    def check(given: str) -> str:
        # figures of other scripts are digits too
        if not (given.isascii() and given.isdigit()) or int(given) > MOST_COUNTED:
            raise fault("no-count", code, given=given)
        return given

    return Field(code, label(code), value, hint=hint_for(code), check=check, may_be_empty=False)


def seconds_field(value: str = "") -> Field:
    """The time a look took."""

    def check(given: str) -> str:
        seconds_of(given)
        return given

    return Field(
        "seconds",
        label("seconds"),
        value,
        hint=hint_for("seconds"),
        check=check,
        may_be_empty=False,
    )


def seconds_of(given: str) -> float:
    """Seconds typed as 40, 7.5 or 1:20. FieldFault otherwise."""
    minutes, colon, rest = given.rpartition(":")
    whole = minutes.isascii() and minutes.isdigit() and len(minutes) <= LONGEST_MINUTES
    try:
        seconds = number_of(rest, "seconds")
    except FieldFault:
        seconds = -1.0
    if seconds < 0 or (colon and not (whole and seconds < 60)):
        raise fault("no-seconds", "seconds", given=given)
    return seconds + 60 * int(minutes) if colon else seconds


def needed(values: Values, *codes: str) -> None:
    """FieldFault for the first of the fields that is still empty."""
    for code in codes:
        if not values[code]:
            raise fault("needed", code, label=label(code))


def place_choices(logbook: Logbook) -> tuple[Choice, ...]:
    """The places there are."""
    places = logbook.collection().places.values()
    return tuple(Choice(place.name, place.name) for place in places)


def touches_field(logbook: Logbook, codes: Sequence[str] = ()) -> Field:
    """Codes of plants, with blanks between."""

    def check(given: str) -> str:
        found = [find_plant(logbook, code, "touches").code for code in given.split()]
        return " ".join(dict.fromkeys(found))

    return Field(
        "touches", label("touches"), " ".join(codes), hint=hint_for("touches"), check=check
    )


def pests_field(logbook: Logbook, pests: Sequence[str]) -> Field:
    """Pests a plant is followed for, by their names, with commas between."""

    def check(given: str) -> str:
        return _named_together(pests_of(logbook, given))

    hint, said = hint_for("pests"), _named_together(pests)
    return Field("pests", label("pests"), said, hint=hint, check=check, may_be_empty=False)


def pest_field(logbook: Logbook, pest: str) -> Field:
    """One pest, by its name."""

    def check(given: str) -> str:
        return pest_name(pest_named(logbook, given))

    said = pest_name(pest)
    return Field(
        "pest", label("pest"), said, hint=hint_for("pest"), check=check, may_be_empty=False
    )


def pests_of(logbook: Logbook, given: str) -> tuple[str, ...]:
    """The codes of pests as typed. BadInput for one that is not known."""
    typed = filter(None, (each.strip() for each in given.split(",")))
    return tuple(dict.fromkeys(pest_named(logbook, each, "pests") for each in typed))


def _named_together(pests: Sequence[str]) -> str:
    return ", ".join(map(pest_name, pests))


def touched_codes(logbook: Logbook, plant: Plant, on: date) -> list[str]:
    """The codes of the plants a plant touched at the end of a day."""
    known = logbook.collection().plants
    return [known[other].code for other in plant.touching(on)]

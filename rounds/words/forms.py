"""How days, times and numbers are written."""

from collections.abc import Iterable
from datetime import date, datetime
from math import floor

from rounds import words
from rounds.words.display import display


def day_month(day: date, on: date) -> str:
    """4 May; today, where it is; with the year where it is not within half a year of `on`."""
    if day == on:
        return words.say("forms.today")
    return calendar_day(day, on)


def calendar_day(day: date, on: date) -> str:
    """4 May, May 4 or 2026-05-04; with the year where it is not within half a year of `on`."""
    style = display().dates
    if style == "iso":
        return day.isoformat()
    month = words.section("forms.months")[f"m{day.month}"]
    is_near = abs((day - on).days) <= 183
    if style == "month-day":
        return f"{month} {day.day}" if is_near else f"{month} {day.day}, {day.year}"
    return f"{day.day} {month}" if is_near else f"{day.day} {month} {day.year}"


MONTH_LETTERS = 3


def brief_day(day: date, on: date) -> str:
    """4 May, 14 Sep, Sep 14 or 09-14 of a day near `on`, in six columns; today, where it is."""
    style = display().dates
    if day == on:
        return words.say("forms.today")
    if style == "iso":
        return f"{day:%m-%d}"
    month = words.section("forms.months")[f"m{day.month}"][:MONTH_LETTERS]
    return f"{month} {day.day}" if style == "month-day" else f"{day.day} {month}"


def days_text(days: int) -> str:
    """1 day, 8 days."""
    return words.say("forms.one-day") if days == 1 else words.say("forms.days", days=days)


def ago_text(day: date, on: date) -> str:
    """today, yesterday, 8 days ago."""
    days = (on - day).days
    if days > 1:
        return words.say("forms.days-ago", days=days)
    return words.say("forms.yesterday") if days == 1 else words.say("forms.today")


def looks_text(looks: int) -> str:
    """1 look, 8 looks."""
    return words.say("forms.one-look") if looks == 1 else words.say("forms.looks", looks=looks)


MOST_CODES = 4


def codes_text(codes: Iterable[str]) -> str:
    """G02, G14; of many only the first few, and how many more."""
    ordered = sorted(codes, key=str.casefold)
    if len(ordered) <= MOST_CODES:
        return ", ".join(ordered)
    shown = ", ".join(ordered[: MOST_CODES - 1])
    return words.say("forms.codes-more", codes=shown, count=len(ordered) - MOST_CODES + 1)


def minutes_text(minutes: float) -> str:
    """1 minute, 8 minutes."""
    code = "one-minute" if minutes == 1 else "minutes"
    return words.say(f"forms.{code}", minutes=number(minutes))


def more_minutes_text(minutes: float) -> str:
    """1 more minute, 8 more minutes."""
    code = "one-more-minute" if minutes == 1 else "more-minutes"
    return words.say(f"forms.{code}", minutes=number(minutes))


def minutes_seconds(seconds: float) -> str:
    """0:25, 7:10. A rounding error of a sum shows no second less."""
    whole = int(seconds + 1e-6)
    return f"{whole // 60}:{whole % 60:02d}"


def time_of_day(local: datetime) -> str:
    """9:02, of an instant on the local clock."""
    return f"{local.hour}:{local.minute:02d}"


CERTAIN = 1e-9
"""by which a chance may fall short of a hundredth it should meet exactly"""


def in_100(chance: float) -> str:
    """92 in 100; fewer than 1, more than 99: nothing is said to be certain.

    Rounded down, as a chance that is not yet enough must not look so.
    """
    return words.say(f"forms.in-100{_end(chance)}", n=_hundredths(chance))


def out_of_100(chance: float) -> str:
    """92, <1, >99: where 'in 100' is said beside it, or over a column of chances."""
    return words.say(f"forms.of-100{_end(chance)}", n=_hundredths(chance))


def whole_number(value: float) -> str:
    """78; <1 where it would round to nothing though something is there."""
    return words.say("forms.of-100-fewer") if 0 < value < 0.5 else str(round(value))


def chance_clean(chance: float) -> str:
    """chance clean 92 in 100, chance clean >99 in 100: 25 columns at the most."""
    return words.say("forms.chance-clean", chance=out_of_100(chance))


def with_band(chance: str, low: float, high: float) -> str:
    """A chance in words with its band: 93 in 100, 84 to 96; alone where both ends agree."""
    ends = out_of_100(low), out_of_100(high)
    if ends[0] == ends[1]:
        return chance
    return words.say("band.beside", chance=chance, low=ends[0], high=ends[1])


def band_in_column(chance: float, low: float, high: float) -> str:
    """The same in twelve columns: 93 (84-96), >99 (97 up); where both ends agree, the chance."""
    said, ends = out_of_100(chance), (out_of_100(low), out_of_100(high))
    if ends[0] == ends[1]:
        return said
    code = "in-column-up" if _end(high) == "-more" else "in-column"
    return words.say(f"band.{code}", chance=said, low=ends[0], high=ends[1])


def _hundredths(chance: float) -> int:
    return floor(100 * chance + CERTAIN)


def _end(chance: float) -> str:
    """The ending of the codes of what is said below 1 and above 99 in 100."""
    if _hundredths(chance) < 1:
        return "-fewer"
    return "-more" if 100 * chance > 99 + CERTAIN else ""


MANY = 1000
"""above which units say nothing"""


def expected_number(mean: float) -> str:
    """under 1, 12, over 1000: an expected number, whole, as it is known no better."""
    if mean >= MANY:
        return words.say("forms.over", number=f"{MANY:.0f}")
    return f"{mean:.0f}" if mean >= 1 else words.say("forms.under-one")


def number_in_column(mean: float) -> str:
    """The same in five columns at the most: <1, 12, >1000."""
    if mean >= MANY:
        return words.say("forms.over-in-column", number=f"{MANY:.0f}")
    return expected_number(mean) if mean >= 1 else words.say("forms.under-one-in-column")


def left(mean: float, *, grouped: bool = False) -> str:
    """under 1 insect left, about 12 insects left, over 1000 insects left.

    Args:
        mean: expected number of insects.
        grouped: early finds were taken together, so that it is roughly as many.
    """
    code = "left" if not 1 <= mean < MANY else "left-roughly" if grouped else "left-about"
    return words.say(f"forms.{code}", insects=_insects(expected_number(mean), mean))


def left_brief(mean: float) -> str:
    """The same in few columns: under 1 alive, about 12 alive, over 1000 alive."""
    code = "left-brief-about" if 1 <= mean < MANY else "left-brief"
    return words.say(f"forms.{code}", number=expected_number(mean))


def _insects(written: str, mean: float) -> str:
    return words.say("forms.insect" if round(mean) <= 1 else "forms.insects", number=written)


def number(value: float) -> str:
    """A figure without decimals it does not need."""
    return f"{value:.0f}" if value == round(value) or abs(value) >= 10 else f"{value:.1f}"


FAHRENHEIT_STEPS, FAHRENHEIT_AT_0_C = 1.8, 32.0
"""Steps of degF in one of degC, and 0 degC in degF."""


def temperature(degrees_c: float) -> str:
    """18 degC, or 64.4 degF."""
    if display().fahrenheit:
        shown = degrees_c * FAHRENHEIT_STEPS + FAHRENHEIT_AT_0_C
        return words.say("forms.fahrenheit", value=f"{round(shown, 1):g}")
    return words.say("forms.celsius", value=f"{round(degrees_c, 1):g}")


ML_IN_FLUID_OUNCE = 29.5735295625
"""Of the US fluid ounce, exact: 231 cubic inches in 128 (NIST Handbook 44, Appendix C)."""


def volume(millilitres: float) -> str:
    """28.6 ml, or 0.97 fl oz."""
    if display().fluid_ounces:
        return words.say(
            "forms.fluid-ounces", value=_three_figures(millilitres / ML_IN_FLUID_OUNCE)
        )
    return words.say("forms.millilitres", value=_three_figures(millilitres))


def percent(value: float) -> str:
    """70 percent."""
    return words.say("forms.percent", value=f"{value:g}")


def _three_figures(value: float) -> str:
    """As exact as a measuring glass: 0.972, 28.6, 714, 1071."""
    return f"{value:.0f}" if value >= 100 else f"{value:.3g}"


def degree_days(of_celsius: float) -> str:
    """485 degree-days of degC, or 873 of degF; the figure alone."""
    return number(of_celsius * FAHRENHEIT_STEPS if display().fahrenheit else of_celsius)

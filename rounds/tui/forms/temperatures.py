"""Enter the temperatures of a day at a place by keys."""

from rounds import words
from rounds.core.collection import WeatherDay
from rounds.service.collection.plants import put_weather
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.logbook.named import find_place
from rounds.service.plant.origins import heat_at
from rounds.tui.forms.fields import Again, Field, Form, Values
from rounds.tui.forms.values import (
    YESTERDAY,
    celsius_of,
    choice_field,
    day_field,
    day_of,
    needed,
    place_choices,
)
from rounds.tui.forms.wording import (
    done,
    fault,
    heading_day,
    hint_for,
    joined,
    label,
    part,
    said_day,
)
from rounds.tui.screens.form import FormScreen
from rounds.words.forms import temperature


def temperatures_form(logbook: Logbook) -> FormScreen:
    """The screen that enters a day's least and greatest temperature at a place."""
    return FormScreen(_form(logbook, {}))


def _form(logbook: Logbook, kept: Values) -> Form:
    choices = place_choices(logbook)
    return Form(
        title=words.say("desk_forms.title.temperatures"),
        plant=None,
        fields=(
            choice_field("place", kept.get("place", choices[0].code), choices, "place"),
            day_field(logbook, "day", kept.get("day", YESTERDAY)),
            _degrees_field(logbook, "least"),
            _degrees_field(logbook, "greatest"),
        ),
        write=lambda values: _write(logbook, values),
        sentence=lambda values: _sentence(logbook, values),
        day=heading_day(logbook),
        lead=words.say("desk_forms.lead.temperatures"),
        again=Again(
            words.say("desk_forms.another-day"),
            lambda values: _form(logbook, {"place": values["place"]}),
        ),
    )


def _degrees_field(logbook: Logbook, code: str) -> Field:
    def check(given: str) -> str:
        celsius_of(given, code)
        return given

    usual = temperature(logbook.parameters.usual_c)
    hint = hint_for(code, usual=usual)
    return Field(code, label(code), hint=hint, check=check, may_be_empty=False)


def _range_c(values: Values) -> tuple[float, float]:
    """Least and greatest, degC. FieldFault where one is missing or they lie the wrong way."""
    needed(values, "least", "greatest")
    least, greatest = (celsius_of(values[code], code) for code in ("least", "greatest"))
    if greatest < least:
        said = {"greatest": temperature(greatest), "least": temperature(least)}
        raise fault("below-least", "greatest", **said)
    return least, greatest


def _entered_before(logbook: Logbook, values: Values) -> WeatherDay | None:
    place = find_place(logbook, values["place"])
    day = day_of(logbook, values["day"], "day")
    return logbook.collection().weather.get(place.id, {}).get(day)


def _sentence(logbook: Logbook, values: Values) -> str:
    least, greatest = _range_c(values)
    before = _entered_before(logbook, values)
    instead = ""
    if before is not None:
        instead = part(
            "temperatures-before",
            least=temperature(before.min_c),
            greatest=temperature(before.max_c),
        )
    hot = heat_at(logbook, greatest, day_of(logbook, values["day"], "day"))
    return joined([_said(logbook, values, least, greatest), instead, hot])


def _said(logbook: Logbook, values: Values, least: float, greatest: float) -> str:
    day = said_day(logbook, day_of(logbook, values["day"], "day"))
    degrees = {"least": temperature(least), "greatest": temperature(greatest)}
    return part("temperatures", place=values["place"], day=day, **degrees)


def _write(logbook: Logbook, values: Values) -> str:
    least, greatest = _range_c(values)
    put_weather(
        logbook,
        now(logbook.clock),
        values["place"],
        day_of(logbook, values["day"], "day"),
        least,
        greatest,
        change=_entered_before(logbook, values) is not None,
    )
    return done("temperatures", what=_said(logbook, values, least, greatest))

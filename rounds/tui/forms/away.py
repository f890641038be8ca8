"""Enter days on which nobody looks."""

from rounds import words
from rounds.core.away import Stretch
from rounds.service.collection.away_entry import check_away, enter_away
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plant.reasons import stretch_text
from rounds.tui.forms.fields import Field, Form, Values
from rounds.tui.forms.values import any_day_of, shown_day
from rounds.tui.forms.wording import fault, heading_day
from rounds.tui.screens.form import FormScreen
from rounds.words.forms import days_text


def away_form(logbook: Logbook, who: str | None = None) -> FormScreen:
    """The screen that enters days away: the first, then the last."""
    return FormScreen(
        Form(
            title=words.say("away.form.title"),
            plant=None,
            fields=(_day_field(logbook, "from"), _day_field(logbook, "to")),
            write=lambda values: _write(logbook, values, who),
            sentence=lambda values: _sentence(logbook, values),
            day=heading_day(logbook),
            lead=words.say("away.form.lead"),
        )
    )


def _day_field(logbook: Logbook, code: str) -> Field:
    def check(given: str) -> str:
        return shown_day(logbook, given, any_day_of(logbook, given, code))

    hint = words.say(f"away.form.hint-{code}", day=heading_day(logbook))
    label = words.say(f"away.form.{code}")
    return Field(code, label, hint=hint, check=check, may_be_empty=False)


def _days(logbook: Logbook, values: Values) -> Stretch:
    for code in ("from", "to"):
        if not values[code]:
            raise fault("needed", code, label=words.say(f"away.form.{code}"))
    first, last = (any_day_of(logbook, values[code], code) for code in ("from", "to"))
    return Stretch(first, last)


def _sentence(logbook: Logbook, values: Values) -> str:
    days = _days(logbook, values)
    check_away(logbook, days.first_day, days.last_day)
    return _what(logbook, days)


def _what(logbook: Logbook, days: Stretch) -> str:
    span = stretch_text(days, logbook.clock.today())
    return words.say("away.form.what", away=span, days=days_text(days.days))


def _write(logbook: Logbook, values: Values, who: str | None) -> str:
    days = _days(logbook, values)
    enter_away(logbook, now(logbook.clock, who), days.first_day, days.last_day)
    return words.say("away.form.kept", what=_what(logbook, days))

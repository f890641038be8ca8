"""Change one value the sums run on, by keys."""

from rounds import words
from rounds.service.courses.cautions import Mind
from rounds.service.entries.value_changes import change_value, check_change
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.logbook.parameter_rows import ValueRow
from rounds.tui.forms.fields import Field, Form, Values
from rounds.tui.forms.values import needed, number_of, text_field
from rounds.tui.forms.wording import heading_day, label
from rounds.tui.pages.values import known_of_value
from rounds.tui.screens.form import FormScreen
from rounds.words.parameters import moves_of_value, name_of_value, written_value


def change_value_form(logbook: Logbook, row: ValueRow, who: str | None) -> FormScreen:
    """The screen that changes a value that may be changed; `who` does."""
    name = name_of_value(row.code)

    def check(given: str) -> str:
        check_change(logbook, now(logbook.clock, who), row.code, number_of(given, "new_value"))
        return given

    def sentence(values: Values) -> str:
        needed(values, "new_value", "why")
        check(values["new_value"])
        return words.say(
            "parameters.said.writes",
            name=name,
            value=values["new_value"],
            before=written_value(row.value),
            why=values["why"],
        )

    def write(values: Values) -> str:
        value = number_of(values["new_value"], "new_value")
        change_value(logbook, now(logbook.clock, who), row.code, value, values["why"])
        return words.say("parameters.said.changed", name=name, value=written_value(value))

    hint = words.say(
        "parameters.said.range", low=written_value(row.low or 0), high=written_value(row.high or 0)
    )
    known = known_of_value(row, logbook.clock.today())
    return FormScreen(
        Form(
            title=words.say("parameters.form"),
            plant=None,
            fields=(
                Field(
                    "new_value",
                    label("new_value"),
                    hint=hint,
                    check=check,
                    may_be_empty=False,
                ),
                text_field("why"),
            ),
            write=write,
            sentence=sentence,
            day=heading_day(logbook),
            lead=f"{name}. {moves_of_value(row.code)}",
            cautions=(Mind(known, known),),
        )
    )

"""Say by keys that a plant is gone for good."""

from rounds import words
from rounds.service.collection.plants import check_here, plant_gone
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord
from rounds.tui.forms.fields import Form, Values
from rounds.tui.forms.values import (
    choice_field,
    choices_of,
    day_field,
    day_of,
    moment_of,
    needed,
    text_field,
)
from rounds.tui.forms.wording import (
    done,
    header_of,
    heading_day,
    joined,
    part,
    record_today,
    said_day,
)
from rounds.tui.screens.form import FormScreen


def gone_form(logbook: Logbook, code: str) -> FormScreen:
    """The screen that says that a plant is gone for good."""
    record = record_today(logbook, code)
    ways = choices_of("ways-to-go")
    return FormScreen(
        Form(
            title=words.say("desk_forms.title.gone"),
            plant=header_of(record),
            fields=(
                choice_field("how", "", ways, "how"),
                day_field(logbook, "day"),
                text_field("note"),
            ),
            write=lambda values: _go(logbook, record, values),
            sentence=lambda values: _gone_sentence(logbook, record, values),
            day=heading_day(logbook),
            lead=words.say("desk_forms.lead.gone"),
        )
    )


def _gone_sentence(logbook: Logbook, record: PlantRecord, values: Values) -> str:
    needed(values, "how")
    day = day_of(logbook, values["day"], "day")
    check_here(record.plant, day)
    gone = part(
        "gone",
        code=record.plant.code,
        name=record.name(),
        how=_way(values),
        day=said_day(logbook, day),
    )
    return joined([gone, part("note", note=values["note"]) if values["note"] else ""])


def _way(values: Values) -> str:
    return words.section("desk_forms.ways-to-go")[values["how"]]


def _go(logbook: Logbook, record: PlantRecord, values: Values) -> str:
    day = day_of(logbook, values["day"], "day")
    code = record.plant.code
    plant_gone(logbook, moment_of(logbook, day), code, values["how"], values["note"] or None)
    day_said = said_day(logbook, day)
    return done("gone", code=code, how=_way(values), day=day_said)

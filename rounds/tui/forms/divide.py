"""Divide a plant by keys."""

from rounds import words
from rounds.service.collection.division import (
    FEWEST,
    MOST,
    DivisionEntered,
    DivisionPlanned,
    codes_offered,
    divide,
    plan_division,
)
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord
from rounds.tui.forms.fields import Field, Form, Values
from rounds.tui.forms.new_plant import said_where
from rounds.tui.forms.values import (
    choice_field,
    day_field,
    day_of,
    moment_of,
    place_choices,
    text_field,
)
from rounds.tui.forms.wording import (
    done,
    fault,
    header_of,
    heading_day,
    hint_for,
    joined,
    label,
    listed,
    part,
    record_today,
    said_day,
)
from rounds.tui.screens.form import FormScreen

BETWEEN_NAMES = ","


def divide_form(logbook: Logbook, code: str) -> FormScreen:
    """The screen that makes several plants of one."""
    record = record_today(logbook, code)
    return FormScreen(
        Form(
            title=words.say("desk_forms.title.divide"),
            plant=header_of(record),
            fields=_fields(logbook, record),
            write=lambda values: _write(record, values),
            sentence=lambda values: _sentence(record, values),
            day=heading_day(logbook),
            lead=words.say("desk_forms.lead.divide"),
        )
    )


def _fields(logbook: Logbook, record: PlantRecord) -> tuple[Field, ...]:
    def check(given: str) -> str:
        if not (given.isascii() and given.isdigit() and FEWEST <= int(given) <= MOST):
            raise fault("no-parts", "into", given=given, least=FEWEST, most=MOST)
        return given

    offered = codes_offered(logbook, record.plant, 1)[0]
    into = Field("into", label("into"), str(FEWEST), hint=hint_for("into"), check=check,
                 may_be_empty=False)  # fmt: skip
    return (
        into,
        Field("codes", label("codes"), hint=hint_for("codes", code=offered)),
        Field("names", label("names"), hint=hint_for("names", name=record.name())),
        choice_field("place", record.place_name() or "", place_choices(logbook), "parts-place"),
        text_field("spot"),
        day_field(logbook, "day"),
    )


def _entered(values: Values) -> DivisionEntered:
    names = values["names"].split(BETWEEN_NAMES) if values["names"] else []
    return DivisionEntered(
        into=int(values["into"]),
        codes=tuple(values["codes"].split()),
        names=tuple(name.strip() for name in names),
        place=values["place"] or None,
        spot=values["spot"] or None,
    )


def _sentence(record: PlantRecord, values: Values) -> str:
    logbook = record.logbook
    day = day_of(logbook, values["day"], "day")
    moment = moment_of(logbook, day)
    planned = plan_division(logbook, moment, record.plant.code, _entered(values))
    whole = {"code": record.plant.code, "name": record.name(), "into": planned.into}
    return joined(
        [
            part("divided", **whole, day=said_day(logbook, day)),
            part("parts", parts=_parts(planned)),
            said_where(planned.place.name, planned.spot),
        ]
    )


def _parts(planned: DivisionPlanned) -> str:
    return listed([part("plant", code=new.code, name=new.name) for new in planned.parts])


def _write(record: PlantRecord, values: Values) -> str:
    logbook, code = record.logbook, record.plant.code
    day = day_of(logbook, values["day"], "day")
    written = divide(logbook, moment_of(logbook, day), code, _entered(values))
    codes = listed([new.code for new in written.parts])
    return done("divided", code=code, codes=codes, day=said_day(logbook, day))

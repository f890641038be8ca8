"""Say something new of a plant by keys: only what was changed is written, from a day on."""

from dataclasses import replace
from datetime import date

from rounds import words
from rounds.core.collection import START
from rounds.core.lineage import origin_of
from rounds.errors import BadInput
from rounds.service.collection.plants import DISLIKES, PlantDetails, add_plant
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord
from rounds.tui.forms.fields import Field, Form, Values
from rounds.tui.forms.new_plant import form_field, size_field
from rounds.tui.forms.values import (
    NO,
    YES,
    choice_field,
    choices_of,
    day_field,
    day_of,
    moment_of,
    number_of,
    pests_field,
    pests_of,
    text_field,
    touched_codes,
    touches_field,
    yes_no_field,
)
from rounds.tui.forms.wording import (
    fault,
    header_of,
    heading_day,
    hint_for,
    joined,
    label,
    part,
    record_today,
    said_day,
)
from rounds.tui.screens.form import FormScreen

FACT_OF = {"touches": "touching", "insects_seen": START}
"""The name under which a field is kept, where it is another."""

NOTHING = "none"
"""The choice of a plant that dislikes nothing."""


def edit_form(logbook: Logbook, code: str) -> FormScreen:
    """The screen that edits what is known of a plant."""
    record = record_today(logbook, code)
    fields = _fields(record)
    return FormScreen(
        Form(
            title=words.say("desk_forms.title.edit"),
            plant=header_of(record),
            fields=fields,
            write=lambda values: _write(record, fields, values),
            sentence=lambda values: _sentence(record, fields, values),
            day=heading_day(logbook),
            lead=words.say("desk_forms.lead.edit"),
        )
    )


def _fields(record: PlantRecord) -> tuple[Field, ...]:
    logbook, plant = record.logbook, record.plant

    def said(what: str) -> str:
        return plant.fact(what, record.on) or ""

    name = text_field("name", record.name(), "plant-name")
    return (
        replace(name, may_be_empty=False),
        text_field("botanical_name", said("botanical_name")),
        form_field(record.body.form),
        size_field(record.body.size),
        _value_field(said("value")),
        yes_no_field("clear_pot", said("clear_pot") or NO),
        *_start_field(record),
        touches_field(logbook, touched_codes(logbook, plant, record.on)),
        choice_field("dislikes", _dislikes(said("dislikes")), choices_of("dislikes"), "dislikes"),
        text_field("note", said("note")),
        pests_field(logbook, _pests_said(record)),
        day_field(logbook, "from"),
    )


def _pests_said(record: PlantRecord) -> tuple[str, ...]:
    """Those it is said to be followed for; what was found besides is followed all the same."""
    usual = record.table.default_pest
    return tuple(record.lived.pests_followed(record.on, usual))


def _start_field(record: PlantRecord) -> tuple[Field, ...]:
    """What was seen on it when it came; of a part that is said of the plant divided."""
    if origin_of(record.plant) is not None:
        return ()
    return (yes_no_field("insects_seen", YES if record.insects_seen_on else NO),)


def _dislikes(said: str) -> str:
    return " ".join(what for what in DISLIKES if what in said.split()) or NOTHING


def _value_field(said: str) -> Field:
    def check(given: str) -> str:
        value = number_of(given, "value")
        if value <= 0:
            raise BadInput("value-not-positive", given=value, field="value")
        return f"{value:g}"

    value = f"{float(said or 1):g}"
    return Field(
        "value", label("value"), value, hint=hint_for("value"), check=check, may_be_empty=False
    )


def _changed(fields: tuple[Field, ...], values: Values) -> list[Field]:
    """The fields that hold something else than at first."""
    return [field for field in fields if field.code != "from" and not _is_same(field, values)]


def _is_same(field: Field, values: Values) -> bool:
    if field.code == "touches":
        return set(values["touches"].split()) == set(field.value.split())
    return values[field.code] == field.value


def _check_day(record: PlantRecord, changed: list[Field], values: Values) -> date:
    """The day a change holds from. BadInput before the plant came, FieldFault if changed later."""
    logbook, plant = record.logbook, record.plant
    day = day_of(logbook, values["from"], "from")
    if day < plant.first_day:
        raise BadInput(
            "plant-not-yet", field="day", code=plant.code, day=day, first=plant.first_day
        )
    for field in changed:
        what = FACT_OF.get(field.code, field.code)
        newest = max((f.from_day for f in plant.facts if f.what == what), default=day)
        if newest > day:
            said = {"label": field.label, "day": said_day(logbook, newest)}
            raise fault("changed-later", "from", **said)
    return day


def _sentence(record: PlantRecord, fields: tuple[Field, ...], values: Values) -> str:
    changed = _changed(fields, values)
    if not changed:
        raise fault("unchanged")
    day = _check_day(record, changed, values)
    return joined(
        [
            part("plant", code=record.plant.code, name=record.name()),
            part("dated", day=said_day(record.logbook, day)),
            *(_change(field, values) for field in changed),
        ]
    )


def _change(field: Field, values: Values) -> str:
    new, old = field.shown(values[field.code]), field.shown(field.value)
    nothing = part("nothing")
    return part("changed", label=field.label, new=new or nothing, old=old or nothing)


def _write(record: PlantRecord, fields: tuple[Field, ...], values: Values) -> str:
    logbook, code = record.logbook, record.plant.code
    changed = _changed(fields, values)
    day = _check_day(record, changed, values)
    said = {field.code: values[field.code] for field in changed}
    add_plant(logbook, moment_of(logbook, day), code, _details(logbook, said), change=True)
    what = joined([*(_change(field, values) for field in changed)])
    return words.say("desk_forms.said.edited", code=code, what=what)


def _details(logbook: Logbook, said: Values) -> PlantDetails:
    """What was changed, as the service takes it; None says nothing."""
    dislikes = said.get("dislikes")
    touches = said.get("touches")
    value, clear, seen = (said.get(what) for what in ("value", "clear_pot", "insects_seen"))
    return PlantDetails(
        name=said.get("name"),
        botanical_name=said.get("botanical_name"),
        form=said.get("form"),
        size=said.get("size"),
        value=None if value is None else float(value),
        clear_pot=None if clear is None else clear == YES,
        insects_seen=None if seen is None else seen == YES,
        note=said.get("note"),
        dislikes=None if dislikes is None else _several(dislikes),
        touches=None if touches is None else tuple(touches.split()),
        pests=pests_of(logbook, said["pests"]) if "pests" in said else None,
    )


def _several(dislikes: str) -> tuple[str, ...]:
    return () if dislikes == NOTHING else tuple(dislikes.split())

"""Put a right count or look in the place of a wrong one, by keys."""

from collections.abc import Callable

from rounds import words
from rounds.errors import BadInput
from rounds.service.entries.corrections import replace_look, replace_tally
from rounds.service.entries.looks import KINDS
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import read_entry_name
from rounds.service.logbook.moment import Moment, now
from rounds.service.plant.events import LookMade, TallyEntered
from rounds.service.plant.history import events_of
from rounds.service.plant.record import PlantRecord
from rounds.tui.forms.fields import Choice, Field, Form, Values
from rounds.tui.forms.look import UNTOLD, kind_name, stage_of, zone_choices, zone_name
from rounds.tui.forms.values import choice_field, choices_of, count_field, seconds_field, seconds_of
from rounds.tui.forms.wording import (
    fault,
    header_of,
    heading_day,
    listed,
    part,
    record_today,
    said_day,
)
from rounds.tui.screens.form import FormScreen
from rounds.words.forms import minutes_seconds


def replace_form(logbook: Logbook, entry_name: str) -> FormScreen:
    """The screen that corrects a count or a look, by its entry's name. BadInput for none."""
    name = read_entry_name(entry_name)
    plant = logbook.collection().plants.get(name.owner_id)
    if plant is None or name.kind not in ("look", "tally"):
        raise _unknown(entry_name)
    record = record_today(logbook, plant.code)
    for look in events_of(record, name.day, name.day).looks:
        if look.name == name:
            return FormScreen(_look_form(record, look))
        for tally in look.tallies:
            if tally.name == name:
                return FormScreen(_tally_form(record, look, tally))
    raise _unknown(entry_name)


def _unknown(given: str) -> BadInput:
    return BadInput("unknown-entry", given=given, field="entry")


def _tally_form(record: PlantRecord, look: LookMade, tally: TallyEntered) -> Form:
    kinds = tuple(Choice(kind, kind_name(kind)) for kind in KINDS)
    fields = (
        choice_field("kind", tally.kind, kinds, "kind"),
        count_field("count", str(tally.count)),
        choice_field("stage", tally.stage or UNTOLD, choices_of("stages"), "stage"),
    )

    def write(moment: Moment, values: Values) -> None:
        replace_tally(
            record.logbook,
            moment,
            tally.id,
            kind=values["kind"],
            count=int(values["count"]),
            stage=stage_of(values),
        )

    return _form(record, look, "tally", fields, _counted, write)


def _look_form(record: PlantRecord, look: LookMade) -> Form:
    fields = (
        choice_field("zone", look.zone, zone_choices(record, look.day), "zone"),
        # shown to a tenth: a finer value is kept unless another is typed
        seconds_field(f"{round(look.seconds, 1):g}"),
    )

    def write(moment: Moment, values: Values) -> None:
        given = values["seconds"]
        seconds = look.seconds if given == fields[1].value else seconds_of(given)
        replace_look(record.logbook, moment, look.id, zone=values["zone"], seconds=seconds)

    return _form(record, look, "correct-look", fields, _looked, write)


def _form(
    record: PlantRecord,
    look: LookMade,
    what: str,
    fields: tuple[Field, ...],
    said: Callable[[Values], str],
    write: Callable[[Moment, Values], None],
) -> Form:
    """A form that says and writes what stands in the place of what."""
    logbook = record.logbook
    before = {field.code: field.value for field in fields}

    def sentence(values: Values) -> str:
        if values == before:
            raise fault("unchanged")
        return part("corrected", new=said(values), old=said(before))

    def write_and_say(values: Values) -> str:
        write(now(logbook.clock), values)
        code = record.plant.code
        return words.say("desk_forms.said.corrected", code=code, new=said(values), old=said(before))

    return Form(
        title=words.say(f"desk_forms.title.{what}"),
        plant=header_of(record),
        fields=fields,
        write=write_and_say,
        sentence=sentence,
        day=heading_day(logbook),
        lead=words.say(f"desk_forms.lead.{what}", day=said_day(logbook, look.day)),
    )


def _counted(values: Values) -> str:
    """A count in words: 2 off, adult."""
    stage = stage_of(values)
    return listed(
        [
            part("counted", count=values["count"], kind=kind_name(values["kind"])),
            words.say(f"desk_forms.stages.{stage}") if stage else "",
        ]
    )


def _looked(values: Values) -> str:
    """A look in words: axils, 0:25."""
    return listed([zone_name(values["zone"]), minutes_seconds(seconds_of(values["seconds"]))])

"""Say by keys that a plant was repotted, that its roots were seen, or both."""

from rounds import words
from rounds.service.collection.repot import RootsSeen, check_repotting, repot
from rounds.service.entries.looks import KINDS
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord
from rounds.tui.forms.fields import Field, Form, Values
from rounds.tui.forms.look import UNTOLD, kind_name, stage_of
from rounds.tui.forms.values import (
    NO,
    YES,
    choice_field,
    choices_of,
    count_field,
    day_field,
    day_of,
    moment_of,
    needed,
    seconds_field,
    seconds_of,
    text_field,
    yes_no_field,
)
from rounds.tui.forms.wording import (
    fault,
    header_of,
    heading_day,
    joined,
    listed,
    part,
    record_today,
    said_day,
)
from rounds.tui.screens.form import FormScreen
from rounds.words.forms import minutes_seconds


def repot_form(logbook: Logbook, code: str, who: str | None = None) -> FormScreen:
    """The screen that says that a plant was repotted, or only taken out of its pot to be seen."""
    record = record_today(logbook, code)
    return FormScreen(
        Form(
            title=words.say("desk_forms.title.repot"),
            plant=header_of(record),
            fields=_fields(record),
            write=lambda values: _write(record, values, who),
            sentence=lambda values: _sentence(record, values),
            day=heading_day(logbook),
            lead=words.say("desk_forms.lead.repot"),
        )
    )


def _fields(record: PlantRecord) -> tuple[Field, ...]:
    """In quarantine roots are asked for, and seldom a new pot."""
    for_roots = record.standing == "quarantine"
    return (
        day_field(record.logbook, "day"),
        yes_no_field("repotted", NO if for_roots else YES),
        yes_no_field("roots_seen", YES if for_roots else NO),
        seconds_field(),
        *(count_field(kind) for kind in KINDS),
        choice_field("stage", UNTOLD, choices_of("stages"), "stage"),
        text_field("note"),
    )


def _roots(values: Values) -> RootsSeen | None:
    """What was seen of the roots. FieldFault for figures where they were not seen."""
    counts = {kind: int(values[kind]) for kind in KINDS}
    if values["roots_seen"] == NO:
        told = values["seconds"] or any(counts.values()) or values["note"]
        if told:
            raise fault("roots-not-seen", "roots_seen")
        return None
    needed(values, "seconds")
    return RootsSeen(
        seconds_of(values["seconds"]), counts, stage_of(values), values["note"] or None
    )


def _sentence(record: PlantRecord, values: Values) -> str:
    logbook = record.logbook
    day = day_of(logbook, values["day"], "day")
    is_repotted = values["repotted"] == YES
    roots = _roots(values)
    moment = moment_of(logbook, day)
    check_repotting(logbook, moment, record.plant.code, repotted=is_repotted, roots=roots)
    return joined([_what(record, values), part("no-clock") if is_repotted else ""])


def _what(record: PlantRecord, values: Values) -> str:
    day = said_day(record.logbook, day_of(record.logbook, values["day"], "day"))
    roots = _roots(values)
    return joined(
        [
            part("plant-on", code=record.plant.code, name=record.name(), day=day),
            part("repotted") if values["repotted"] == YES else "",
            _roots_text(roots) if roots else "",
        ]
    )


def _roots_text(roots: RootsSeen) -> str:
    """A look at the roots in words: roots out of the pot, 1:00, 2 off, adult."""
    counted = [
        part("counted", count=count, kind=kind_name(kind))
        for kind, count in roots.look.counted.items()
    ]
    stage = words.say(f"desk_forms.stages.{roots.stage}") if roots.stage else ""
    seen = part("roots-seen", seconds=minutes_seconds(roots.seconds))
    note = part("note", note=roots.note) if roots.note else ""
    return listed([seen, *(counted or [part("found-none")]), stage, note])


def _write(record: PlantRecord, values: Values, who: str | None) -> str:
    logbook, code = record.logbook, record.plant.code
    day = day_of(logbook, values["day"], "day")
    written = repot(
        logbook,
        moment_of(logbook, day, who),
        code,
        repotted=values["repotted"] == YES,
        roots=_roots(values),
    )
    is_apart = written.plant.quarantine(logbook.clock.today()) is not None
    alone = written.look is not None and written.look.found and not is_apart
    warned = words.say("desk_forms.said.not-apart", code=code) if alone else ""
    return joined([words.say("desk_forms.said.repotted", what=_what(record, values)), warned])

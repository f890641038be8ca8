"""Enter a look by keys: one that was not part of a round, or one of an earlier day."""

from datetime import date

from rounds import words
from rounds.core.body import ROOTS
from rounds.service.entries.looks import (
    KINDS,
    LookEntered,
    StageCounts,
    check_look,
    enter_look,
)
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import pest_named
from rounds.service.plant.record import PlantRecord
from rounds.tui.forms.fields import Choice, Field, Form, Values
from rounds.tui.forms.sheet_line import read_counts
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
    pest_field,
    seconds_field,
    seconds_of,
    text_field,
    yes_no_field,
)
from rounds.tui.forms.wording import (
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
from rounds.tui.keys import key_of
from rounds.tui.screens.form import FormScreen
from rounds.words.forms import minutes_seconds
from rounds.words.pests import pest_name

WHOLE_PLANT = "whole-plant"
UNTOLD = "untold"


def look_form(
    logbook: Logbook, code: str, zone: str | None = None, who: str | None = None
) -> FormScreen:
    """The screen that enters a look; `zone` is the code of the zone offered, `who` looked."""
    record = record_today(logbook, code)
    return FormScreen(
        Form(
            title=words.say("desk_forms.title.look"),
            plant=header_of(record),
            fields=_fields(record, zone),
            write=lambda values: _write(record, values, who),
            sentence=lambda values: _sentence(record, values),
            day=heading_day(logbook),
            lead=words.say("desk_forms.lead.look"),
        )
    )


def _fields(record: PlantRecord, zone: str | None) -> tuple[Field, ...]:
    return (
        day_field(record.logbook, "day"),
        choice_field("zone", zone or WHOLE_PLANT, _zones(record), "zone"),
        seconds_field(),
        *(count_field(kind) for kind in KINDS),
        choice_field("stage", UNTOLD, choices_of("stages"), "stage"),
        yes_no_field("unpotted", NO),
        text_field("note"),
        _other_stages_field(),
        pest_field(record.logbook, record.pests[0]),
    )


def _other_stages_field() -> Field:
    """Counts of further stages of the same look, in the letters of the round."""

    letters = {kind: key_of(kind) for kind in ("removed", "adult", "young")}

    def check(given: str) -> str:
        if read_counts(given) is None:
            raise fault("no-counts", "other_stages", given=given, **letters)
        return given

    hint = hint_for("other_stages", **letters)
    return Field("other_stages", label("other_stages"), "", hint=hint, check=check)


def _zones(record: PlantRecord) -> tuple[Choice, ...]:
    """The whole plant, then its zones from top to bottom."""
    whole = Choice(WHOLE_PLANT, words.say("desk_forms.zones.whole-plant"))
    return (whole, *zone_choices(record, record.on))


def zone_choices(record: PlantRecord, on: date) -> tuple[Choice, ...]:
    """The zones a plant had on a day, from top to bottom."""
    return tuple(
        Choice(zone.zone, words.say(f"zones.{zone.zone}.name")) for zone in record.body_on(on).zones
    )


def _entered(record: PlantRecord, values: Values) -> LookEntered:
    """The look as the service takes it. FieldFault for what does not go together."""
    needed(values, "seconds")
    zone, is_unpotted = values["zone"], values["unpotted"] == YES
    counts = {kind: int(values[kind]) for kind in KINDS}
    if is_unpotted and zone != ROOTS:
        raise fault("roots-only", "unpotted")
    stage, others = stage_of(values), read_counts(values["other_stages"]) or []
    if (any(counts.values()) or others) and zone == WHOLE_PLANT:
        raise fault("one-zone", "zone")
    entered = LookEntered(
        zones=() if zone == WHOLE_PLANT else (zone,),
        seconds=seconds_of(values["seconds"]),
        counts=counts,
        stage=stage,
        unpotted=is_unpotted,
        note=values["note"] or None,
        pest=pest_named(record.logbook, values["pest"]) if any(counts.values()) or others else None,
    )
    if not others:
        return entered
    if stage is not None and not any(counts.values()):
        raise fault("stage-without-count", "stage")
    told = [(kind, stage, count) for kind, count in counts.items()]
    return entered.with_stages([*told, *((c.kind, c.stage, c.count) for c in others)])


def stage_of(values: Values) -> str | None:
    """The stage as it is kept."""
    return None if values["stage"] == UNTOLD else values["stage"]


def kind_name(kind: str) -> str:
    """Removed, killed, untouched, unsure."""
    return words.say(f"desk_forms.label.{kind}")


def zone_name(zone: str) -> str:
    """A zone, or the whole plant, by its word."""
    if zone == WHOLE_PLANT:
        return words.say("desk_forms.zones.whole-plant")
    return words.say(f"zones.{zone}.name")


def _sentence(record: PlantRecord, values: Values) -> str:
    entered = _entered(record, values)
    day = day_of(record.logbook, values["day"], "day")
    check_look(record.logbook, record.plant, day, entered)
    return _what(record, values, day)


def _what(record: PlantRecord, values: Values, day: date) -> str:
    entered = _entered(record, values)
    counted = [text for of in entered.by_stage for text in _counted(of)]
    return joined(
        [
            part(
                "look",
                code=record.plant.code,
                zone=zone_name(values["zone"]),
                seconds=minutes_seconds(entered.seconds),
                day=said_day(record.logbook, day),
            ),
            listed(counted) or part("found-none"),
            _other_pest(record, entered),
            part("unpotted") if entered.unpotted else "",
            part("note", note=entered.note) if entered.note else "",
        ]
    )


def _other_pest(record: PlantRecord, entered: LookEntered) -> str:
    """Of which pest the counts are, where it is not the plant's first."""
    pest = entered.pest
    return "" if pest is None or pest == record.pests[0] else pest_name(pest)


def _counted(of: StageCounts) -> list[str]:
    """What was counted of one stage, and the stage after it."""
    counted = [
        part("counted", count=count, kind=kind_name(kind))
        for kind, count in of.counts.items()
        if count
    ]
    return [*counted, words.say(f"desk_forms.stages.{of.stage}")] if of.stage else counted


def _write(record: PlantRecord, values: Values, who: str | None) -> str:
    logbook, code = record.logbook, record.plant.code
    day = day_of(logbook, values["day"], "day")
    written, plant = enter_look(
        logbook, moment_of(logbook, day, who), code, _entered(record, values)
    )
    is_apart = plant.quarantine(logbook.clock.today()) is not None
    alone = written.found and not is_apart
    warned = words.say("desk_forms.said.not-apart", code=code) if alone else ""
    return joined([words.say("desk_forms.said.look", what=_what(record, values, day)), warned])

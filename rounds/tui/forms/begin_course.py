"""Begin a course of treatment by keys, at a plant or a whole shelf; with what its label says."""

from datetime import date

from rounds import words
from rounds.core.collection import Place, Plant
from rounds.core.lineage import lived
from rounds.core.log.courses import NO_LABEL, Label
from rounds.service.courses.cautions import Mind, minds, use_warnings
from rounds.service.courses.fitting import egg_days, unusual_text
from rounds.service.courses.schedule import planned_steps
from rounds.service.courses.shelf import Shelf, shelf, shelf_for
from rounds.service.courses.templates import Template, find_template
from rounds.service.courses.text import step_text
from rounds.service.courses.written import Asked, treat
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord
from rounds.tui.forms.fields import Choice, Field, Form, Values
from rounds.tui.forms.values import (
    NO,
    YES,
    choice_field,
    day_field,
    day_of,
    moment_of,
    needed,
    number_of,
    text_field,
    yes_no_field,
)
from rounds.tui.forms.wording import (
    done,
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
from rounds.words.forms import codes_text

ONE, PLACE, BENCH = "one", "place", "bench"
"""For whom: the plant alone, all at its place, all on its bench."""

MOST_CAUTIONS = 4
"""beside the lines of a form; the page of the course has them all"""


def begin_course_form(
    logbook: Logbook, code: str, course: str, who: str | None = None
) -> FormScreen:
    """The screen that begins a course at a plant."""
    record, template = record_today(logbook, code), find_template(logbook, course)
    unusual = unusual_text(template, record.pests, record.table)
    warned = [Mind(unusual, unusual)] if unusual else []
    warned += minds(record.plant, template.steps[0].kind, NO_LABEL, record.on)
    return FormScreen(
        Form(
            title=words.say("desk_forms.title.begin-course"),
            plant=header_of(record),
            fields=_fields(record, template),
            write=lambda values: _write(record, template, values, who),
            sentence=lambda values: _sentence(record, template, values),
            day=heading_day(logbook),
            lead=words.say("desk_forms.lead.begin-course", course=template.name),
            cautions=tuple(warned[:MOST_CAUTIONS]),
        )
    )


def _fields(record: PlantRecord, template: Template) -> tuple[Field, ...]:
    logbook = record.logbook
    of_label = (
        text_field("product"),
        _whole_field("interval_days"),
        _whole_field("most_uses"),
        _number_field("reentry_hours"),
        text_field("gear"),
        _number_field("kills"),
    )
    shelves = _shelves(record)
    where = [choice_field("shelf", ONE, shelves, "shelf")] if len(shelves) > 1 else []
    when = (day_field(logbook, "day"), yes_no_field("step_done", NO))
    return (*where, *when, *(of_label if template.needs_label else ()))


def _shelves(record: PlantRecord) -> tuple[Choice, ...]:
    """The plant alone, and the place and the bench where it has company."""
    found = [Choice(ONE, words.say("desk_forms.shelf.one", code=record.plant.code))]
    told: set[tuple[str, ...]] = {(record.plant.code,)}
    for code in (PLACE, BENCH):
        codes = tuple(plant.code for plant in _standing_at(record, code, record.on))
        if codes and codes not in told:
            told.add(codes)
            found.append(Choice(code, _shelf_text(record, code, len(codes), record.on)))
    return tuple(found)


def _where(record: PlantRecord, on: date) -> Place:
    move = record.plant.move_on(on) or record.plant.moves[0]
    return record.logbook.collection().places[move.place_id]


def _standing_at(record: PlantRecord, code: str, on: date) -> list[Plant]:
    """The plants at the place, or on the bench, of the plant on a day; none without a bench."""
    if code == ONE:
        return [record.plant]
    where = _where(record, on)
    if code == PLACE:
        return shelf(record.logbook, on, where.name, None)
    bench = where.bench(on)
    return shelf(record.logbook, on, None, bench) if bench else []


def _shelf_text(record: PlantRecord, code: str, count: int, on: date) -> str:
    """A place or a bench with how many plants: all 12 at stair foot."""
    where = _where(record, on)
    said = {"count": count, "place": where.name, "bench": where.bench(on)}
    return words.say(f"desk_forms.shelf.{code}", **said)


def _taking_part(
    record: PlantRecord, template: Template, values: Values, on: date
) -> tuple[Shelf, str]:
    """Whom the course is begun for, and that in words. FieldFault where nobody is left."""
    code = values.get("shelf", ONE)
    if code == ONE:
        # of one plant what stands in the way is said by the course itself
        return Shelf((record.plant.code,), (), (), ()), record.plant.code
    found = shelf_for(record.logbook, on, template, _standing_at(record, code, on))
    if not found.taking:
        raise fault("nobody-takes-part", "shelf")
    if len(found.taking) > 1 and not (found.running or found.unfit):
        return found, _shelf_text(record, code, len(found.taking), on)
    return found, codes_text(found.taking)


def _whole_field(code: str) -> Field:
    def check(given: str) -> str:
        if not (given.isascii() and given.isdigit()) or not int(given):
            raise fault("no-count", code, given=given)
        return given

    return Field(code, label(code), hint=hint_for(code), check=check, may_be_empty=False)


def _number_field(code: str) -> Field:
    def check(given: str) -> str:
        number_of(given, code)
        return given

    return Field(code, label(code), hint=hint_for(code), check=check)


def _label(template: Template, values: Values) -> Label:
    if not template.needs_label:
        return NO_LABEL
    needed(values, "product", "interval_days", "most_uses")
    hours, kills = values["reentry_hours"], values["kills"]
    return Label(
        product=values["product"],
        interval_days=int(values["interval_days"]),
        most_uses=int(values["most_uses"]),
        reentry_hours=number_of(hours, "reentry_hours") if hours else None,
        gear=values["gear"] or None,
        kills=number_of(kills, "kills") if kills else None,
    )


def _sentence(record: PlantRecord, template: Template, values: Values) -> str:
    logbook = record.logbook
    day, given = day_of(logbook, values["day"], "day"), _label(template, values)
    taking, where = _taking_part(record, template, values, day)
    eggs = egg_days(logbook, record.plant, record.pests, day, template)
    most = logbook.parameters_on(day).advice.most_times
    steps = planned_steps(template, given, day, eggs, most)
    begun = part(
        "begin-course" if len(steps) > 1 else "begin-course-once",
        course=template.name,
        code=where,
        steps=len(steps),
        first=said_day(logbook, steps[0].due_on),
        last=said_day(logbook, steps[-1].due_on),
    )
    is_done = values["step_done"] == YES
    step = step_text(steps[0].kind, given)
    done_too = [part("first-step-done", step=step)] if is_done else []
    known = lived(record.plant, logbook.collection().plants).courses_on(day)
    warned = [told.text.removesuffix(".") for told in use_warnings(known, given, day)]
    return joined([begun, *done_too, *_left_out(taking), *warned])


def _left_out(shelf: Shelf) -> list[str]:
    """Who dislikes it, and who has no part in it, where there are any."""
    told = (("disliking", shelf.disliking), ("running", shelf.running), ("unfit", shelf.unfit))
    return [part(f"shelf-{code}", codes=codes_text(codes)) for code, codes in told if codes]


def _write(record: PlantRecord, template: Template, values: Values, who: str | None) -> str:
    logbook = record.logbook
    day = day_of(logbook, values["day"], "day")
    taking, where = _taking_part(record, template, values, day)
    is_done = values["step_done"] == YES
    asked = Asked(template.code, _label(template, values), done=is_done)
    treat(logbook, moment_of(logbook, day, who), taking.taking, asked)
    return done("begin-course", course=template.name, code=where)

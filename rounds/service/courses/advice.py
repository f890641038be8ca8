"""What to do next with a plant on which insects were found: each way, why, and what it would bring.

The days are those of the forecast with one thing supposed otherwise, as of what would be sooner.
"""

from collections.abc import Generator, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from rounds import words
from rounds.core.away import first_day_back
from rounds.core.body import MEDIUM, ROOTS
from rounds.core.inference.facts import Treated
from rounds.core.log.courses import NO_LABEL, SPRAYING, PlantCourse
from rounds.core.quarantine.criteria import QuarantineHistory
from rounds.core.quarantine.forecast import Supposed
from rounds.service.courses.cautions import Told, cautions
from rounds.service.courses.fitting import egg_days, is_usual, marked_unusual
from rounds.service.courses.schedule import planned_steps
from rounds.service.courses.standing import courses_of, kills_of
from rounds.service.courses.templates import Template, templates
from rounds.service.growth.behind import days_with_finds, is_found_often
from rounds.service.growth.rising import growth_on
from rounds.service.inference.ahead import supposed_of, supposing
from rounds.service.inference.kept import digest
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import expected_number

LIFTING, ROOT_CLEAN_OUT, SPRAY = "lifting", "root-clean-out", "contact-spray"
RINSING = "rinsing"
OUT_OF_MEDIUM, PRODUCT, PART = "out-of-medium", "labelled-product", "part"
"""Ways to go on: courses by the codes of their templates, and to part with the plant."""

UNDATED = (PRODUCT, PART)
"""Ways of which no day is told: the label of a product sets its uses, and it may be any."""

NEVER = "9999-12-31"
"""stands for the day of a way by which there is none"""

WETTING_WAYS = (RINSING, SPRAY)

BARE = "wet-and-look"
"""The kind of step at which bare roots are seen: one look at them is supposed, on its first day."""

BELOW = (MEDIUM, ROOTS)
"""zones that a look from outside does not reach"""

Raw = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Option:
    """One way to go on."""

    code: str
    text: str
    reason: str
    alternative: str | None
    """what is done instead: the next way in words"""
    cautions: tuple[Told, ...]
    expected_on: date | None
    """the day it may rejoin, if looks go on and stay clean; None where there is none, or none of
    this way"""


@dataclass(frozen=True, slots=True)
class Left:
    """Mean numbers of insects left."""

    all: float
    below: float
    """in the medium and on the roots"""


def options_in_steps(record: PlantRecord) -> Generator[None, None, list[Raw]]:
    """The ways to go on with a plant, best first, as plain data; in steps, with their days."""
    if not is_asked(record):
        return []
    found: list[Raw] = []
    for code in ranked(record, left_of(record)):
        day = None
        if code == LIFTING:
            day = record.forecast.ready_on if record.forecast else None
        elif code not in UNDATED and record.history is not None:
            yield
            history, supposed = with_course(
                record, record.history, templates(record.logbook)[code], supposed_of(record)
            )
            ahead = yield from supposing(record, history, supposed)
            day = ahead.ready_on
        found.append({"code": code, "on": day.isoformat() if day else None})
    return found


def options_key(record: PlantRecord) -> str:
    """Digest of what the ways rest on besides the forecast: the courses there are."""
    known = templates(record.logbook)
    if not record.live_on:
        return ""
    return digest(
        [BARE, record.pests, *((t.code, t.steps, t.forms, t.pests) for t in known.values())]
    )


def read_options(record: PlantRecord, kept: list[Raw]) -> tuple[Option, ...]:
    """The ways in words, from plain data."""
    known = templates(record.logbook)
    codes = [raw["code"] for raw in kept if raw["code"] == PART or raw["code"] in known]
    if not codes:
        return ()
    days = {raw["code"]: raw["on"] for raw in kept}
    codes = _sooner_first(record, codes, days)
    ends_later = is_later(codes[0], days) and _fits(record, LIFTING)
    return tuple(
        _option(
            record, code, days[code], after, known.get(code),
            ends_later=ends_later and code == codes[0],
        )
        for code, after in zip(codes, [*codes[1:], None], strict=True)
    )  # fmt: skip


def _sooner_first(
    record: PlantRecord, codes: list[str], days: Mapping[str, str | None]
) -> list[str]:
    """The same with lifting before a course by which the plant would rejoin later.

    But where finds rise, as its day supposes that looks stay clean, and where the roots ask for it.
    """
    first = codes[0]
    if not is_later(first, days) or comes_first_anyhow(record, first, left_of(record)):
        return codes
    return [LIFTING, *(code for code in codes if code != LIFTING)]


def is_later(code: str, days: Mapping[str, str | None]) -> bool:
    """Whether with a course the plant rejoins later than by lifting alone, or not at all."""
    lifting = days.get(LIFTING)
    if lifting is None or code in (LIFTING, *UNDATED):
        return False
    # days of one form: their order is that of their letters
    return (days[code] or NEVER) > lifting


def comes_first_anyhow(record: PlantRecord, course: str, left: Left) -> bool:
    """Whether a course comes before lifting though the plant rejoins later with it.

    Finds rise, so that looks do not stay clean; or its roots ask for it; or nobody would lift.
    """
    is_of_roots = course == ROOT_CLEAN_OUT and _is_below(record, left)
    return is_of_roots or _rises(record) or not _fits(record, LIFTING)


def _option(
    record: PlantRecord,
    code: str,
    day: str | None,
    after: str | None,
    template: Template | None,
    *,
    ends_later: bool,
) -> Option:
    kind = template.steps[0].kind if template else None
    minds = cautions(record.plant, kind, NO_LABEL, record.on) if kind else ()
    return Option(
        code=code,
        text=_text(record, code),
        reason=_reason(record, code, ends_later=ends_later),
        alternative=None if after is None else _text(record, after),
        cautions=minds,
        expected_on=date.fromisoformat(day) if day else None,
    )


def _text(record: PlantRecord, code: str) -> str:
    """A way in words; what wets a plant that dislikes it, and what is not usual, never without."""
    text = words.say(f"courses.next.{code}")
    if not _fits(record, code):
        text = marked_unusual(text, record.pests)
    if code in WETTING_WAYS and _dislikes_wet(record):
        return words.say("courses.next.wet-leaves", text=text)
    return text


def _reason(record: PlantRecord, code: str, *, ends_later: bool) -> str:
    """Why it is a way; of a course by which the plant rejoins later than by lifting, that too."""
    left = expected_number(record.likely.left.mean)
    of = record.table.advice.often_of
    which = _why(record, code)
    why = words.say(f"courses.why.{which}", days=days_with_finds(record), of=of, left=left)
    return words.say("courses.why.later", why=why) if ends_later else why


def _why(record: PlantRecord, code: str) -> str:
    """Which reason is told: what was done in vain, or that finds rise, before the usual one."""
    if code == PART and has_all_failed(record):
        return "part-failed"
    return "spray-rising" if code == SPRAY and _rises(record) else code


def _is_found_below(record: PlantRecord) -> bool:
    """Whether anything was found in the medium or on the roots lately, after the last clean-out."""
    first = record.on - timedelta(days=record.table.advice.often_of - 1)
    done = (
        step.done_on + timedelta(days=1)
        for course in courses_of(record)
        for step in course.done
        if step.done_on is not None and step.planned.kind == ROOT_CLEAN_OUT
    )
    # finds of its day are what it washed out
    first = max([first, *done])
    zones = {look.zone for look in record.looks_from(first) if look.live(record.pest)}
    return bool(zones & set(BELOW))


def is_asked(record: PlantRecord) -> bool:
    """Whether it is said what to do next: it is here, and was found on lately."""
    found = record.last_find_on
    is_lately = found is not None and (record.on - found).days <= record.table.advice.found_days
    return is_lately and record.standing != "gone"


def ranked(record: PlantRecord, left: Left) -> list[str]:
    """The ways there are for a plant, best first."""
    ways = list(_ways(record))
    first = _first(record, left)
    if first in ways:
        ways.remove(first)
        ways.insert(0, first)
    for way in WETTING_WAYS:
        if way in ways and _dislikes_wet(record):
            ways.remove(way)
            ways.insert(len(ways) - 1, way)
    # to part with it is a way with any pest, and the last one
    return sorted(ways, key=lambda way: (way == PART != first, not _fits(record, way)))


def _fits(record: PlantRecord, way: str) -> bool:
    """Whether a way is usual against any pest of a plant."""
    known = templates(record.logbook).get(way)
    return known is None or is_usual(known, record.pests, record.table)


def _ways(record: PlantRecord) -> Iterator[str]:
    """What is not under way yet, in the usual order."""
    running = {course.course.begun.course for course in record.courses}
    known = templates(record.logbook)
    is_wetted = any(SPRAYING & {s.planned.kind for s in c.course.steps} for c in record.courses)
    yield LIFTING
    rinsing = known.get(RINSING)
    if rinsing and RINSING not in running and is_usual(rinsing, record.pests, record.table):
        yield RINSING
    if SPRAY in known and not is_wetted:
        yield SPRAY
    if ROOT_CLEAN_OUT in known and ROOT_CLEAN_OUT not in running:
        yield ROOT_CLEAN_OUT
    bare = known.get(OUT_OF_MEDIUM)
    if bare and OUT_OF_MEDIUM not in running and record.body.form in (bare.forms or ()):
        yield OUT_OF_MEDIUM
    if PRODUCT in known and PRODUCT not in running and has_all_failed(record):
        yield PRODUCT
    yield PART


def left_of(record: PlantRecord) -> Left:
    """How many are left, by sums that are kept before all else."""
    likely = record.likely
    below = sum(float(likely.mean @ likely.process.of_zone(zone)) for zone in BELOW)
    return Left(float(likely.mean.sum()), below)


def _first(record: PlantRecord, left: Left) -> str:
    worth = float(record.plant.fact("value", record.on) or 1.0)
    rules = record.table.advice
    failed = failed_courses(record)
    if has_all_failed(record):
        # one that is dear is not parted with first
        return PART if worth <= 1 or PRODUCT not in templates(record.logbook) else PRODUCT
    if left.all >= rules.part_from and worth <= 1:
        return PART
    is_below = _is_below(record, left)
    is_often = _rises(record) or is_found_often(record)
    # what was done in vain is not begun again while there is another way
    if is_below or (is_often and SPRAY in failed):
        return ROOT_CLEAN_OUT if ROOT_CLEAN_OUT not in failed else SPRAY
    return SPRAY if is_often else LIFTING


def _is_below(record: PlantRecord, left: Left) -> bool:
    """Whether insects were found in the pot lately, or most of those left are there by the sums."""
    share = record.table.advice.below
    return _is_found_below(record) or bool(left.all and left.below >= share * left.all)


def failed_courses(record: PlantRecord) -> frozenset[str]:
    """The courses that were done since the first find and left finds as they were."""
    released = record.lived.released_on(record.on) or date.min
    first = next((day for day in record.live_on if day >= released), None)
    if first is None:
        return frozenset()
    return frozenset(
        course.begun.course
        for course in courses_of(record)
        if course.begun.began_on >= first and _is_in_vain(record, course)
    )


def has_all_failed(record: PlantRecord) -> bool:
    """Whether a spray and a clean-out were both done, and insects are found all the same."""
    return {SPRAY, ROOT_CLEAN_OUT} <= failed_courses(record)


def _is_in_vain(record: PlantRecord, course: PlantCourse) -> bool:
    """Done to its end; found on as often after it as before, or still once it has had its time."""
    if course.is_running or course.stopped_on is not None or course.last_done_on is None:
        return False
    rules, ended = record.table.advice, course.last_done_on
    span = timedelta(rules.works_days)
    began = min(step.done_on for step in course.done if step.done_on is not None)
    before = sum(began - span <= day < began for day in record.live_on)
    soon = sum(ended < day <= ended + span for day in record.live_on)
    is_later = any(day > ended + span for day in record.live_on)
    return is_later or soon >= max(before, rules.often_days)


def _rises(record: PlantRecord) -> bool:
    """Whether today's alarm says that finds rise beyond chance."""
    growth = growth_on(record)
    return growth is not None and growth.alarm_on is not None


def _dislikes_wet(record: PlantRecord) -> bool:
    return "wet-leaves" in (record.plant.fact("dislikes", record.on) or "").split()


def with_course(
    record: PlantRecord, history: QuarantineHistory, template: Template, supposed: Supposed
) -> tuple[QuarantineHistory, Supposed]:
    """The history and what is supposed, if a course is begun on the first day it can be too."""
    soon = first_day_back(record.on + timedelta(days=1), record.away)
    hatch = egg_days(record.logbook, record.plant, record.pests, record.on, template)
    steps = planned_steps(template, NO_LABEL, soon, hatch, record.table.advice.most_times)
    used = [
        (step.due_on, kills_of(step.kind, NO_LABEL, record.table, record.pest)) for step in steps
    ]
    more = [Treated(day, kills) for day, kills in used if kills is not None]
    treated = sorted([*supposed.treated, *more], key=lambda used: used.day)
    ends = (*history.courses_end, steps[-1].due_on)
    running = (history.courses_running or 0) + 1
    bare = next((step.due_on for step in steps if step.kind == BARE), None)
    return (
        replace(history, courses_end=ends, courses_running=running),
        replace(supposed, treated=tuple(treated), roots_on=bare),
    )

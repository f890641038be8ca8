"""The day a plant may rejoin as it goes, and as it would be were something otherwise."""

from collections.abc import Generator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from rounds import words
from rounds.core.away import first_day_back
from rounds.core.log.courses import NO_LABEL
from rounds.core.quarantine.criteria import (
    COURSES,
    DAYS_APART,
    DEGREE_DAYS,
    QuarantineHistory,
    root_looks_wanted,
    roots_count_from,
)
from rounds.core.quarantine.forecast import Forecast, Supposed
from rounds.core.quarantine.interval import usual_interval
from rounds.errors import BadInput, Refused
from rounds.service.courses.advice import with_course
from rounds.service.courses.cautions import cautions
from rounds.service.courses.fitting import is_usual, usual_first
from rounds.service.courses.templates import Template, find_template, templates
from rounds.service.inference.ahead import supposed_of, supposing
from rounds.service.inference.day import CollectionDay
from rounds.service.inference.why import coming_now, sending
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import codes_text

WEEK = 7.0
NONE_COMES, ALL_STAY = "none", "all"
"""What neighbours do: nothing comes over, as every forecast supposes; or all stay where they are.
Else the code of the one it is moved away from, while the others stay."""

RANGES = {"looks_a_week": (0.1, WEEK), "seconds": (1.0, 7200.0), "celsius": (0.0, 45.0)}
"""What may be supposed."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What is otherwise from tomorrow on; None or False stands for as now."""

    looks_a_week: float | None = None
    """complete ones, seven at most"""
    seconds: float | None = None
    """of a complete look, shared over the zones as usual"""
    celsius: float | None = None
    """mean temperature"""
    course: str | None = None
    """by the code of its template, begun tomorrow"""
    roots: bool = False
    """looked at out of the pot tomorrow"""
    neighbours: str = NONE_COMES


AS_IT_GOES = WhatIf()

WITHOUT_LOOKS = (DAYS_APART, DEGREE_DAYS, COURSES)
"""criteria that are met whatever looks there are"""


@dataclass(frozen=True, slots=True)
class Usual:
    """What may be otherwise, as it goes now."""

    looks_a_week: float
    seconds: float
    """of a complete look, roots apart"""
    least_seconds: float
    """below which a look would not be complete"""
    celsius: float
    courses: tuple[tuple[str, str], ...]
    """codes and names of those its growth form stands"""
    neighbours: tuple[str, ...]
    """codes of those from which crawlers are reckoned to come today"""


@dataclass(frozen=True, slots=True)
class CriterionThen:
    """The first day on which a criterion is met; None where there is none."""

    code: str
    is_met: bool
    """today, as it is"""
    as_is: date | None
    would_be: date | None


@dataclass(frozen=True, slots=True)
class Supposition:
    """What comes of it."""

    code: str
    """of the plant"""
    on: date
    pest: str | None
    """the one that holds it longest then, where it is checked for several"""
    what: WhatIf
    usual: Usual
    as_is: date | None
    """the day it may rejoin as it goes; None for no date yet"""
    would_be: date | None
    criteria: tuple[CriterionThen, ...]
    stays_on: date | None
    """the day as it goes, but with crawlers coming over as today; where neighbours are supposed"""
    cautions: tuple[str, ...]
    """of the course supposed, in words"""
    is_complete: bool
    """whether a look as long as supposed is a complete one"""
    above_c: float | None
    """above which nothing is known of the pest, where it is supposed to be warmer"""
    roots_on: date | None = None
    """the day of the look at the roots supposed, where it is too early for that criterion"""
    roots_count_from: date | None = None
    """the first day on which one counts for it, then"""


def checked(what: WhatIf) -> WhatIf:
    """The same. BadInput for numbers that cannot be supposed."""
    for name, (low, high) in RANGES.items():
        given = getattr(what, name)
        if given is not None and not low <= given <= high:
            raise BadInput("what-if-range", field=name, given=given, low=low, high=high)
    return what


@dataclass(frozen=True, slots=True)
class WhatIfAsked:
    """What would come of something, for one plant by its id."""

    plant_id: int
    what: WhatIf

    def in_steps(self, day: CollectionDay) -> Generator[None, None, Supposition]:
        """It, in steps so short that no key waits."""
        return supposition_in_steps(day.record(self.plant_id), self.what)


def supposition_in_steps(record: PlantRecord, what: WhatIf) -> Generator[None, None, Supposition]:
    """What would come of it; nothing is written but derived results that are kept anyway.

    Raises:
        Refused: the plant is not in quarantine.
        BadInput: a number out of range, no such course, or nothing comes from that neighbour.
    """
    checked(what)
    found = yield from _regarding(record, what)
    for other in record.others:
        found = _later(found, (yield from _regarding(other, _of_other(other, what))))
    return found


def _of_other(other: PlantRecord, what: WhatIf) -> WhatIf:
    """The same with regard to another pest, of which that neighbour may have none."""
    known = [other.day.plants[plant_id].code for plant_id in coming_now(other)]
    if what.neighbours in (NONE_COMES, ALL_STAY, *known):
        return what
    return replace(what, neighbours=ALL_STAY)


def _later(one: Supposition, other: Supposition) -> Supposition:
    """What comes of it for both of two pests: the later days, and what holds it then."""
    as_is, stays = _latest(one.as_is, other.as_is), _latest(one.stays_on, other.stays_on)
    held = one if _latest(one.would_be, other.would_be) == one.would_be else other
    if one.what.neighbours == NONE_COMES:
        stays = None
    return replace(held, what=one.what, usual=one.usual, as_is=as_is, stays_on=stays)


def _latest(one: date | None, other: date | None) -> date | None:
    """Of two days the later; none where either has none."""
    return None if one is None or other is None else max(one, other)


def _regarding(record: PlantRecord, what: WhatIf) -> Generator[None, None, Supposition]:
    """What would come of it with regard to the pest of the record."""
    while not record.work_on_forecast():
        yield
    history, as_it_goes = record.history, record.forecast
    if history is None or as_it_goes is None:
        raise Refused("not-in-quarantine", code=record.plant.code, field="code")
    usual = usual_of(record, history)
    supposed = _supposed(record, usual, what)
    stays = None
    if what.neighbours != NONE_COMES:
        yield
        everyone = sending(record, coming_now(record).values())
        stays = yield from supposing(record, history, everyone)
    yield
    is_complete = what.seconds is None or what.seconds >= usual.least_seconds
    then = as_it_goes
    if what != AS_IT_GOES:
        then = yield from _then(record, history, supposed, what)
    minds: tuple[str, ...] = ()
    if what.course is not None:
        minds = _cautions(record, find_template(record.logbook, what.course))
    early, counts_from = _too_early(record, history, supposed.roots_on)
    return Supposition(
        code=record.plant.code,
        on=record.on,
        pest=record.pest if len(record.pests) > 1 else None,
        what=what,
        usual=usual,
        as_is=as_it_goes.ready_on,
        # looks that are not complete are no clean looks, and each setting asks for some lately
        would_be=then.ready_on if is_complete else None,
        criteria=_criteria(as_it_goes, then, is_complete=is_complete),
        stays_on=None if stays is None else stays.ready_on,
        cautions=minds,
        is_complete=is_complete,
        above_c=_above(record, what),
        roots_on=early,
        roots_count_from=counts_from,
    )


def _too_early(
    record: PlantRecord, history: QuarantineHistory, day: date | None
) -> tuple[date, date] | tuple[None, None]:
    """A look at the roots that is evidence, yet made before one counts for the criterion."""
    counts_from = roots_count_from(history, record.on, record.rules)
    wanted = root_looks_wanted(history, record.on, record.rules)
    return (day, counts_from) if day and wanted and day < counts_from else (None, None)


def _then(
    record: PlantRecord, history: QuarantineHistory, supposed: Supposed, what: WhatIf
) -> Generator[None, None, Forecast]:
    if what.course is not None:
        template = find_template(record.logbook, what.course)
        history, supposed = with_course(record, history, template, supposed)
    return (yield from supposing(record, history, supposed))


def usual_of(record: PlantRecord, history: QuarantineHistory) -> Usual:
    """What may be otherwise, as it goes now."""
    # slow to import, and not needed where nothing is supposed
    from rounds.core.quarantine.outlook import least_times, usual_look

    facts, table = record.likely.facts, record.parameters
    usual = usual_look(facts, record.on, table, history.days)
    zones = record.body.outside
    seconds = sum(usual[zone.zone] * zone.reference_seconds for zone in zones)
    near = coming_now(record)
    return Usual(
        looks_a_week=WEEK / usual_interval(history.days, record.on, record.away),
        seconds=seconds,
        least_seconds=seconds * least_times(facts, record.on, table, history.days),
        celsius=record.temperatures.mean_c(record.lived, record.on),
        courses=tuple(
            (template.code, _name_of(record, template))
            for template in usual_first(
                templates(record.logbook).values(), record.pests, record.table
            )
            if template.forms is None or record.body.form in template.forms
        ),
        neighbours=tuple(record.day.plants[plant_id].code for plant_id in near),
    )


def _name_of(record: PlantRecord, template: Template) -> str:
    """What a course is called, and whether it is usual against none of the pests of a plant."""
    if is_usual(template, record.pests, record.table):
        return template.name
    return words.say("courses.fitting.brief", text=template.name)


def _supposed(record: PlantRecord, usual: Usual, what: WhatIf) -> Supposed:
    supposed = supposed_of(record, 1.0 if what.seconds is None else what.seconds / usual.seconds)
    if what.looks_a_week is not None:
        supposed = replace(supposed, every_days=WEEK / what.looks_a_week)
    if what.roots:
        soon = first_day_back(record.on + timedelta(days=1), record.away)
        supposed = replace(supposed, roots_on=soon)
    if what.neighbours != NONE_COMES:
        numbers = _numbers_coming(record, what.neighbours)
        supposed = replace(supposed, coming=sending(record, numbers).coming)
    return replace(supposed, celsius=what.celsius)


def _numbers_coming(record: PlantRecord, neighbours: str) -> Sequence[float]:
    """Crawlers a day from those that stay."""
    coming = coming_now(record)
    codes = {record.day.plants[plant_id].code: plant_id for plant_id in coming}
    if neighbours == ALL_STAY:
        return list(coming.values())
    if neighbours not in codes:
        raise BadInput(
            "what-if-neighbour" if codes else "what-if-no-neighbour", field="away_from",
            given=neighbours, code=record.plant.code, codes=codes_text(codes),
        )  # fmt: skip
    return [number for plant_id, number in coming.items() if plant_id != codes[neighbours]]


def _criteria(
    as_it_goes: Forecast, then: Forecast, *, is_complete: bool
) -> tuple[CriterionThen, ...]:
    days = {
        criterion.code: criterion.expected_on
        for criterion in then.criteria
        if is_complete or criterion.code in WITHOUT_LOOKS
    }
    return tuple(
        CriterionThen(
            criterion.code,
            criterion.met is True,
            criterion.expected_on,
            days.get(criterion.code),
        )
        for criterion in as_it_goes.criteria
        if criterion.need is not None
    )


def _cautions(record: PlantRecord, template: Template) -> tuple[str, ...]:
    kind = template.steps[0].kind
    return tuple(told.text for told in cautions(record.plant, kind, NO_LABEL, record.on))


def _above(record: PlantRecord, what: WhatIf) -> float | None:
    limit = record.biology.warmth.known_up_to_c
    return limit if what.celsius is not None and what.celsius > limit else None

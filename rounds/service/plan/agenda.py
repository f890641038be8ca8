"""One list of what there is to do today and what is due on the days that follow."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from uuid import UUID, uuid5

from rounds import words
from rounds.core.away import Stretch
from rounds.service.courses.standing import CourseRunning
from rounds.service.courses.text import brief_shared_text, due_text, shared_text
from rounds.service.courses.together import at_step, same_step
from rounds.service.exposure.emptied import EmptiedSpot, spot_text, where_text
from rounds.service.plan.coming import DAYS, OF_PLANTS, Coming, coming
from rounds.service.plan.coming_text import brief_text, meaning_text, what_text
from rounds.service.plan.today import CLEAN_SPOT, PRESSING, STEP, Due, due_today
from rounds.service.plant.status import PlantStatus
from rounds.words.forms import calendar_day, days_text

DAY = timedelta(days=1)

LOOK, SPOT_FREE = "look", "spot-free"
ROUND = "round"
"""Stands for all looks of today in one line."""
ROOTS = "roots"


@dataclass(frozen=True, slots=True)
class AgendaLine:
    """One thing that is due, of one plant, of a spot or of days away."""

    on: date
    """the day it is done, today where it waits"""
    since: date
    """since when it is due, not after `on`"""
    code: str | None
    """of the plant it is about; None where it is about days away"""
    status: PlantStatus | None
    """of that plant, where it is here"""
    kind: str
    what: str
    """what is due, for a column"""
    brief: str
    """the same where there is less room"""
    means: str
    """what that means, for a column; may be empty"""
    full: str = ""
    """what is due, where there is room for all of it"""
    why: str = ""
    """the same of why it is due"""
    thing: str = ""
    """tells it from other things of that kind and plant, whatever the day"""
    about: str = ""
    """what it is about where it is about no plant: 10 days, 3 plants"""
    course: CourseRunning | None = None
    """of a step of a course: that, with this step as the one spoken about"""
    is_shared: bool = False
    """it stands for that step, or what is expected that day, of several plants"""

    @property
    def waits(self) -> bool:
        """It was due before today."""
        return self.since < self.on

    @property
    def text(self) -> str:
        """What is due, and since when it waits."""
        what = self.full or self.what
        if not self.waits:
            return what
        return words.say("agenda.text", what=what, waiting=self.waiting)

    @property
    def waiting(self) -> str:
        """Since when it waits: waiting since 2 May (2 days)."""
        since, days = calendar_day(self.since, self.on), days_text((self.on - self.since).days)
        return words.say("agenda.waiting", since=since, days=days)


def agenda(
    statuses: Iterable[PlantStatus],
    on: date,
    days: int = DAYS,
    *,
    away: Sequence[Stretch] = (),
    emptied: Iterable[EmptiedSpot] = (),
) -> list[AgendaLine]:
    """What is due on a day and the `days` days after it, the nearest first.

    Looks are those that each plant is owed next: later ones hang on what they show. Days that rest
    on a forecast suppose that looks go on as they have and stay clean.

    Args:
        statuses: of the plants that are here, with their forecasts as far as these are known.
        on: today.
        days: that are looked ahead.
        away: days on which nobody looks.
        emptied: the spots to be kept empty.
    """
    here, until = list(statuses), on + timedelta(days)
    # of a course all steps are told, not the next one alone
    found = [_of_due(due, on) for due in due_today(here, until) if due.kind != STEP]
    found += [line for status in here for line in _of_courses(status, on)]
    found += [_of_look(status, on) for status in here]
    found += [
        of_coming(line, on) for line in coming(here, on - DAY, days + 1, away) if line.kind != ROOTS
    ]
    by_id = {status.code.casefold(): status for status in here}
    for spot in emptied:
        found += _of_spot(spot, by_id.get(spot.code.casefold()), on)
    within = (line for line in found if on <= line.on <= until)
    return sorted(within, key=_in_order)


def with_round(lines: Sequence[AgendaLine], on: date) -> list[AgendaLine]:
    """The lines with all looks of today as one, which the round of the day makes."""
    looks = [line for line in lines if line.kind == LOOK and line.on == on]
    if not looks:
        return list(lines)
    count = "plant" if len(looks) == 1 else "plants"
    whole = AgendaLine(
        on=on,
        since=min(line.since for line in looks),
        code=None,
        status=None,
        kind=ROUND,
        what=words.say("agenda.round.what"),
        brief=words.say("agenda.round.brief"),
        means=words.say("agenda.round.means"),
        about=words.say(f"agenda.round.{count}", count=len(looks)),
    )
    others = [line for line in lines if not (line.kind == LOOK and line.on == on)]
    return sorted([whole, *others], key=_in_order)


def with_shared(lines: Sequence[AgendaLine]) -> list[AgendaLine]:
    """The lines with the same step, or the same expected, of several plants on one day as one."""
    found: dict[object, list[AgendaLine]] = {}
    for at, line in enumerate(lines):
        found.setdefault(_shared_by(line) or at, []).append(line)
    return [of[0] if len(of) == 1 else _shared(of) for of in found.values()]


def shared_by(lines: Iterable[AgendaLine], whole: AgendaLine) -> list[AgendaLine]:
    """The lines that one of `with_shared` stands for."""
    return [line for line in lines if _shared_by(line) == _shared_by(whole)]


def _shared_by(line: AgendaLine) -> tuple[date, object] | None:
    """What a line has in common with those it can be told with."""
    if line.course is not None:
        return line.on, same_step(line.course)
    return (line.on, line.kind) if line.kind in OF_PLANTS else None


def _shared(lines: Sequence[AgendaLine]) -> AgendaLine:
    first, courses = lines[0], [line.course for line in lines if line.course is not None]
    several = replace(
        first,
        since=min(line.since for line in lines),
        code=None,
        status=None,
        thing="",
        about=words.say("agenda.round.plants", count=len(lines)),
        is_shared=True,
    )
    if courses:
        step = same_step(courses[0])
        return replace(
            several,
            what=shared_text(courses),
            brief=brief_shared_text(courses),
            thing=f"{step.course} {step.product} {step.kind} {step.number}",
        )
    is_alike = all(line.means == first.means for line in lines)
    return several if is_alike else replace(several, means=words.say("agenda.means.of-several"))


def uids(lines: Sequence[AgendaLine], logbook_id: str) -> list[str]:
    """A name for each line that stays the same on later days, though its day may change.

    Args:
        lines: in order.
        logbook_id: of the file, so that two logbooks do not meet.
    """
    met: Counter[str] = Counter()
    found = []
    for line in lines:
        name = f"{line.kind} {(line.code or '').casefold()} {line.thing}"
        met[name] += 1
        found.append(str(uuid5(UUID(logbook_id), f"{name} {met[name]}")))
    return found


def _in_order(line: AgendaLine) -> tuple[date, int, date, str, str]:
    weight = 0 if line.kind in PRESSING else 1 if line.kind == ROUND else 2
    return line.on, weight, line.since, (line.code or "").casefold(), line.kind


def _of_due(due: Due, on: date) -> AgendaLine:
    day = max(due.on, on)
    means = words.section("agenda.means").get(due.kind, "")
    return AgendaLine(
        on=day,
        since=min(due.on, day),
        code=due.status.code,
        status=due.status,
        kind=due.kind,
        what=due.short,
        brief=words.section("agenda.brief").get(due.kind, due.short),
        means=means,
        full=due.text,
    )


def _of_courses(status: PlantStatus, on: date) -> Iterator[AgendaLine]:
    """Each step that is to come, if those before it are done in time."""
    for course in status.courses:
        for step in course.to_come:
            here = at_step(course, step)
            what = due_text(here)
            yield AgendaLine(
                on=max(step.due_on, on),
                since=step.due_on,
                code=status.code,
                status=status,
                kind=STEP,
                what=what,
                brief=what,
                means=words.say("agenda.means.step"),
                thing=str(step.id),
                course=here,
            )


def _of_look(status: PlantStatus, on: date) -> AgendaLine:
    """The look a plant is owed next, on the last day it may wait for."""
    claim = status.claim
    code = "probable" if claim.is_probable else claim.code
    day = on if claim.is_due else max(claim.latest_on, on)
    return AgendaLine(
        on=day,
        since=min(claim.latest_on, day),
        code=status.code,
        status=status,
        kind=LOOK,
        what=words.say(f"agenda.look.{code}"),
        brief=words.say("agenda.look-brief"),
        means=words.say(f"agenda.look-means.{code}"),
        why=status.reasons[0].text if status.reasons else "",
    )


def of_coming(line: Coming, on: date) -> AgendaLine:
    """What is expected on a day, as a line of the agenda."""
    status = line.status
    return AgendaLine(
        on=line.on,
        since=line.on,
        code=status.code if status else None,
        status=status,
        kind=line.kind,
        what=what_text(line),
        brief=brief_text(line),
        means=meaning_text(line, on),
        thing=_thing(line),
        about=days_text(line.away.days) if line.away else "",
    )


def _thing(line: Coming) -> str:
    if line.brood is not None:
        return line.brood.laid_by.isoformat()
    if line.away is not None:
        return line.away.first_day.isoformat()
    return line.status.standing_since.isoformat() if line.status else ""


def _of_spot(spot: EmptiedSpot, status: PlantStatus | None, on: date) -> Iterator[AgendaLine]:
    where, why = where_text(spot), spot_text(spot, on)
    thing = f"{spot.place_id} {(spot.spot or '').casefold()} {spot.emptied_on.isoformat()}"
    days = {SPOT_FREE: spot.free_on, CLEAN_SPOT: None if spot.cleaned_on else spot.emptied_on}
    for kind, day in days.items():
        if day is not None:
            yield AgendaLine(
                on=max(day, on),
                since=min(day, on) if kind == CLEAN_SPOT else day,
                code=spot.code,
                status=status,
                kind=kind,
                what=words.say(f"agenda.spot.{kind}"),
                brief=words.say(f"agenda.spot.{kind}"),
                means=where,
                full=words.say(f"agenda.spot-full.{kind}", where=where),
                why=why,
                thing=thing,
            )

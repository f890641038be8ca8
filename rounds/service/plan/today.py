"""The plan of a day: who is looked at in the minutes there are, who waits, what else is due."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import ceil

from rounds import words
from rounds.core.body import ROOTS
from rounds.core.plan.claims import ALIVE
from rounds.core.plan.pace import AS_PLANNED
from rounds.core.plan.walk import QUARANTINE, Stop, walking_order
from rounds.service.courses.standing import CourseRunning
from rounds.service.courses.text import brief_due_text, due_text
from rounds.service.entries.walked import PutOff, put_off_to_tomorrow
from rounds.service.exposure.emptied import EmptiedSpot, where_text
from rounds.service.inference.day import records
from rounds.service.inference.together import in_order
from rounds.service.logbook.book import Logbook
from rounds.service.plan.away import minutes_of
from rounds.service.plan.order import risk_order
from rounds.service.plan.pace import pace_of
from rounds.service.plan.planning import Allotted, Asked, asked_of, needs_hygiene
from rounds.service.plant.reasons import Reason, found_again_text, put_off_text, reason
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus, seen_status, with_figures
from rounds.service.plant.zones import PlannedZone
from rounds.store import walks
from rounds.words.forms import day_month, more_minutes_text

FITS = 1e-6
"""minutes by which a sum of floats may pass those there are"""
TOLD_SECONDS = 1.0
"""fewer that a plant lacks are not told"""

GAIN = "gain"
"""Stands for the claim of a plant that is looked at though it is not due yet."""


NO_TIME, PUT_OFF = "no-time", "put-off"
"""Why a plant is left out: the codes of the reasons."""


@dataclass(frozen=True, slots=True)
class PlannedPlant:
    """One plant of the plan, in walking order."""

    position: int
    status: PlantStatus
    hygiene_stop_before: bool
    zones: tuple[PlannedZone, ...]
    whole_plant: bool
    """its zones are looked at in one go"""
    steps: tuple[tuple[str, ...], ...]
    """its zones, those together that are looked at together"""
    claim: str
    """why it is in the plan: the code of its claim where that is due, else gain"""
    owed_seconds: float
    """of looking, that it is due; 0 where it is not"""
    short: Reason | None
    """that insects live on it and it gets less than it needs; None where it gets that"""
    handling_seconds: float
    """what is expected to be found on it takes so long to handle"""
    overhead_seconds: float
    """walking to it, and clean hands after it"""
    spared_seconds: float
    """of these, saved once in a round"""

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Why it is looked at, the weightiest first; then that it gets less than it needs."""
        first, *others = self.status.reasons
        return (first, self.short, *others) if self.short else self.status.reasons

    @property
    def planned_seconds(self) -> float:
        """Seconds planned for all its zones."""
        return sum(zone.planned_seconds for zone in self.zones)

    @property
    def lacks_seconds(self) -> float:
        """Seconds of looking that one with insects gets less than it needs."""
        return self.owed_seconds - self.planned_seconds if self.short else 0.0


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A plant that is not looked at today: the minutes do not reach it, or it was put off."""

    status: PlantStatus
    reason: Reason

    @property
    def latest_on(self) -> date:
        """The day it is looked at at the latest."""
        return self.status.claim.latest_on

    @property
    def is_put_off(self) -> bool:
        """Somebody put it off to tomorrow; the minutes do not matter."""
        return self.reason.code == PUT_OFF


@dataclass(frozen=True, slots=True)
class Due:
    """Something to do today besides looking. `waiting_days` counts from `on`."""

    on: date
    status: PlantStatus
    kind: str
    text: str
    short: str
    """the same in a few words, for a line of today"""
    waiting_days: int
    course: CourseRunning | None = None
    """of which it is the next step"""


@dataclass(frozen=True, slots=True)
class DayPlan:
    """A round as it would be walked now."""

    on: date
    minutes: float
    plan: tuple[PlannedPlant, ...]
    left_out: tuple[LeftOut, ...]
    pace: float = AS_PLANNED
    """times the planned seconds the grower's own looks take"""
    by_risk: bool = False
    """walked strictly by risk, not from the clean side to the infested"""
    needed_minutes: float = 0.0
    """that would hold all that is due"""
    rounds: int = 0
    """walked to their end that day"""
    unchecked: tuple[PlantStatus, ...] = ()
    """never fully checked, and not due that day; who comes due first is first"""

    @property
    def planned_seconds(self) -> float:
        """Seconds of looking planned in all."""
        return sum(planned.planned_seconds for planned in self.plan)

    @property
    def walking_seconds(self) -> float:
        """Seconds of walking and of clean hands."""
        spared = max((planned.spared_seconds for planned in self.plan), default=0.0)
        return sum(planned.overhead_seconds for planned in self.plan) - spared

    @property
    def handling_seconds(self) -> float:
        """Seconds that what is expected to be found takes to handle."""
        return sum(planned.handling_seconds for planned in self.plan)

    @property
    def filled_seconds(self) -> float:
        """Seconds the plan takes at the grower's own pace."""
        # a rounding error must not show as a second
        seconds = self.planned_seconds + self.walking_seconds + self.handling_seconds
        return round(seconds * self.pace, 3)

    @property
    def due_waits(self) -> tuple["LeftOut", ...]:
        """Plants that the minutes do not hold although they are due; those in quarantine first."""
        waits = (left for left in self.left_out if left.status.claim.is_due)
        found = [left for left in waits if not left.is_put_off]
        return tuple(sorted(found, key=lambda left: left.status.standing != QUARANTINE))

    @property
    def is_short(self) -> bool:
        """The minutes do not hold all that is due."""
        return self.needed_minutes > self.minutes + FITS

    @property
    def is_done(self) -> bool:
        """A round of the day is behind, and nothing is due any more."""
        is_due = any(planned.claim != GAIN for planned in self.plan) or self.due_waits
        return self.rounds > 0 and not is_due

    @property
    def waiting(self) -> set[int]:
        """The plants the minutes do not reach, by id."""
        return {left.status.plant_id for left in self.left_out if not left.is_put_off}

    def with_statuses(self, statuses: Mapping[int, PlantStatus]) -> "DayPlan":
        """The plan with fuller statuses of its plants."""
        return replace(
            self,
            plan=tuple(replace(p, status=statuses[p.status.plant_id]) for p in self.plan),
            left_out=tuple(replace(p, status=statuses[p.status.plant_id]) for p in self.left_out),
            unchecked=tuple(statuses[status.plant_id] for status in self.unchecked),
        )


def plan_day(logbook: Logbook, on: date, minutes: float | None = None) -> DayPlan:
    """The plan for the minutes given from now on, else for those the grower usually has."""
    ordered = in_order(records(logbook, on))
    statuses = {r.plant.id: with_figures(r, seen_status(r)) for r in ordered}
    return plan_of(logbook, on, ordered, statuses, minutes_of(logbook, on, minutes))[0]


def plan_of(
    logbook: Logbook,
    on: date,
    ordered: Sequence[PlantRecord],
    statuses: Mapping[int, PlantStatus],
    minutes: float,
) -> tuple[DayPlan, Asked]:
    """The plan for so many minutes from now on, and what it was made from.

    What is due gets what it is owed; what the others get, and what anybody gets beyond that, goes
    where it prevents most. Zones seen today are done.

    Args:
        logbook: of the plants.
        on: the day.
        ordered: every plant that is here, first to be looked at first.
        statuses: of these, by id.
        minutes: for the round.
    """
    pace, by_risk = pace_of(logbook, on), logbook.walks_by_risk()
    put_off = {r.plant.id: off for r in ordered if (off := put_off_to_tomorrow(r.today))}
    ordered = [record for record in ordered if record.plant.id not in put_off]
    walked = walks.rounds_on(logbook.file, on, "walked")
    asked = asked_of(
        logbook.parameters_on(on),
        ordered,
        {walk.id for walk in walked},
        later_seconds=logbook.minutes() * 60 / pace,
    )
    reached = asked.within(minutes * 60 / pace)
    waiting = [r for r, found in zip(asked.records, reached, strict=True) if not found]
    chosen = as_walked([found for found in reached if found], by_risk=by_risk)
    needed = asked.needed_seconds * pace / 60
    plan = DayPlan(
        on=on,
        minutes=minutes,
        plan=_planned(chosen, statuses, needed - minutes),
        left_out=(
            *(LeftOut(statuses[r.plant.id], _no_time(statuses[r.plant.id])) for r in waiting),
            *(LeftOut(statuses[key], _put_off_reason(off)) for key, off in put_off.items()),
        ),
        pace=pace,
        by_risk=by_risk,
        needed_minutes=needed,
        rounds=sum(walk.ended_at is not None for walk in walked),
        unchecked=_unchecked(statuses.values()),
    )
    return plan, asked


def _unchecked(statuses: Iterable[PlantStatus]) -> tuple[PlantStatus, ...]:
    never = [s for s in statuses if s.last_complete_look_on is None and not s.claim.is_due]
    return tuple(sorted(never, key=lambda s: (s.claim.latest_on, s.code.casefold())))


def _no_time(status: PlantStatus) -> Reason:
    """That the minutes do not reach a plant, and since when it is due where it is."""
    if not status.claim.is_due:
        return reason(NO_TIME)
    day = day_month(min(status.claim.latest_on, status.on), status.on)
    return Reason(NO_TIME, words.say("plan.due.no-time", day=day))


def _short(found: Allotted, more_minutes: float) -> Reason | None:
    """That insects live on a plant and it gets less than it needs."""
    planned = sum(zone.planned_seconds for zone in found.zones)
    lacks = found.owed_seconds - planned
    if found.claim.code != ALIVE or lacks < TOLD_SECONDS:
        return None
    minutes = more_minutes_text(max(1, ceil(more_minutes - FITS)))
    seconds = {"seconds": int(planned), "owed": round(found.owed_seconds)}
    return reason("too-short", minutes=minutes, **seconds)


def _put_off_reason(put_off: PutOff) -> Reason:
    return Reason(PUT_OFF, put_off_text(put_off))


def as_walked(chosen: Sequence[Allotted], *, by_risk: bool) -> list[Allotted]:
    """Plants in walking order: clean side first, in order of need within; or strictly by risk."""
    if by_risk:
        return sorted(chosen, key=lambda found: risk_order(found.record))
    stops = [_stop_of(number, found) for number, found in enumerate(chosen)]
    return [chosen[number] for number in walking_order(stops)]


def _stop_of(number: int, found: Allotted) -> Stop:
    """A plant as the walk takes it, the how-manieth in the order of need."""
    standing = found.record.standing
    is_alive = standing != QUARANTINE and found.claim.code == ALIVE
    return Stop(number, ALIVE if is_alive else standing, found.record.least_clean)


def _planned(
    chosen: Sequence[Allotted], statuses: Mapping[int, PlantStatus], more_minutes: float
) -> tuple[PlannedPlant, ...]:
    planned = []
    before: PlantRecord | None = None
    for position, found in enumerate(chosen, 1):
        stop = before is not None and needs_hygiene(before)
        planned.append(
            PlannedPlant(
                position, statuses[found.record.plant.id], stop, found.zones,
                found.whole_plant, found.steps, found.claim.code if found.claim.is_due else GAIN,
                found.owed_seconds, _short(found, more_minutes),
                found.handling_seconds, found.overhead_seconds, found.spared_seconds,
            )
        )  # fmt: skip
        before = found.record
    return tuple(planned)


STEP = "step"
"""Kind of what is due of a course of treatment."""

RISING = "rising"
"""Kind of what is due where finds rise beyond chance: somebody decides what is done.

Its line leads to what to do next, and goes once a course is begun.
"""

NO_PLACE = "no-place"
"""Kind of what is due where a plant is to be quarantined and no quarantine place is named."""

BEHIND = "behind"
"""Kind of what is due where lifting by hand may not keep up, before finds rise beyond chance."""

ASKS_NEXT = (RISING, BEHIND)
"""What leads to what to do next."""

PRESSING = ("set-apart", "clear-around", NO_PLACE, *ASKS_NEXT)
"""What is most pressing, as insects spread while it waits."""


ROOTS_AGAIN = "roots-again"
"""The kind of a look at the roots to find what feeds the finds, not to end quarantine."""
OF_ROOTS = (ROOTS, ROOTS_AGAIN)
"""What can be told before its day."""


CLEAN_SPOT = "clean-spot"
"""The kind of cleaning the spot that a plant with insects left."""


def due_today(
    statuses: Iterable[PlantStatus],
    until: date,
    emptied: Iterable[tuple[EmptiedSpot, PlantStatus]] = (),
) -> list[Due]:
    """What there is to do besides looking: finds among the others, then what waits longest.

    Args:
        statuses: of the plants.
        until: what falls due later is left out.
        emptied: the spots to be kept empty, each with the plant that left it.
    """
    found = [due for status in statuses for due in _due_of(status, until)]
    found += [_to_clean(spot, status) for spot, status in emptied if spot.cleaned_on is None]
    return sorted(found, key=lambda due: (_pressing(due.kind), due.on, due.status.code.casefold()))


def _pressing(kind: str) -> int:
    """Its place in the order: what parts a plant from its neighbours, what goes on, the rest."""
    if kind not in PRESSING:
        return 1 + len(ASKS_NEXT)
    return 1 + ASKS_NEXT.index(kind) if kind in ASKS_NEXT else 0


def _due_of(status: PlantStatus, until: date) -> Iterable[Due]:
    asks = _asks_next(status)
    since = {
        "set-apart": status.set_apart_since,
        "clear-around": status.clear_around_since,
        RISING: asks.get(RISING),
        BEHIND: asks.get(BEHIND),
        NO_PLACE: status.no_place_since,
        "move-out": status.move_out_since,
        "roots": status.roots_from,
        ROOTS_AGAIN: status.found_again.roots_from,
        "doubt": status.doubts[0].day if status.doubts else None,
    }
    for kind, day in since.items():
        if day is not None and (kind not in OF_ROOTS or day <= until):
            yield _due(status, kind, day)
    for course in status.courses:
        if course.due_on <= until:
            waits = (status.on - course.due_on).days
            text = words.say("today.due.step", step=due_text(course))
            short = words.say("today.due.step", step=brief_due_text(course))
            yield Due(course.due_on, status, STEP, text, short, waits, course)


def _asks_next(status: PlantStatus) -> dict[str, date | None]:
    """Since when its finds rise, or else go on, and no course answers: the first is told alone.

    Neither where it is to be parted from the others first.
    """
    if status.set_apart_since or status.clear_around_since:
        return {}
    if status.rises_since:
        return {RISING: status.rises_since}
    return {BEHIND: status.behind_since}


def _to_clean(spot: EmptiedSpot, status: PlantStatus) -> Due:
    text = words.say("agenda.spot-full.clean-spot", where=where_text(spot))
    waits = (status.on - spot.emptied_on).days
    short = words.say("agenda.spot.clean-spot")
    return Due(spot.emptied_on, status, CLEAN_SPOT, text, short, waits)


def _due(status: PlantStatus, kind: str, since: date) -> Due:
    count = status.open_doubts
    code = "one-doubt" if (kind, count) == ("doubt", 1) else kind
    short = words.say(f"today.due.{code}", count=count)
    text = short
    if kind == ROOTS_AGAIN:
        text = found_again_text(status.found_again)
    elif kind == BEHIND:
        text = words.say("round.summary.then-behind")
    return Due(since, status, kind, text, short, (status.on - since).days)

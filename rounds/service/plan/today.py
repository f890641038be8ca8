"""The plan of a day: who is looked at in the minutes there are, who waits, what else is due."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from rounds import words
from rounds.core.collection import FOUND_CANNOT_MOVE
from rounds.core.plan.pace import AS_PLANNED
from rounds.core.plan.walk import walking_order
from rounds.core.quarantine.criteria import MEDIUM_AND_ROOTS
from rounds.service.inference.day import records
from rounds.service.inference.together import in_order
from rounds.service.logbook.book import Logbook
from rounds.service.plan.away import minutes_of, unseen_text
from rounds.service.plan.pace import pace_of
from rounds.service.plan.planning import (
    Allotted,
    Asked,
    PlannedZone,
    asked_of,
    needs_hygiene,
    nothing_asked,
)
from rounds.service.plant.company import cleared_before, infested_company
from rounds.service.plant.record import (
    PlantRecord,
    found_lately,
    risk_order,
    unseen_days,
)
from rounds.service.plant.record_text import sign_text
from rounds.store import walks
from rounds.words.forms import calendar_day, day_month, days_text


@dataclass(frozen=True, slots=True)
class Reason:
    """Why, as a code and as a sentence."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class PlannedPlant:
    """One plant of the plan, in walking order."""

    position: int
    record: PlantRecord
    reasons: tuple[Reason, ...]
    hygiene_stop_before: bool
    zones: tuple[PlannedZone, ...]
    whole_plant: bool
    """its zones are looked at in one go"""
    overhead_seconds: float
    """walking to it, and clean hands after it"""
    spared_seconds: float
    """of these, saved once in a round"""

    @property
    def planned_seconds(self) -> float:
        """Seconds planned for all its zones."""
        return sum(zone.planned_seconds for zone in self.zones)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A plant the minutes do not reach."""

    record: PlantRecord
    reason: Reason


@dataclass(frozen=True, slots=True)
class Due:
    """Something to do today besides looking. `waiting_days` counts from `on`."""

    on: date
    record: PlantRecord
    kind: str
    text: str
    waiting_days: int


@dataclass(frozen=True, slots=True)
class DayPlan:
    """A round as it would be walked now."""

    on: date
    minutes: float
    plan: tuple[PlannedPlant, ...]
    left_out: tuple[LeftOut, ...]
    due: tuple[Due, ...]
    records: tuple[PlantRecord, ...]
    """every plant that is here, first to be looked at first"""
    pace: float = AS_PLANNED
    """times the planned seconds the grower's own looks take"""
    by_risk: bool = False
    """walked strictly by risk, not from the clean side to the infested"""
    asked: Asked = field(default_factory=nothing_asked)
    """what the plan was made from"""

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
    def filled_seconds(self) -> float:
        """Seconds the plan takes at the grower's own pace."""
        # what floats lose must not show as a second
        return round((self.planned_seconds + self.walking_seconds) * self.pace, 3)


def plan_day(logbook: Logbook, on: date, minutes: float | None = None) -> DayPlan:
    """The plan for the minutes given from now on, else for those the grower usually has.

    Who must be looked at gets half the reference time of each zone; what the others get, and
    what anybody gets beyond that, goes where it prevents most. Zones seen today are done.
    """
    minutes = minutes_of(logbook, on) if minutes is None else minutes
    pace, by_risk = pace_of(logbook, on), logbook.walks_by_risk()
    ordered = in_order(records(logbook, on))
    walked = {walk.id for walk in walks.rounds_on(logbook.file, on, "walked")}
    asked = asked_of(logbook, ordered, walked)
    reached = asked.within(minutes * 60 / pace)
    return DayPlan(
        on=on,
        minutes=minutes,
        plan=_planned(_as_walked([found for found in reached if found], by_risk=by_risk)),
        left_out=tuple(
            LeftOut(record, _reason("no-time"))
            for record, found in zip(asked.records, reached, strict=True)
            if not found
        ),
        due=tuple(due_today(ordered, on)),
        records=tuple(ordered),
        pace=pace,
        by_risk=by_risk,
        asked=asked,
    )


def _as_walked(chosen: Sequence[Allotted], *, by_risk: bool) -> list[Allotted]:
    """Clean side first, in order of need within; or strictly by risk."""
    if by_risk:
        return sorted(chosen, key=lambda found: risk_order(found.record))
    order = walking_order([(n, found.record.standing) for n, found in enumerate(chosen)])
    return [chosen[number] for number in order]


def reasons_for(record: PlantRecord) -> tuple[Reason, ...]:
    """Why a plant is where it is in the order, the weightiest first."""
    found: list[Reason] = []
    if record.standing in ("quarantine", "watch"):
        found.append(_why_standing(record))
    if record.last_find_on is not None and found_lately(record):
        found.append(_reason("found-lately", day=day_month(record.last_find_on, record.on)))
    if record.signs_lately:
        found.append(Reason("signs", sign_text(record, record.signs_lately[-1])))
    cleared = cleared_before(record)
    if cleared and (record.standing == "quarantine" or found_lately(record)):
        found.append(Reason("cleared-before", cleared))
    company = infested_company(record)
    if company:
        found.append(Reason("came-with-infested", company))
    if record.open_doubts:
        first = record.open_doubts[0].day
        found.append(_reason("open-doubts", day=day_month(first, record.on)))
    if record.last_complete_look_on is None:
        found.append(_reason("never-seen"))
    elif unseen_days(record) > 0:
        text = unseen_text(record.logbook, record.last_complete_look_on, record.on)
        found.append(Reason("unseen", text))
    return tuple(found) or (_reason("seen-today"),)


def _why_standing(record: PlantRecord) -> Reason:
    touched = record.lived.touched_on_watch(record.on) if record.standing == "watch" else None
    if touched is not None:
        day = calendar_day(record.standing_since, record.on)
        return _reason("standing-touched", day=day, code=touched)
    days = (record.on - record.standing_since).days
    code = f"standing-{record.standing}"
    text = words.say(f"today.reasons.{code}" if days else f"today.reasons.{code}-today",
                     days=days_text(days))  # fmt: skip
    return Reason(code, text)


PRESSING = ("set-apart", "clear-around")
"""What lets insects walk on while it waits."""


def due_today(ordered: Sequence[PlantRecord], on: date) -> list[Due]:
    """What there is to do besides looking: finds among the others, then what waits longest."""
    found = [due for record in ordered for due in _due_of(record, on)]
    return sorted(
        found,
        key=lambda due: (due.kind not in PRESSING, due.on, due.record.plant.code.casefold()),
    )


def _due_of(record: PlantRecord, on: date) -> list[Due]:
    found = []
    if record.waits_to_stand_apart and record.last_find_on is not None:
        found.append(_due(record, "set-apart", record.last_find_on))
    uncleared = _clear_around_since(record)
    if uncleared is not None:
        found.append(_due(record, "clear-around", uncleared))
    roots_from = roots_due(record)
    if roots_from is not None and roots_from <= on:
        found.append(_due(record, "roots", roots_from))
    if record.open_doubts:
        found.append(_due(record, "doubt", record.open_doubts[0].day))
    return found


def _clear_around_since(record: PlantRecord) -> date | None:
    """Since when a plant that could not be moved still touches others."""
    period = record.plant.quarantine(record.on)
    if period is None or period.began_because != FOUND_CANNOT_MOVE:
        return None
    return period.began_on if record.plant.touching(record.on) else None


def roots_due(record: PlantRecord) -> date | None:
    """The first day a look at the roots counts, where one is still wanted."""
    if record.history is None:
        return None
    rules = record.logbook.rules(record.pest)
    wanted = next(c for c in record.criteria if c.code == MEDIUM_AND_ROOTS)
    if not rules.root_looks or wanted.met or (wanted.have or 0) >= rules.root_looks:
        return None
    history = record.history
    anchor = max(history.began_on, history.last_live_on or history.began_on)
    seen = [d.day for d in history.days if d.roots_seen and d.clean]
    first = anchor + timedelta(rules.roots_after_days)
    later = [day + timedelta(rules.roots_apart_days) for day in seen if day >= first]
    return max([first, *later])


def _due(record: PlantRecord, kind: str, since: date) -> Due:
    count = sum(doubt.count for doubt in record.open_doubts)
    code = "one-doubt" if (kind, count) == ("doubt", 1) else kind
    text = words.say(f"today.due.{code}", count=count)
    return Due(since, record, kind, text, (record.on - since).days)


def _planned(chosen: Sequence[Allotted]) -> tuple[PlannedPlant, ...]:
    planned = []
    before: PlantRecord | None = None
    for position, found in enumerate(chosen, 1):
        stop = before is not None and needs_hygiene(before)
        planned.append(
            PlannedPlant(
                position, found.record, reasons_for(found.record), stop, found.zones,
                found.whole_plant, found.overhead_seconds, found.spared_seconds,
            )
        )  # fmt: skip
        before = found.record
    return tuple(planned)


def _reason(why: str, /, **values: object) -> Reason:
    return Reason(why, words.say(f"today.reasons.{why}", **values))

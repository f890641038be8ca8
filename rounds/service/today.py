"""The plan of a day: who is looked at in the minutes there are, who waits, what else is due."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from rounds import words
from rounds.core.body import ZoneReference
from rounds.core.collection import FOUND_CANNOT_MOVE
from rounds.core.plan.split import Candidate, fit
from rounds.core.plan.walk import walking_order
from rounds.core.quarantine.criteria import MEDIUM_AND_ROOTS
from rounds.core.quarantine.days import SECONDS_LOST, credited_seconds
from rounds.service.logbook import Logbook
from rounds.service.settings import OFF, chosen
from rounds.service.standing import (
    PlantRecord,
    found_lately,
    in_order,
    records,
    unseen_days,
)
from rounds.words.forms import calendar_day, day_month, days_text


@dataclass(frozen=True, slots=True)
class Reason:
    """Why, as a code and as a sentence."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class PlannedZone:
    """One zone of the plan, and how long to look at it."""

    zone: str
    planned_seconds: float


@dataclass(frozen=True, slots=True)
class PlannedPlant:
    """One plant of the plan, in walking order."""

    position: int
    record: PlantRecord
    reasons: tuple[Reason, ...]
    hygiene_stop_before: bool
    zones: tuple[PlannedZone, ...]

    @property
    def planned_seconds(self) -> float:
        """Seconds planned for all its zones."""
        return sum(zone.planned_seconds for zone in self.zones)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A plant the minutes do not reach, and how long it would have taken."""

    record: PlantRecord
    reason: Reason
    planned_seconds: float


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

    @property
    def planned_seconds(self) -> float:
        """Seconds planned in all."""
        return sum(planned.planned_seconds for planned in self.plan)


@dataclass(frozen=True, slots=True)
class Price:
    """How many whole minutes more let in how many of the plants that wait."""

    minutes: int
    plants: int


MOST_PRICED = 3


def price_of_more(day: DayPlan) -> Price | None:
    """What it takes to let in the next few that wait, in order of need; None where nobody waits."""
    wanted = day.left_out[:MOST_PRICED]
    if not wanted:
        return None
    spare = day.minutes * 60 - day.planned_seconds
    needed = sum(left.planned_seconds for left in wanted) - spare
    minutes = max(1, ceil(needed / 60))
    room = spare + minutes * 60
    more = fit((Candidate(n, left.planned_seconds) for n, left in enumerate(day.left_out)), room)
    return Price(minutes, len(more))


def plan_day(logbook: Logbook, on: date, minutes: float | None = None) -> DayPlan:
    """The plan for the minutes given from now on, else for those the grower usually has.

    Every plant is planned at the least that still counts as seen: half the reference time of
    each zone. Zones that have had it today are done.
    """
    minutes = logbook.minutes() if minutes is None else minutes
    ordered = in_order(records(logbook, on))
    to_do = [(record, zones_to_do(record)) for record in ordered]
    candidates = [
        Candidate(number, sum(zone.planned_seconds for zone in zones))
        for number, (_, zones) in enumerate(to_do)
        if zones
    ]
    chosen = set(fit(candidates, minutes * 60))
    walked = walking_order([(number, ordered[number].standing) for number in sorted(chosen)])
    return DayPlan(
        on=on,
        minutes=minutes,
        plan=_planned([to_do[number] for number in walked]),
        left_out=tuple(
            LeftOut(to_do[candidate.number][0], _reason("no-time"), candidate.seconds)
            for candidate in candidates
            if candidate.number not in chosen
        ),
        due=tuple(due_today(ordered, on)),
        records=tuple(ordered),
    )


def zones_to_do(record: PlantRecord) -> tuple[PlannedZone, ...]:
    """The outside zones not yet seen for half their reference time today, top to bottom."""
    inspection = record.logbook.parameters.inspection
    today = [look for look in record.log if look.day == record.on]
    zones = []
    for zone in record.body.outside:
        credited = sum(
            credited_seconds(look, zone.reference_seconds, inspection)
            for look in today
            if look.zone == zone.zone
        )
        needed = zone.reference_seconds * inspection.seen_from
        if credited < needed - SECONDS_LOST and not _hidden_today(record, zone):
            zones.append(PlannedZone(zone.zone, needed))
    return tuple(zones)


def _hidden_today(record: PlantRecord, zone: ZoneReference) -> bool:
    return any(
        look.day == record.on and look.zone == zone.zone and look.outcome == "cannot-see"
        for look in record.log
    )


def reasons_for(record: PlantRecord) -> tuple[Reason, ...]:
    """Why a plant is where it is in the order, the weightiest first."""
    found: list[Reason] = []
    if record.standing in ("quarantine", "watch"):
        found.append(_why_standing(record))
    if record.last_find_on is not None and found_lately(record):
        found.append(_reason("found-lately", day=day_month(record.last_find_on, record.on)))
    if record.open_doubts:
        first = record.open_doubts[0].day
        found.append(_reason("open-doubts", day=day_month(first, record.on)))
    if record.last_complete_look_on is None:
        found.append(_reason("never-seen"))
    elif unseen_days(record) > 0:
        found.append(_reason("unseen", days=days_text(unseen_days(record))))
    return tuple(found) or (_reason("seen-today"),)


def _why_standing(record: PlantRecord) -> Reason:
    touched = record.plant.touched_on_watch(record.on) if record.standing == "watch" else None
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
    roots_from = _roots_due(record)
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


def _roots_due(record: PlantRecord) -> date | None:
    """The first day a look at the roots counts, where one is still wanted."""
    if record.history is None:
        return None
    rules = record.logbook.rules()
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


def _planned(
    chosen: Sequence[tuple[PlantRecord, tuple[PlannedZone, ...]]],
) -> tuple[PlannedPlant, ...]:
    planned = []
    before: PlantRecord | None = None
    for position, (record, zones) in enumerate(chosen, 1):
        stop = before is not None and needs_hygiene(before)
        planned.append(PlannedPlant(position, record, reasons_for(record), stop, zones))
        before = record
    return tuple(planned)


def needs_hygiene(record: PlantRecord, *, found_now: bool = False) -> bool:
    """Whether hands and tools are cleaned when the walk leaves it; never where switched off."""
    if chosen(record.logbook, "hygiene") == OFF:
        return False
    return found_now or record.standing == "quarantine" or record.infested


def _reason(why: str, /, **values: object) -> Reason:
    return Reason(why, words.say(f"today.reasons.{why}", **values))

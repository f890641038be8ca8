"""Whether a course works: finds before and after it, beside plants that went without."""

from collections.abc import Generator, Iterable
from dataclasses import asdict, dataclass, replace
from datetime import date, timedelta
from typing import Any

from rounds import words
from rounds.core.estimates.efficacy import (
    Counts,
    abbott,
    henderson_tilton,
    henderson_tilton_interval,
)
from rounds.core.log.courses import PlantCourse
from rounds.core.quarantine.days import credited_seconds
from rounds.service.courses.standing import courses_of, kills_of, treated
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import in_100, number, out_of_100

NOT_USED, NOTHING_BEFORE, NOT_LOOKED = "not-used", "nothing-before", "not-looked"
NOBODY_WITHOUT, NOTHING_LEFT, TOO_FEW = "nobody-without", "nothing-left", "too-few"
"""Why it cannot be told yet."""


@dataclass(frozen=True, slots=True)
class Found:
    """Insects found alive over some days, and how long was looked."""

    insects: int = 0
    seconds: float = 0.0

    def __add__(self, other: "Found") -> "Found":
        return Found(self.insects + other.insects, self.seconds + other.seconds)


@dataclass(frozen=True, slots=True)
class Efficacy:
    """What a course achieved, as far as that can be told."""

    before_treated: int
    after_treated: int
    before_control: int
    after_control: int
    controls: int
    """plants that went without"""
    abbott: float | None
    henderson_tilton: float | None
    low: float | None
    """of the latter, 95 in 100"""
    high: float | None
    reason: str | None
    """code of why it cannot be told yet; None where it can"""
    found: int | None = None
    """insects found since the first use"""
    expected: float | None = None
    """that the sums expected at the same looks, from what was known before each"""

    @property
    def text(self) -> str:
        """What it achieved in words, or why that cannot be told yet."""
        ends = [out_of_100(min(1.0, max(0.0, end or 0.0))) for end in (self.low, self.high)]
        value = in_100(max(0.0, self.henderson_tilton or 0.0))
        said = {"value": value, "low": ends[0], "high": ends[1], "controls": self.controls}
        if self.reason is None:
            return words.say("courses.works.told", **said)
        why = words.say(f"courses.works.{self.reason}", **said)
        return words.say("courses.works.not-yet", why=why)

    @property
    def expected_text(self) -> str:
        """What was found beside what the sums expected; empty where nobody looked since."""
        if self.expected is None:
            return ""
        expected = number(round(self.expected, 1))
        return words.say("courses.works.expected", expected=expected, found=self.found)


Raw = dict[str, Any]


def works_key(record: PlantRecord) -> int:
    """What changes with all that the plants without it rest on; 0 where nothing was used."""
    # to read them all for a digest would take longer than a key may
    return record.logbook.file.last_number() if treated(record, record.on) else 0


def works_in_steps(record: PlantRecord) -> Generator[None, None, list[Raw]]:
    """What each course of a plant achieved, as plain data; in steps."""
    found: list[Raw] = []
    for course in courses_of(record):
        told = yield from efficacy_in_steps(record, course)
        if told is not None:
            found.append({"course": course.begun.id, **asdict(told)})
    return found


def read_works(kept: list[Raw]) -> dict[int, Efficacy]:
    """By the id of a course, what it achieved, in words too."""
    found = {}
    for raw in kept:
        told = {name: value for name, value in raw.items() if name != "course"}
        found[raw["course"]] = Efficacy(**told)
    return found


def efficacy_in_steps(
    record: PlantRecord, course: PlantCourse
) -> Generator[None, None, Efficacy | None]:
    """What a course achieved; None where no use of it is supposed to kill.

    It pauses often enough that no key press waits.
    """
    label, table = course.begun.label, record.table
    killing = [
        s for s in course.steps if kills_of(s.planned.kind, label, table, record.pest) is not None
    ]
    if not killing:
        return None
    used = sorted(step.done_on for step in killing if step.done_on is not None)
    if not used:
        return _not_told(NOT_USED)
    span = table.advice.works_days
    before = (used[0] - timedelta(days=span - 1), used[0])
    after = (used[-1] + timedelta(days=1), min(record.on, used[-1] + timedelta(days=span)))
    ours = _found(record, *before), _found(record, *after)
    controls = []
    for other in record.day.records.values():
        yield
        if _went_without(other, record, before[0], after[1]):
            controls.append((_found(other, *before), _found(other, *after)))
    seen = [pair for pair in controls if pair[0].insects and pair[1].seconds]
    theirs = _sum(pair[0] for pair in seen), _sum(pair[1] for pair in seen)
    told = _told(ours, theirs, len(seen))
    found, expected = yield from _foretold(record, used[0])
    return replace(told, found=found, expected=expected)


def _went_without(other: PlantRecord, record: PlantRecord, first: date, last: date) -> bool:
    """Whether another plant had finds then, and nothing was used on it."""
    if other.plant.id == record.plant.id or record.pest not in other.pests:
        return False
    had_finds = any(first <= day <= last for day in other.of_pest(record.pest).live_on)
    return had_finds and not any(used.day >= first for used in treated(other, last))


def _found(record: PlantRecord, first: date, last: date) -> Found:
    """What was found over some days, and how long was looked."""
    total = Found()
    if first > last:
        return total
    for look in record.looks_from(first):
        if first <= look.day <= last:
            zones = record.body_on(look.day).zones
            reference = next((z.reference_seconds for z in zones if z.zone == look.zone), 0.0)
            seconds = credited_seconds(look, reference, record.table.inspection)
            total += Found(look.live(record.pest), seconds)
    return total


def _sum(found: Iterable[Found]) -> Found:
    total = Found()
    for one in found:
        total += one
    return total


def _told(ours: tuple[Found, Found], theirs: tuple[Found, Found], controls: int) -> Efficacy:
    """By both formulas, from finds for the same time of looking."""
    raw = (ours[0].insects, ours[1].insects, theirs[0].insects, theirs[1].insects)
    reason = _reason(ours, theirs, controls)
    if reason is not None:
        return _not_told(reason, raw, controls)
    # finds are compared for as long a look: those of the longer one count for less
    scaled = Counts(
        raw[0],
        raw[1] * ours[0].seconds / ours[1].seconds,
        raw[2],
        raw[3] * theirs[0].seconds / theirs[1].seconds,
    )
    per_plant = replace(scaled, after_control=scaled.after_control / controls)
    worked, between = henderson_tilton(scaled), henderson_tilton_interval(scaled)
    is_told = worked is not None and between.low > 0
    reason = None if is_told else TOO_FEW
    return Efficacy(*raw, controls, abbott(per_plant), worked, between.low, between.high, reason)


def _reason(ours: tuple[Found, Found], theirs: tuple[Found, Found], controls: int) -> str | None:
    if not ours[0].insects or not ours[0].seconds:
        return NOTHING_BEFORE
    if not ours[1].seconds:
        return NOT_LOOKED
    if not controls or not theirs[0].seconds:
        return NOBODY_WITHOUT
    return None if theirs[1].insects else NOTHING_LEFT


def _not_told(
    reason: str, raw: tuple[int, int, int, int] = (0, 0, 0, 0), controls: int = 0
) -> Efficacy:
    return Efficacy(*raw, controls, None, None, None, None, reason)


def _foretold(
    record: PlantRecord, first: date
) -> Generator[None, None, tuple[int | None, float | None]]:
    """Insects found on the days with looks since the first use, and those expected there."""
    # slow to import, and needed only where a treatment was used
    from rounds.core.inference.foretold import days_foretold, shows_anything
    from rounds.core.inference.observed import ImpossibleEntry
    from rounds.core.inference.scale import ChanceOutOfRange

    evidence = record.likely.evidence()
    since = (first - evidence.begins).days
    looked = sum(shows_anything(day) for day in evidence.log.days[max(0, since + 1) :])
    if not looked:
        return None, None
    try:
        days = yield from days_foretold(evidence.log, min(looked, record.table.advice.works_looked))
    except (ImpossibleEntry, ChanceOutOfRange):
        return None, None
    counted = [day for day in days if day.number > since]
    expected = sum(k * chance for day in counted for k, chance in enumerate(day.chances))
    return sum(day.found for day in counted), expected

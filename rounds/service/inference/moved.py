"""Why the day on which a plant may leave has moved: what it rested on then, and now."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from rounds import words
from rounds.core.changes import ChangedValue
from rounds.core.quarantine.criteria import MEDIUM_AND_ROOTS, QuarantineHistory
from rounds.core.quarantine.interval import usual_interval
from rounds.service.logbook.changed_text import bearing_on
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import calendar_day, day_month, temperature

MOVED_BY_DAYS = 3
"""days by which it may move without anything being said: an assumption"""
TOLD_WITHIN_DAYS = 7
"""days after which what was told is too old to be compared with: an assumption"""
WARMER_BY_C = 0.5
"""degC by which the mean of the last days must differ to be named as a cause: an assumption"""
EYE_BY = 0.05
"""by which what is learned of the own eye must differ to be named as a cause: an assumption"""
NEARLY_NONE = 1e-3
"""crawlers a day from neighbours up to which a change of them is no cause: an assumption"""
MOST_CAUSES = 2


@dataclass(frozen=True, slots=True)
class RestsOn:
    """What the day on which a plant may leave rested on when it was worked out."""

    on: date
    ready_on: date | None
    began_on: date
    """of the quarantine"""
    found_on: date | None
    rules: str
    """the setting of the criteria by name"""
    every_days: int
    """between complete looks"""
    seen_on: date | None
    """last complete look"""
    roots_on: date | None
    """when the looks at the roots were expected to be enough"""
    root_looks: int
    """how many of them counted"""
    mean_c: float
    from_near: float
    """crawlers reckoned to have come from infested neighbours on that day"""
    values: tuple[tuple[str, float], ...] = ()
    """those changed by the grower, by code; a result kept by an earlier version names none"""
    eye: float = 1.0
    """how fast the grower finds, times what is assumed; an earlier version keeps none"""


@dataclass(frozen=True, slots=True)
class Moved:
    """The day moved."""

    told_on: date
    was: date | None
    """the day that was told then; None where there was none"""
    text: str


def rests_on(record: PlantRecord, history: QuarantineHistory) -> dict[str, Any]:
    """What the days of a plant rest on, as it is kept beside them."""
    roots = next(c for c in record.criteria if c.code == MEDIUM_AND_ROOTS)
    return {
        "on": record.on.isoformat(),
        "began_on": history.began_on.isoformat(),
        "found_on": history.last_live_on and history.last_live_on.isoformat(),
        "rules": record.rules.name,
        "every_days": usual_interval(history.days, record.on, record.away),
        "seen_on": record.last_complete_look_on and record.last_complete_look_on.isoformat(),
        "root_looks": int(roots.have or 0),
        "mean_c": record.temperatures.mean_c(record.lived, record.on),
        "from_near": record.likely.facts.neighbours.get(record.on, 0.0),
        "values": [(changed.code, changed.value) for changed in _changed(record)],
        "eye": record.parameters.detection_times,
    }


def _changed(record: PlantRecord) -> tuple[ChangedValue, ...]:
    return bearing_on(record.day.changed_values, record.pests, record.rules.name)


def moved_from(then: dict[str, Any], now: dict[str, Any]) -> Moved | None:
    """What moved the day between two results that are kept; None where it moved little."""
    if "rests_on" not in then or "rests_on" not in now:
        return None
    was, is_now = _read(then), _read(now)
    is_old = (is_now.on - was.on).days > TOLD_WITHIN_DAYS
    if is_old or was.began_on != is_now.began_on or not _is_far(was.ready_on, is_now.ready_on):
        return None
    causes = list(_causes(was, is_now))[:MOST_CAUSES]
    why = words.say("forms.and").join(causes or [words.say("why.moved.entries")])
    told = day_month(was.on, is_now.on)
    if was.ready_on is None:
        return Moved(was.on, None, words.say("why.moved.none-was", told=told, why=why))
    day = calendar_day(was.ready_on, is_now.on)
    return Moved(was.on, was.ready_on, words.say("why.moved.was", day=day, told=told, why=why))


def _is_far(was: date | None, now: date | None) -> bool:
    if was is None or now is None:
        return was != now
    return abs((now - was).days) > MOVED_BY_DAYS


def _causes(was: RestsOn, now: RestsOn) -> Iterator[str]:
    """What changed that may have moved it, weightiest first."""
    is_later = now.ready_on is None or (was.ready_on is not None and now.ready_on > was.ready_on)
    if now.found_on is not None and now.found_on != was.found_on and is_later:
        # it starts all clocks again
        yield words.say("why.moved.found", day=day_month(now.found_on, now.on))
        return
    # a later one that puts nothing off is no cause, and no sign that one was withdrawn
    if was.found_on is not None and (now.found_on is None or now.found_on < was.found_on):
        yield words.say("why.moved.no-find")
    if now.rules != was.rules:
        yield words.say("why.moved.rules", rules=now.rules)
    else:
        yield from _roots(was, now, is_later=is_later)
    if now.values != was.values:
        yield words.say("why.moved.values")
    yield from _looks(was, now, is_later=is_later)
    if abs(now.mean_c - was.mean_c) >= WARMER_BY_C and (now.mean_c < was.mean_c) is is_later:
        code = "colder" if is_later else "warmer"
        mean, before = temperature(now.mean_c), temperature(was.mean_c)
        yield words.say(f"why.moved.{code}", mean=mean, was=before)
    if abs(now.eye - was.eye) >= EYE_BY and (now.eye < was.eye) is is_later:
        yield words.say(f"why.moved.{'eye-poorer' if is_later else 'eye-better'}")
    more_near = now.from_near - was.from_near
    if abs(more_near) > NEARLY_NONE and (more_near > 0) is is_later:
        yield words.say(f"why.moved.{'nearby' if is_later else 'nearby-less'}")


def _roots(was: RestsOn, now: RestsOn, *, is_later: bool) -> Iterator[str]:
    if now.root_looks > was.root_looks and not is_later:
        yield words.say("why.moved.roots-seen")
    missed = was.roots_on is not None and was.on < was.roots_on < now.on
    if missed and is_later and was.roots_on != now.roots_on and was.roots_on is not None:
        yield words.say("why.moved.roots-missed", day=day_month(was.roots_on, now.on))


def _looks(was: RestsOn, now: RestsOn, *, is_later: bool) -> Iterator[str]:
    if is_later and now.every_days > was.every_days:
        every, before = _every(now.every_days), _every(was.every_days)
        yield words.say("why.moved.rarer", days=every, was=before)
    elif is_later and now.seen_on is not None:
        since = (now.on - now.seen_on).days
        if since > now.every_days:
            yield words.say("why.moved.missed", day=day_month(now.seen_on, now.on))
    elif not is_later and now.every_days < was.every_days:
        yield words.say("why.moved.oftener", days=_every(now.every_days))


def _every(days: int) -> str:
    return words.say("why.every-day") if days == 1 else words.say("why.every", days=days)


def _read(kept: dict[str, Any]) -> RestsOn:
    told: dict[str, Any] = kept["rests_on"]
    days = {name: _day(told[name]) for name in ("found_on", "seen_on")}
    whole = {name: date.fromisoformat(told[name]) for name in ("on", "began_on")}
    roots_on, ready_on = _day(kept["criteria"][MEDIUM_AND_ROOTS]), _day(kept["ready_on"])
    values = tuple((code, value) for code, value in told.get("values", ()))
    roots = {"roots_on": roots_on, "ready_on": ready_on}
    return RestsOn(**{**told, **days, **whole, **roots, "values": values})


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None

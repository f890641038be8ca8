"""What comes of something supposed, in words."""

import math
from collections.abc import Iterator
from datetime import date

from rounds import words
from rounds.core.quarantine.criteria import COURSES
from rounds.service.what_if.supposing import (
    ALL_STAY,
    AS_IT_GOES,
    NONE_COMES,
    CriterionThen,
    Supposition,
    Usual,
    WhatIf,
)
from rounds.words.forms import (
    codes_text,
    day_month,
    days_text,
    number,
    temperature,
)
from rounds.words.pests import pest_name

LOOKS, SECONDS, WARMTH, COURSE, ROOTS, NEIGHBOURS = (
    "looks", "seconds", "warmth", "course", "roots", "neighbours"
)  # fmt: skip


def outcome_text(found: Supposition) -> str:
    """The day as it would be against the day as it goes, in one sentence."""
    as_is, would_be = found.as_is, found.would_be
    said = {"as_is": _day(as_is, found.on), "would_be": _day(would_be, found.on)}
    if found.what == AS_IT_GOES:
        return words.say("what_if.as-it-goes" if as_is else "what_if.as-it-goes-none", **said)
    if as_is is None or would_be is None:
        return words.say(f"what_if.{_change(as_is, would_be)}", **said)
    days = (would_be - as_is).days
    code = "same" if not days else "sooner" if days < 0 else "later"
    return words.say(f"what_if.{code}", **said, days=days_text(abs(days)))


def _change(as_is: date | None, would_be: date | None) -> str:
    if would_be is not None:
        return "now-a-date"
    return "none-either" if as_is is None else "no-date-then"


def _day(day: date | None, on: date) -> str:
    return "" if day is None else day_month(day, on)


def reason_texts(found: Supposition) -> Iterator[str]:
    """Why: what comes last, what is too short, what is supposed of neighbours, what to mind."""
    last = deciding(found)
    if found.is_complete and last:
        names = ", ".join(words.say(f"quarantine.short.{each.code}") for each in last)
        yield words.say("what_if.last", names=names)
    yield from mind_texts(found)


def mind_texts(found: Supposition) -> Iterator[str]:
    """The same without what comes last, which a page shows by its order."""
    if not found.is_complete:
        least = time_text(math.ceil(found.usual.least_seconds))
        yield words.say("what_if.too-short", least=least)
    elif found.roots_on is not None and found.roots_count_from is not None:
        is_next = (found.roots_on - found.on).days == 1
        on = _day(found.roots_on, found.on)
        when = words.say("what_if.value.roots-tomorrow") if is_next else on
        day = _day(found.roots_count_from, found.on)
        yield words.say("what_if.roots-later", when=when, day=day)
    if found.pest is not None:
        yield words.say("what_if.pest", pest=pest_name(found.pest))
    near = codes_text(found.usual.neighbours)
    if found.what.neighbours != NONE_COMES:
        stays = found.stays_on
        code = "stays" if stays else "stays-none"
        yield words.say(f"what_if.{code}", codes=near, day=_day(stays, found.on))
    elif near:
        yield words.say("what_if.none-comes", codes=near)
    if found.above_c is not None:
        yield words.say("what_if.above", above=temperature(found.above_c))
    yield from found.cautions


def deciding(found: Supposition) -> list[CriterionThen]:
    """The criteria that are met last and so name the day; where there is none those without one."""
    return [each for each in found.criteria if each.would_be == found.would_be]


def criteria_in_order(found: Supposition) -> list[CriterionThen]:
    """The criteria a page shows, what decides first; courses where one is under way or supposed."""
    first = deciding(found)
    shown = [c for c in found.criteria if c.code != COURSES or not _is_settled(c, found.on)]
    return sorted(shown, key=lambda each: each not in first)


def _is_settled(each: CriterionThen, on: date) -> bool:
    return each.is_met and each.would_be == on


def criterion_text(each: CriterionThen, on: date) -> tuple[str, str, str]:
    """A criterion, the day it is met as it goes, and as it would be."""
    name = words.say(f"quarantine.criteria.{each.code}")
    as_is, would_be = (_due(each, day, on) for day in (each.as_is, each.would_be))
    return name, as_is, would_be


def _due(each: CriterionThen, day: date | None, on: date) -> str:
    if day is None:
        return words.say("screens.release.no-day")
    is_met = each.is_met and day == on
    if is_met and each.code == COURSES:
        return words.say("what_if.value.no-course-running")
    return words.say("screens.release.met") if is_met else day_month(day, on)


def supposed_text(what: WhatIf, usual: Usual, line: str) -> str:
    """What is supposed of one thing, where it is not as it goes; else as it goes."""
    said = {
        LOOKS: what.looks_a_week is not None,
        SECONDS: what.seconds is not None,
        WARMTH: what.celsius is not None,
        COURSE: what.course is not None,
        ROOTS: what.roots,
        NEIGHBOURS: what.neighbours != NONE_COMES,
    }
    return _otherwise(what, usual, line) if said[line] else usual_text(usual, line)


def _otherwise(what: WhatIf, usual: Usual, line: str) -> str:
    if line == COURSE:
        return dict(usual.courses).get(what.course or "", what.course or "")
    if line == ROOTS:
        return words.say("what_if.value.roots-tomorrow")
    if line == NEIGHBOURS:
        code = "stay" if what.neighbours == ALL_STAY else "away"
        return words.say(f"what_if.value.{code}", code=what.neighbours)
    values = {
        LOOKS: number(what.looks_a_week or 0.0),
        SECONDS: time_text(what.seconds or 0.0),
        WARMTH: temperature(what.celsius or 0.0),
    }
    return values[line]


def usual_text(usual: Usual, line: str) -> str:
    """How one thing is as it goes."""
    values = {
        LOOKS: number(usual.looks_a_week),
        SECONDS: time_text(usual.seconds),
        WARMTH: temperature(usual.celsius),
        COURSE: words.say("what_if.value.no-course"),
        ROOTS: words.say("what_if.value.roots-when-due"),
        NEIGHBOURS: words.say("what_if.value.none"),
    }
    return values[line]


def time_text(seconds: float) -> str:
    """25 s, 5 min, 2 min 28 s: a time that is said, and no clock."""
    # a rounding error of a sum shows no second less
    minutes, left = divmod(int(seconds + 1e-6), 60)
    code = "minutes-seconds" if minutes and left else "minutes" if minutes else "seconds"
    return words.say(f"what_if.value.{code}", minutes=minutes, seconds=left)

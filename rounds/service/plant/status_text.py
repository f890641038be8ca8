"""How a plant at the end of a day is told in a few words: its place, its standing, its risk."""

from typing import TYPE_CHECKING

from rounds import words
from rounds.core.plan.score import PlantRisk
from rounds.core.quarantine.streak import Streak
from rounds.service.plant.status import PlantStatus
from rounds.words.forms import calendar_day, days_text, likely_clean, looks_text

if TYPE_CHECKING:
    # slow to load, and not needed where nothing is told of it
    from rounds.service.inference.why import HoldsDown

LEAST_TOLD = 0.5
"""points of 100 from which a reason is told in words"""
MOST_HELD, MOST_SOONER = 3, 3
"""how many are told in a line"""


def where_text(status: PlantStatus) -> str:
    """Place and spot in words: stair foot, spot 3."""
    place = status.place or ""
    if not status.spot:
        return place
    return words.say("round.place-and-spot", place=place, spot=status.spot)


def standing_text(status: PlantStatus) -> str:
    """Standing in words: apart, day 19; on watch; in the collection."""
    return words.say(f"round.standing.{status.standing}", days=status.days_standing)


def streak_text(status: PlantStatus) -> str:
    """Streak in words: streak 4 looks, 5 days."""
    return streak_words(status.streak)


def streak_words(streak: Streak) -> str:
    """The same of a streak that has gone on since."""
    return words.say("round.streak", looks=looks_text(streak.looks), days=days_text(streak.days))


def clean_text(status: PlantStatus) -> str:
    """Chance clean in words: likely clean 92 in 100."""
    if status.chance_clean is None:
        return words.say("calculating.clean")
    return likely_clean(status.chance_clean)


def told_held(status: PlantStatus) -> "list[HoldsDown]":
    """What holds its chance clean down; what makes less than half a point is not told."""
    if status.why is None:
        return []
    return [held for held in status.why.holds_down if held.points >= LEAST_TOLD]


def is_held_together(status: PlantStatus) -> bool:
    """Whether so much was found that taking one thing away alone leaves all as it is."""
    low = status.chance_clean is not None and 100 * status.chance_clean < 100 - LEAST_TOLD
    found = status.why is not None and status.last_find_on is not None
    return found and low and not told_held(status)


def held_line(status: PlantStatus, width: int | None = None) -> str:
    """What holds it down in a line: the largest, and two further ones where these fit in whole.

    Args:
        status: of the plant.
        width: of the line; without one, it is told in full.
    """
    if is_held_together(status):
        return words.say("why.held-together")
    told = [_held_text(held, width) for held in told_held(status)[:MOST_HELD]]
    for first in range(len(told), 0, -1):
        line = words.say("why.held-down", reasons=_listed(_points_once(told[:first])))
        if width is None or first == 1 or len(line) <= width:
            return line
    return ""


def sooner_texts(status: PlantStatus) -> list[str]:
    """What would bring its day nearer, each with the day it would give: looks daily, 21 May."""
    if status.why is None:
        return []
    return [
        words.say("why.gives", text=way.text, day=calendar_day(way.expected_on, status.on))
        for way in status.why.sooner
    ]


def sooner_line(status: PlantStatus, width: int | None = None) -> str:
    """The earliest of these in a line, as many as fit."""
    texts = sooner_texts(status)[:MOST_SOONER]
    for first in range(len(texts), 0, -1):
        line = words.say("why.sooner-line", ways=_listed(texts[:first]))
        if width is None or first == 1 or len(line) <= width:
            return line
    return ""


def moved_line(status: PlantStatus) -> str:
    """What moved the day on which it may leave, where it moved far."""
    moved = status.why and status.why.moved
    return moved.text if moved else ""


def _listed(texts: list[str]) -> str:
    return words.say("forms.and").join(texts)


def _held_text(held: "HoldsDown", width: int | None) -> tuple[str, int]:
    return held.text if width is None else held.brief, round(held.points)


def _points_once(told: list[tuple[str, int]]) -> list[str]:
    """Reasons with their points, the word for these said once."""
    found = []
    for number, (text, points) in enumerate(told):
        code = "further" if number else "point" if points == 1 else "points"
        found.append(words.say(f"why.{code}", text=text, points=points))
    return found


def risk_text(status: PlantStatus) -> str:
    """Risk in words: risk 41, look first."""
    if status.risk is None:
        return words.say("calculating.risk")
    return words.say("forms.risk", value=round(status.risk.value), word=status.risk.word)


def risk_short(status: PlantStatus) -> str:
    """risk 41; nothing while it is not known, where there is little room."""
    return "" if status.risk is None else risk_text(status).partition(",")[0]


def risk_parts(risk: PlantRisk | None) -> str:
    """risk 33 is made of young 22, laying adults 7, eggs 3; without what rounds to nothing."""
    if risk is None:
        return ""
    parts = [
        words.say("forms.risk-part", what=words.say(f"risk.parts.{part.code}"), value=value)
        for part in risk.parts
        if (value := round(part.value))
    ]
    if not parts:
        return words.say("forms.risk-small", value=round(risk.value))
    return words.say("forms.risk-parts", value=round(risk.value), parts=", ".join(parts))

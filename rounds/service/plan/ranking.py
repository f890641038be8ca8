"""All plants in a line: who is looked at first, in other orders, and which of them."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from rounds.service.plan.today import DayPlan
from rounds.service.plant.status import PlantStatus

BEFORE_ALL = date.min
"""The day that stands for never in the orders."""


@dataclass(frozen=True, slots=True)
class PlantLine:
    """One plant of the ranking."""

    status: PlantStatus
    position: int
    """from 1, in the order in which a round takes plants when not all fit"""
    is_planned: bool
    """in the plan of the day"""
    waits: bool
    """left to the next day, as the minutes do not reach it; seen today if neither"""


@dataclass(frozen=True, slots=True)
class Ranking:
    """Every plant that is here at the end of `on`, first to be looked at first."""

    on: date
    lines: tuple[PlantLine, ...]


def rank(statuses: Iterable[PlantStatus], plan: DayPlan | None, on: date) -> Ranking:
    """The plants of a day in their order, with what its plan says of them where it is made."""
    planned = {found.status.plant_id for found in plan.plan} if plan else set()
    waiting = plan.waiting if plan else set()
    lines = (
        PlantLine(status, position, status.plant_id in planned, status.plant_id in waiting)
        for position, status in enumerate(statuses, 1)
    )
    return Ranking(on, tuple(lines))


def _by_need(line: PlantLine) -> tuple[object, ...]:
    return (line.position,)


def _by_name(line: PlantLine) -> tuple[object, ...]:
    return line.status.name.casefold(), line.status.code.casefold()


def _by_streak(line: PlantLine) -> tuple[object, ...]:
    return line.status.streak.looks, line.status.streak.days, line.position


def _by_last_look(line: PlantLine) -> tuple[object, ...]:
    return line.status.last_look_on or BEFORE_ALL, line.position


def _by_last_find(line: PlantLine) -> tuple[object, ...]:
    return -(line.status.last_find_on or BEFORE_ALL).toordinal(), line.position


def _by_place(line: PlantLine) -> tuple[object, ...]:
    place, spot = line.status.place or "", line.status.spot or ""
    return not place, place.casefold(), _with_figures(spot), line.position


def _with_figures(text: str) -> tuple[tuple[int, str], ...]:
    """Sort key of a text that compares its numbers as numbers: spot 10 after spot 9."""
    parts = re.split(r"([0-9]+)", text.casefold())
    return tuple((int(part), "") if part.isdecimal() else (-1, part) for part in parts)


def in_need(statuses: Iterable[PlantStatus]) -> list[PlantStatus]:
    """Plants in order of need: those due, by their claim, then by risk; ties by code.

    Risks that are not worked out yet come last.
    """
    return sorted(statuses, key=lambda s: (s.claim.order, _least_risk(s), s.code.casefold()))


def by_risk(statuses: Iterable[PlantStatus]) -> list[PlantStatus]:
    """Greatest risk first; ties by code."""
    return sorted(statuses, key=lambda s: (_least_risk(s), s.code.casefold()))


def _least_risk(status: PlantStatus) -> float:
    return 1.0 if status.risk is None else status.risk.place


def _by_risk(line: PlantLine) -> tuple[object, ...]:
    return _least_risk(line.status), line.status.code.casefold()


ORDERS: dict[str, Callable[[PlantLine], tuple[object, ...]]] = {
    "risk": _by_risk,
    "need": _by_need,
    "name": _by_name,
    "streak": _by_streak,
    "last-look": _by_last_look,
    "last-find": _by_last_find,
    "place": _by_place,
}
"""By code: greatest risk first, the usual one; as the round goes; shortest streak, longest unseen,
newest find first; name; place."""

CHOICES: dict[str, Callable[[PlantLine], bool]] = {
    "all": lambda line: True,
    "planned": lambda line: line.is_planned,
    "waiting": lambda line: line.waits,
    "apart": lambda line: line.status.standing == "quarantine",
    "watch": lambda line: line.status.standing == "watch",
    "doubts": lambda line: line.status.open_doubts > 0,
    "collection": lambda line: line.status.standing == "collection",
}
"""By code: which plants; planned for today, left to tomorrow, by standing, with open doubts."""


def sorted_lines(lines: Iterable[PlantLine], order: str) -> list[PlantLine]:
    """Lines in one of ORDERS. KeyError for another."""
    return sorted(lines, key=ORDERS[order])


def chosen_lines(lines: Iterable[PlantLine], which: str) -> list[PlantLine]:
    """Lines that one of CHOICES takes, in the order given. KeyError for another."""
    return [line for line in lines if CHOICES[which](line)]


def matching_lines(lines: Sequence[PlantLine], typed: str) -> list[PlantLine]:
    """The one plant of a code; else all whose code begins so, or whose name holds it. No case."""
    wanted = typed.casefold()
    exact = [line for line in lines if line.status.code.casefold() == wanted]
    return exact or [
        line
        for line in lines
        if line.status.code.casefold().startswith(wanted) or wanted in line.status.name.casefold()
    ]

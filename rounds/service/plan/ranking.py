"""All plants in a line: who is looked at first, in other orders, and which of them."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from rounds.core.plan.score import PlantRisk
from rounds.core.quarantine.streak import Streak
from rounds.service.plan.today import DayPlan, reasons_for
from rounds.service.plant.record import PlantRecord, found_lately
from rounds.service.plant.record_text import standing_text, where_text

BEFORE_ALL = date.min
"""Where a day that never was comes in the orders."""


@dataclass(frozen=True, slots=True)
class PlantLine:
    """One plant of the ranking. All but the fields is taken from the record when asked for."""

    record: PlantRecord
    position: int
    """from 1, in the order in which a round takes plants when not all fit"""
    place: str
    spot: str
    is_planned: bool
    """in the plan of the day"""
    waits: bool
    """left to the next day, as the minutes do not reach it; seen today if neither"""

    @property
    def plant_id(self) -> int:
        """Which plant."""
        return self.record.plant.id

    @property
    def code(self) -> str:
        """Its code."""
        return self.record.plant.code

    @property
    def name(self) -> str:
        """What the grower calls it."""
        return self.record.name()

    @property
    def standing(self) -> str:
        """In quarantine, on watch or in the collection."""
        return self.record.standing

    @property
    def standing_text(self) -> str:
        """apart, day 19."""
        return standing_text(self.record)

    @property
    def where(self) -> str:
        """stair foot, spot 3."""
        return where_text(self.record)

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why it comes where it does, in sentences, the weightiest first."""
        return tuple(reason.text for reason in reasons_for(self.record))

    @property
    def streak(self) -> Streak:
        """Complete clean looks in a row, for the pest that binds."""
        return self.record.streak

    @property
    def last_look_on(self) -> date | None:
        """The last day any zone was looked at."""
        return self.record.last_look_on

    @property
    def last_find_on(self) -> date | None:
        """The last day anything was found alive."""
        return self.record.last_find_on

    @property
    def is_found_lately(self) -> bool:
        """The last find counts as recent."""
        return found_lately(self.record)

    @property
    def open_doubts(self) -> int:
        """Doubtful specks nobody has settled."""
        return sum(doubt.count for doubt in self.record.open_doubts)

    @property
    def earliest(self) -> date | None:
        """The first day it may rejoin; None outside quarantine too, or where none is in sight."""
        return self.record.forecast.ready_on if self.record.forecast else None

    @property
    def risk(self) -> PlantRisk:
        """What leaving it alone may cost."""
        return self.record.likely.risk

    @property
    def watched_until(self) -> date | None:
        """When its watch ends; None without one, or beyond reckoning."""
        return self.record.watch_until


@dataclass(frozen=True, slots=True)
class Ranking:
    """Every plant that is here at the end of `on`, first to be looked at first."""

    on: date
    lines: tuple[PlantLine, ...]


def rank(day: DayPlan) -> Ranking:
    """The plants of a day's plan, in its own order; nothing of the plan is computed again."""
    planned = {plant.record.plant.id for plant in day.plan}
    waiting = {left.record.plant.id for left in day.left_out}
    # asked for once: the collection looks into the file each time
    places = day.records[0].logbook.collection().places if day.records else {}
    lines = []
    for position, record in enumerate(day.records, 1):
        move = record.plant.move_on(day.on)
        line = PlantLine(
            record=record,
            position=position,
            place=places[move.place_id].name if move else "",
            spot=(move.spot or "") if move else "",
            is_planned=record.plant.id in planned,
            waits=record.plant.id in waiting,
        )
        lines.append(line)
    return Ranking(day.on, tuple(lines))


def _by_need(line: PlantLine) -> tuple[object, ...]:
    return (line.position,)


def _by_name(line: PlantLine) -> tuple[object, ...]:
    return line.name.casefold(), line.code.casefold()


def _by_streak(line: PlantLine) -> tuple[object, ...]:
    return line.streak.looks, line.streak.days, line.position


def _by_last_look(line: PlantLine) -> tuple[object, ...]:
    return line.last_look_on or BEFORE_ALL, line.position


def _by_last_find(line: PlantLine) -> tuple[object, ...]:
    return -(line.last_find_on or BEFORE_ALL).toordinal(), line.position


def _by_place(line: PlantLine) -> tuple[object, ...]:
    return not line.place, line.place.casefold(), _with_figures(line.spot), line.position


def _with_figures(text: str) -> tuple[tuple[int, str], ...]:
    """Text so that spot 10 comes after spot 9."""
    parts = re.split(r"([0-9]+)", text.casefold())
    return tuple((int(part), "") if part.isdecimal() else (-1, part) for part in parts)


def _by_risk(line: PlantLine) -> tuple[object, ...]:
    return -line.risk.value, line.code.casefold()


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
    "apart": lambda line: line.standing == "quarantine",
    "watch": lambda line: line.standing == "watch",
    "doubts": lambda line: line.open_doubts > 0,
    "collection": lambda line: line.standing == "collection",
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
    exact = [line for line in lines if line.code.casefold() == wanted]
    return exact or [
        line
        for line in lines
        if line.code.casefold().startswith(wanted) or wanted in line.name.casefold()
    ]

"""The risk of a plant in the list of all: what it is, what it was, and bars of what makes it up."""

from dataclasses import dataclass

from rounds import words
from rounds.core.plan.score import PlantRisk
from rounds.service.plant.before import Before
from rounds.tui.page import MIDDLE, Page, Role
from rounds.tui.pages.list_room import Room
from rounds.tui.pages.parts import say

STEP = 13
"""Distance of the columns of the list, the same as that of the keys."""

NAMES_LONGER_FROM, ALL_FROM = 94, 112
RISK_WIDTH, WAS_WIDTH, BARS_AFTER = 4, 6, 4
BAR, BAR_COLUMNS = "\u2584", 24
"""The lower half of a cell, so that bars of two rows do not touch."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Where what is told of a plant begins, where its figures end, where the bars begin."""

    told: tuple[int, ...]
    risk_end: int
    was_end: int
    bars: int


def columns_of(page: Page) -> Columns:
    """The columns of a wide page; with room three things are told of each plant, else one."""
    start = MIDDLE + (STEP if page.width >= NAMES_LONGER_FROM else 0)
    count = 3 if page.width >= ALL_FROM else 1
    risk_end = start + STEP * count + RISK_WIDTH - 1
    was_end = risk_end + WAS_WIDTH
    told = tuple(start + STEP * number for number in range(count))
    return Columns(told, risk_end, was_end, was_end + BARS_AFTER)


def head_of(what: str) -> str:
    """What a column tells, over it."""
    heads = {"last-look": "look", "last-find": "find", "streak": "streak"}
    if what in heads:
        return say(f"plants.column-{heads[what]}")
    return words.say(f"origins.ranking.{'place' if what == 'place' else 'look'}")


def value_of(risk: PlantRisk | None) -> str:
    """The risk; two points until it is worked out."""
    return words.say("origins.ranking.working") if risk is None else str(round(risk.value))


def word_of(risk: PlantRisk | None) -> str:
    """The word of a risk: first, today, or can wait."""
    if risk is None:
        return words.say("origins.ranking.working")
    codes = {"look first": "first", "today": "today", "can wait": "can-wait"}
    return words.say(f"origins.ranking.{codes[risk.word]}")


def was_text(before: Before | None, plant_id: int) -> tuple[str, Role]:
    """The risk at the end of the last round; two points until it is worked out."""
    if before is None or before.on is None:
        return "", "quiet"
    if not before.is_known(plant_id):
        return words.say("origins.ranking.working"), "quiet"
    was = before.changes[plant_id].was
    return (words.say("origins.ranking.new"), "quiet") if was is None else (str(round(was)), "ink")


def put_bars(page: Page, row: int, edge: int, room: Room, risk: PlantRisk | None) -> None:
    """What the risk is made of, each part with its word, its figure and a bar."""
    if risk is None:
        page.put(row, edge, words.say("calculating.risk"), "quiet", until=page.width)
        return
    shown = [part for part in risk.parts if round(part.value)]
    value = round(risk.value)
    code = "made-of" if shown else "made-small"
    page.put(
        row, edge, words.say(f"origins.ranking.{code}", value=value), "quiet", until=page.width
    )
    if not shown:
        return
    rows = 3 if len(shown) * 3 <= room.rows else 2
    end = edge + BAR_COLUMNS + 1
    for number, part in enumerate(shown):
        top = room.first + number * rows
        if top + 1 >= room.first + room.rows:
            return
        figure = str(round(part.value))
        page.put(top, edge, words.say(f"risk.parts.{part.code}"), until=end - len(figure) - 1)
        page.put_right(top, end, figure)
        page.put(top + 1, edge, BAR * max(1, round(BAR_COLUMNS * part.value / risk.value)))


def parts_behind(risk: PlantRisk | None) -> list[tuple[str, str]]:
    """The same without bars, for the help of a page that has no room for them."""
    if risk is None:
        return []
    parts = [
        (words.say(f"risk.parts.{part.code}"), str(value))
        for part in risk.parts
        if (value := round(part.value))
    ]
    total = words.say("origins.ranking.made-of", value=round(risk.value))
    return [(total, ""), *parts]

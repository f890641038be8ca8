"""Why a figure is what it is: lines for a page with few rows, columns for a large one."""

from rich.cells import cell_len

from rounds import words
from rounds.service.inference.why import HoldsDown
from rounds.service.logbook.changed_text import changed_text
from rounds.service.plant.status import PlantStatus
from rounds.service.plant.status_text import (
    band_line,
    held_line,
    holds_line,
    is_held_together,
    lacking_texts,
    misfit_line,
    moved_line,
    sooner_line,
    told_held,
    ways_told,
)
from rounds.tui.page import FIRST, THIRD, Page

POINTS_END = 50
GIVES_END = 105
MOST = 4
"""reasons in the columns of a large page"""


def why_lines(status: PlantStatus, width: int) -> list[str]:
    """Which looks are still wanted, what was changed, what moved its day, what holds its chance
    down, what would be sooner, whether its finds fit: a line each.
    """
    lines = (
        *(lacking_texts(status.release) if status.release else ()),
        changed_text(status.changed_values),
        moved_line(status),
        held_or_calculating(status, width),
        sooner_line(status, width),
        holds_line(status),
        misfit_line(status),
    )
    return [line for line in lines if line]


def held_or_calculating(status: PlantStatus, width: int) -> str:
    """What holds its chance clean down; that this is being worked out; nothing where it is gone."""
    if status.why is None:
        return words.say("why.calculating") if status.standing != "gone" else ""
    return held_line(status, width)


def put_why(page: Page, row: int, status: PlantStatus) -> int:
    """The same in columns, all reasons of note; the row after them, `row` where there are none."""
    held = told_held(status)[:MOST]
    sooner = ways_told(status)[:MOST]
    is_together = is_held_together(status)
    if not held and not sooner and not is_together:
        return row
    if held or is_together:
        code = "head-held-several" if len(held) > 1 else "head-held"
        page.put(row, FIRST, words.say(f"why.{code}"), "quiet")
    if is_together:
        page.put(row + 1, FIRST + 2, words.say("why.together"), until=THIRD - 1)
    for number, reason in enumerate(held, row + 1):
        points = _points(reason)
        room = POINTS_END - FIRST - 3 - cell_len(points)
        text = reason.text if cell_len(reason.text) <= room else reason.brief
        page.put(number, FIRST + 2, text, until=FIRST + 2 + room)
        page.put_right(number, POINTS_END, points)
    if sooner:
        page.put(row, THIRD, words.say("why.head-sooner"), "quiet")
    below = row + 1
    for text, day in sooner:
        page.put_right(below, GIVES_END, day)
        until = GIVES_END - len(day) - 1 if day else page.until
        below += page.put_wrapped(below, THIRD + 2, text, until=until)
    return max(row + 1 + max(len(held), int(is_together)), below)


def why_behind(status: PlantStatus) -> list[tuple[str, str]]:
    """All of it for a page of help: points and reasons, then days and what would give them."""
    removal = status.why.removal if status.why else ""
    told = (misfit_line(status), band_line(status), removal)
    beside = [(line, "") for line in told if line]
    held = [(_points(reason), reason.text) for reason in told_held(status)]
    sooner = [(day, text) for text, day in ways_told(status)]
    head = [(words.say("why.brief-held"), "")] if held else []
    head_sooner = [(words.say("why.brief-sooner"), "")] if sooner else []
    return [*beside, *head, *held, *head_sooner, *sooner]


def _points(reason: HoldsDown) -> str:
    points = round(reason.points)
    return words.say("why.of-100-one" if points == 1 else "why.of-100", points=points)

"""Why a figure is what it is: lines for a page with few rows, columns for a large one."""

from rich.cells import cell_len

from rounds import words
from rounds.service.inference.why import HoldsDown
from rounds.service.logbook.changed_text import changed_text
from rounds.service.plant.status import PlantStatus
from rounds.service.plant.status_text import (
    held_line,
    is_held_together,
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
    """What was changed, what moved its day, what holds its chance down, what would be sooner."""
    if status.why is None:
        held = words.say("why.calculating") if status.standing != "gone" else ""
    else:
        held = held_line(status, width)
    changed = changed_text(status.changed_values)
    lines = [changed, moved_line(status), held, sooner_line(status, width)]
    return [line for line in lines if line]


def put_why(page: Page, row: int, status: PlantStatus) -> int:
    """The same in columns, all reasons of note; the row after them, `row` where there are none."""
    held = told_held(status)[:MOST]
    sooner = ways_told(status)[:MOST]
    is_together = is_held_together(status)
    if not held and not sooner and not is_together:
        return row
    if held or is_together:
        page.put(row, FIRST, words.say("why.head-held"), "quiet")
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
    for number, (text, day) in enumerate(sooner, row + 1):
        page.put(number, THIRD + 2, text, until=GIVES_END - len(day) - 1)
        page.put_right(number, GIVES_END, day)
    return row + 1 + max(len(held), len(sooner), int(is_together))


def why_behind(status: PlantStatus) -> list[tuple[str, str]]:
    """All of it for a page of help: points and reasons, then days and what would give them."""
    held = [(_points(reason), reason.text) for reason in told_held(status)]
    sooner = [(day, text) for text, day in ways_told(status)]
    head = [(words.say("why.brief-held"), "")] if held else []
    head_sooner = [(words.say("why.brief-sooner"), "")] if sooner else []
    return [*head, *held, *head_sooner, *sooner]


def _points(reason: HoldsDown) -> str:
    points = round(reason.points)
    return words.say("why.of-100-one" if points == 1 else "why.of-100", points=points)

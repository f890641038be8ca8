"""A sheet as plain text: 80 columns, and a form feed where a printed page is full."""

import textwrap
from collections.abc import Iterator, Sequence
from itertools import zip_longest
from math import ceil

from rounds import words
from rounds.cli.lines import printable, width, wrapped
from rounds.service.exchange.sheet import Sheet, SheetPlant, SheetZone
from rounds.service.plant.status_text import standing_text, where_text
from rounds.words.forms import calendar_day, minutes_seconds

PAGE_ROWS = 58
"""At six lines an inch letter paper has 66 and A4 has 70, margins included."""

FORM_FEED = "\f"
RULE = "-" * 78
PLANNED, FIRST_BOX = 16, 26
Box = tuple[str, int, str]
BOXES: tuple[Box, ...] = (
    ("seconds", 9, "______"),
    ("removed", 7, "____"),
    ("killed", 8, "____"),
    ("left", 7, "____"),
    ("doubtful", 10, "____"),
    ("hidden", 0, "[ ]"),
)
"""What is written into each line: the code of its heading, its columns, its box."""

HOW = ("walk", "whole", "what", "woolly", "counts", "nothing", "hidden")
HYGIENE = ("swab", "hands", "tools", "alcohol")

SECOND_ZONE, FIND_BOX, FIND_LINE = 43, (22, 59), "_" * 18
"""Column of the second zone of a line, columns of the boxes for finds, and such a box."""

Block = list[str]


def sheet_lines(sheet: Sheet) -> Iterator[str]:
    """The sheet for a printer or a screen."""
    pages = _pages([_head(sheet), *(_plant(plant) for plant in sheet.plants)])
    for number, page in enumerate(pages, 1):
        title = words.say("sheet.title", day=calendar_day(sheet.on, sheet.on))
        said = words.say("sheet.page", page=number, pages=len(pages))
        feed = FORM_FEED if number > 1 else ""
        yield f"{feed}{title}{said:>{79 - width(title)}}"
        yield from page


def _pages(blocks: list[Block]) -> list[Block]:
    """Lay blocks out on pages; a block is broken only where it is longer than a page."""
    pages: list[Block] = [[]]
    for block in blocks:
        if pages[-1] and len(pages[-1]) + 1 + len(block) > PAGE_ROWS - 1:
            pages.append([])
        rows = ["", *block]
        while len(pages[-1]) + len(rows) > PAGE_ROWS - 1:
            room = PAGE_ROWS - 1 - len(pages[-1])
            pages[-1] += rows[:room]
            rows = rows[room:]
            pages.append([])
        pages[-1] += rows
    return pages


def _head(sheet: Sheet) -> Block:
    count = len(sheet.plants)
    if not count:
        return [words.say("sheet.nothing")]
    code = "summary-one" if count == 1 else "summary"
    time = minutes_seconds(sheet.planned_seconds)
    lines = [words.say(f"sheet.{code}", plants=count, time=time), ""]
    fill = [words.say(f"sheet.fill.{what}") for what in ("who", "date", "began", "ended")]
    lines += [f"{fill[0]} {'_' * 30}   {fill[1]} {'_' * 20}", ""]
    lines += [f"{fill[2]} {'_' * 12}   {fill[3]} {'_' * 12}", ""]
    lines.append(words.say("sheet.how.title"))
    for step in steps_told(sheet):
        lines += wrapped(words.say(f"sheet.how.{step}"))
    lines += [*wrapped(f"({words.say('sheet.how.source')})"), "", words.say("sheet.care.title")]
    lines += [line for _, text in cautions() for line in wrapped(text)]
    return [*lines, *wrapped(f"({words.say('sheet.care.practice')})")]


def steps_told(sheet: Sheet) -> list[str]:
    """How it is done, step by step; of a look over a whole plant only where there is one."""
    is_whole = any(plant.whole_plant for plant in sheet.plants)
    return [code for code in HOW if code != "whole" or is_whole]


def cautions() -> list[tuple[str, str]]:
    """What is said at every stop of a round, with its title: once on the sheet."""
    said = []
    for what in HYGIENE:
        title = words.say(f"screens.hygiene.{what}")
        text = words.say(f"screens.hygiene.{what}-text")
        if what == "alcohol":
            text = f"{text}; {words.say('screens.hygiene.alcohol-more')}"
        said.append((title, f"{title}: {text}"))
    return said


def place_line(plant: SheetPlant) -> str:
    """Where a plant stands, and how."""
    status = plant.status
    return words.say("sheet.place", where=where_text(status), standing=standing_text(status))


def why_line(plant: SheetPlant) -> str:
    """Why it is looked at."""
    reasons = words.say("forms.and").join(reason.text for reason in plant.status.reasons)
    return words.say("sheet.why", reasons=reasons)


def _plant(plant: SheetPlant) -> Block:
    lines = [RULE]
    if plant.stop_after is not None:
        stop = words.say("sheet.stop", after=plant.stop_after, code=plant.status.code)
        lines += [*textwrap.wrap(printable(stop), len(RULE)), RULE]
    named = words.say("sheet.plant", code=plant.status.code, name=plant.status.name)
    time = words.say("sheet.time", time=minutes_seconds(plant.planned.planned_seconds))
    first, *more = wrapped(printable(f"{named}   {time}"))
    lines += [f"{plant.planned.position:>2}  {first.lstrip()}", *more]
    place = words.say(
        "sheet.place", where=where_text(plant.status), standing=standing_text(plant.status)
    )
    lines += wrapped(printable(place))
    lines += wrapped(printable(why_line(plant)))
    clean = "all-clean-whole" if plant.whole_plant else "all-clean"
    lines += [f"    [ ] {words.say(f'sheet.{clean}')}", ""]
    if plant.whole_plant:
        lines += _whole(plant)
    else:
        lines += [_headings(BOXES), *(line for zone in plant.zones for line in _zone(zone))]
    return [*lines, "", f"    {words.say('sheet.remarks')} {'_' * 62}"]


def _whole(plant: SheetPlant) -> Block:
    """One line with its seconds; below it where a find is written, two zones a line."""
    seconds = BOXES[:1]
    time = minutes_seconds(ceil(plant.planned.planned_seconds))
    line = _at(_at("", 2, words.say("bench.whole-plant")), PLANNED, time)
    lines = [_headings(seconds), _at(line, FIRST_BOX, seconds[0][2])]
    lines += [*wrapped(words.say("sheet.whole-advice")), *wrapped(words.say("sheet.found-at"))]
    names = numbered(plant)
    for left, right in zip_longest(names[::2], names[1::2], fillvalue=""):
        line = _at("", 6, left)
        line = _at(line, FIND_BOX[0], FIND_LINE)
        if right:
            line = _at(_at(line, SECOND_ZONE, right), FIND_BOX[1], FIND_LINE)
        lines.append(line)
    return lines


def numbered(plant: SheetPlant) -> list[str]:
    """The zones of a plant with the numbers under which their finds are typed in."""
    return [
        words.say("sheet.zone-number", number=number, zone=zone.name)
        for number, zone in enumerate(plant.zones, 1)
    ]


def _headings(boxes: Sequence[Box]) -> str:
    line = _at("", 2, words.say("sheet.column.zone"))
    line = _at(line, PLANNED, words.say("sheet.column.planned"))
    column = FIRST_BOX
    for code, columns, _ in boxes:
        line = _at(line, column, words.say(f"sheet.column.{code}"))
        column += columns
    return line


def _zone(zone: SheetZone) -> Block:
    line = _at(_at("", 2, zone.name), PLANNED, minutes_seconds(ceil(zone.planned_seconds)))
    column = FIRST_BOX
    for _, columns, box in BOXES:
        line = _at(line, column, box)
        column += columns
    return [line, *wrapped(zone.advice)]


def _at(line: str, column: int, text: str) -> str:
    return line + " " * max(1 if line else 0, column - width(line)) + text

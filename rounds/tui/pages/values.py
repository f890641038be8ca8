"""The values the sums run on: numbered lines, and what is known of the marked one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rich.cells import cell_len

from rounds import words
from rounds.service.logbook.parameter_rows import ValueRow
from rounds.tui.keys import key_of
from rounds.tui.page import FOURTH, KeyHint, Page
from rounds.tui.pages.asked import put_foot, put_list_keys, sides
from rounds.tui.pages.history import put_numbers
from rounds.tui.pages.parts import ROOMY, heading
from rounds.words.forms import calendar_day, day_month
from rounds.words.parameters import (
    group_of_value,
    moves_of_value,
    name_of_value,
    unit_of_value,
    written_value,
)

VALUE_END, USUAL = 63, 65
"""Where values end on a wide page, and where the usual one begins beside a changed one."""
CHANGED = "+"
"""Stands before a changed value."""
IN_LIST = 4
"""Figures of a value in the list; the foot has all."""
MOST_SAID = 7


@dataclass(frozen=True, slots=True)
class ValuesView:
    """What the page knows."""

    rows: Sequence[ValueRow]
    mark: int
    message: str
    on: date


def values_page(view: ValuesView, width: int, height: int) -> Page:
    """The lines around the mark, and below them the marked value."""
    page = Page(width, height)
    marked = view.rows[view.mark]
    group = group_of_value(marked.code)
    heading(
        page,
        words.say("parameters.title"),
        group if page.is_wide else "",
        calendar_day(view.on, view.on),
    )
    edge, until = sides(page)
    roomy = page.height >= ROOMY
    if roomy:
        lead = words.say("parameters.lead") if page.is_wide else group
        page.put(2, edge, lead, "ink" if page.is_wide else "quiet", until=until)
    put_list_keys(page, _back_to_usual(marked), opens=_opens(marked))
    about = about_value(marked, view.on)
    if not page.is_wide:
        # its name is cut in the list
        about = f"{name_of_value(marked.code)}: {about}"
    end = put_foot(page, view.message, None, about, most=MOST_SAID)
    room = put_numbers(page, view.mark, len(view.rows), 4 if roomy else 2, end)
    for line, row in enumerate(view.rows[room.first : room.first + room.rows], room.top):
        _line(page, line, room.edge, row)
    return page


def _line(page: Page, line: int, edge: int, row: ValueRow) -> None:
    """Its name, its value, and beside a changed one the usual one."""
    is_changed = row.value != row.default or row.change is not None
    value = f"{CHANGED if is_changed else ''}{written_value(row.value, IN_LIST)}"
    end = VALUE_END if page.is_wide else page.width - 1
    is_number = isinstance(row.value, int | float)
    if not is_number:
        # what is no number is read in the foot
        page.put(line, edge, name_of_value(row.code), until=end)
    else:
        page.put_right(line, end, value, "strong" if is_changed else "ink")
        page.put(line, edge, name_of_value(row.code), until=end - cell_len(value) - 1)
    if is_changed and page.is_wide:
        usual = f"{words.say('parameters.usual')} {written_value(row.default, IN_LIST)}"
        page.put(line, USUAL, usual, "quiet", until=page.width)
    if page.is_spread and is_number:
        unit = unit_of_value(row.unit)
        page.put(line, FOURTH + 8, unit, "quiet", until=page.width)


def about_value(row: ValueRow, on: date) -> str:
    """All that is known of a value, in sentences."""
    value, unit = written_value(row.value), unit_of_value(row.unit)
    default = written_value(row.default)
    change = row.change
    if row.value == row.default:
        told = [words.say("parameters.said.holds-usual", value=value, unit=unit)]
    else:
        told = [words.say("parameters.said.holds", value=value, unit=unit, default=default)]
    if change is not None:
        by = {"day": day_month(change.day, on), "why": change.why or "", "who": change.who or ""}
        told.append(words.say(f"parameters.said.{'by-whom' if change.who else 'by-you'}", **by))
    elif row.gave_way:
        told.append(words.say("parameters.said.gave-way"))
    if row.fixed is None and row.low is not None and row.high is not None:
        low, high = written_value(row.low), written_value(row.high)
        told.append(words.say("parameters.said.range", low=low, high=high))
    tag = words.say(f"parameters.tag.{row.tag}")
    if row.tag in ("read", "derived"):
        tag = f"{tag}: {row.source}"
    fixed = [] if row.fixed is None else [words.say(f"parameters.fixed.{row.fixed}")]
    return " ".join([f"{'; '.join([*told, tag])}.", moves_of_value(row.code), *fixed])


def _back_to_usual(row: ValueRow) -> KeyHint | None:
    """The key that puts the marked value back, where it was changed."""
    if row.change is None:
        return None
    return KeyHint(key_of("take-back"), words.say("parameters.reset"))


def _opens(row: ValueRow) -> KeyHint | None:
    if row.fixed is not None:
        return None
    return KeyHint(key_of("begin"), words.say("parameters.type"))

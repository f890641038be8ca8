"""How a round came out."""

from collections.abc import Sequence

from rich.cells import cell_len

from rounds import words
from rounds.service.round.view import RoundView, Summary
from rounds.tui.page import CUT, FIRST, MIDDLE, Page, Role, wrap
from rounds.tui.pages.parts import ROOMY, desk_row, heading, hint, rows_said, say
from rounds.tui.pages.round import clock
from rounds.words.forms import calendar_day

THEN = 48
"""The column of what follows from what was counted."""
MARKS: dict[str, tuple[str, Role]] = {"found": ("*", "find"), "doubt": ("?", "doubt")}


def summary_page(view: RoundView, width: int, height: int) -> Page:
    """What was found, on whom, and what was not seen."""
    page = Page(width, height)
    summary = view.summary
    if summary is None:
        return page
    heading(
        page,
        say("round.title", day=calendar_day(view.day, view.day)),
        say("round.only-plant" if view.plants == 1 else "round.all-plants", plants=view.plants),
        clock(view),
    )
    edge, until = page.edge, page.until
    rows = page.put_wrapped(2, edge, _first_sentence(summary), until=until)
    gap = 1 if page.height >= ROOMY else 0
    row = _changed(page, summary, 2 + rows + 2 * gap)
    _not_seen(page, summary, row + gap)
    page.put_wrapped(desk_row(page), edge, view.message, until=until, rows=rows_said(page))
    page.put_keys(page.height - 2, [hint("leave"), hint("take-back")])
    page.put_keys(page.height - 2, [hint("help")], (67,) if page.is_wide else (29,))
    page.put_keys(page.height - 1, [hint("next", "next-today")])
    return page


def _first_sentence(summary: Summary) -> str:
    """How many plants were fully checked, what was found on them, and where that rises."""
    said = [_checked(summary)]
    if summary.found:
        on = _plants(summary.plants_found)
        said.append(say("summary.found", count=summary.found, plants=on))
    else:
        said.append(say("summary.found-none"))
    if summary.rising:
        said.append(summary.rising)
    if summary.unsure:
        said.append(words.say("round.summary.doubt", count=summary.unsure))
    return words.say("forms.and").join(said)


def _checked(summary: Summary) -> str:
    checked, looked_at = summary.plants_checked, summary.plants_looked_at
    if not checked:
        return say("summary.checked-none")
    if checked < looked_at:
        return say("summary.checked-some", checked=checked, plants=_plants(looked_at))
    return say("summary.checked-all", plants=_plants(checked))


def _plants(count: int) -> str:
    return say("summary.one-plant") if count == 1 else say("summary.plants", count=count)


def _changed(page: Page, summary: Summary, row: int) -> int:
    """The plants on which something was counted; the row after them."""
    edge = FIRST + 2 if page.is_wide else 3
    if not summary.changed:
        page.put(row, edge, say("summary.nothing-changed"), "quiet")
        return row + 1
    page.put(row, edge, say("summary.changed"), "quiet")
    if page.is_wide:
        page.put(row, THEN, say("summary.column-then"), "quiet")
    room = max(1, desk_row(page) - row - 5)
    for line in summary.changed[:room]:
        row += 1
        mark, role = MARKS.get(line.mark, ("", "ink"))
        page.put(row, edge - 2, mark, role)
        name_end = MIDDLE - 1 if page.is_wide else 21
        page.put(row, edge, f"{line.code}  {line.name}", until=name_end)
        page.put(row, MIDDLE if page.is_wide else 22, line.text, role)
        if page.is_wide:
            page.put(row, THEN, line.then or line.streak_text, until=page.width)
    hidden = len(summary.changed) - room
    if hidden > 0:
        row += 1
        page.put(row, edge, say("more", count=hidden), "quiet")
    return row + 1


def _which(count: str, names: Sequence[str], width: int, rows: int) -> str:
    """How many, and as many of their names as can be told whole."""
    for shown in range(min(len(names), width * rows), 0, -1):
        more = [CUT] if shown < len(names) else []
        text = say("summary.which", count=count, names=", ".join([*names[:shown], *more]))
        if len(wrap(text, width)) <= rows and cell_len(text) <= width * rows:
            return text
    return count


def _not_seen(page: Page, summary: Summary, row: int) -> None:
    edge = FIRST + 2 if page.is_wide else 3
    groups = (
        ("put-off", "plants", summary.put_off, len(summary.put_off)),
        ("not-looked-at", "plants", summary.not_looked_at, len(summary.not_looked_at)),
        ("in-one-go", "plants", summary.in_one_go, len(summary.in_one_go)),
        ("short", "zones", summary.short, summary.short_zones),
        ("hidden", "zones", summary.hidden, summary.hidden_zones),
    )
    for place, (title, what, entries, number) in enumerate(groups, 1):
        if entries and row < desk_row(page):
            many = what if number > 1 else f"one-{what[:-1]}"
            count = say(f"summary.{many}", count=number)
            column = MIDDLE if page.is_wide else 24
            page.put(row, edge, say(f"summary.{title}"), "quiet")
            # one row stays for each group that follows
            rows = max(1, desk_row(page) - 1 - row - len(groups) + place)
            text = _which(count, entries, page.until - column, rows)
            row += page.put_wrapped(row, column, text, until=page.until, rows=rows)

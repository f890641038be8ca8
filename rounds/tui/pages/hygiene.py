"""The stop after a plant that is infested or apart."""

from rich.cells import cell_len

from rounds import words
from rounds.service.round.view import RoundView
from rounds.tui.page import Page, wrap
from rounds.tui.pages.parts import desk_row, heading, hint, plant_row, rows_said, say
from rounds.tui.pages.round import clock
from rounds.words.forms import calendar_day

LEAST_FOR_ALL = 24
STEPS = (
    ("swab", "swab-text"),
    ("hands", "hands-text"),
    ("tools", "tools-text"),
    ("alcohol", "alcohol-text"),
)


def hygiene_page(view: RoundView, width: int, height: int) -> Page:
    """Clean hands, swab and tools before the next plant, with the cautions where the step is."""
    page = Page(width, height)
    if view.plant is None:
        return page
    heading(
        page,
        say("round.title", day=calendar_day(view.day, view.day)),
        say("round.after-plant-of", number=view.plant.number, plants=view.plants),
        clock(view),
    )
    plant = view.plant
    where = say("hygiene.just-done") if page.is_wide else ""
    plant_row(page, plant.code, plant.name, where, plant.standing, plant.standing_text)
    edge, until = page.edge, page.until
    rows = page.put_wrapped(3, edge, _why(view), until=until)
    if plant.live_today and plant.standing == "collection" and page.height >= LEAST_FOR_ALL:
        page.put(3 + rows, edge, say("hygiene.set-apart"), until=until)
    if page.height >= LEAST_FOR_ALL:
        row = 7 if page.is_wide else 6
        for title, text in STEPS:
            row += _step(page, row, title, text)
        page.put(row, _text_column(page), say("hygiene.source"), "quiet", until=until)
        said = rows_said(page)
        page.put_wrapped(desk_row(page), edge, view.message, until=until, rows=said)
    else:
        row = _steps_close(page)
        rows = len(wrap(view.message, until - edge))
        if row + 1 + rows < page.height - 2:
            page.put_wrapped(row + 1, edge, view.message, until=until)
        else:
            page.put(1, edge, _first_of(view.message, until - edge), until=until)
    page.put_keys(page.height - 2, [hint("leave"), hint("take-back")])
    page.put_keys(page.height - 2, [hint("help")], (67,) if page.is_wide else (29,))
    page.put_keys(page.height - 1, [hint("next", "next-plant")])
    return page


def _first_of(message: str, width: int) -> str:
    """As much of a message as one row has room for, part by part."""
    between = words.say("forms.and")
    parts = message.split(between)
    shorter = (between.join(parts[:most]) for most in range(len(parts), 1, -1))
    return next((text for text in shorter if cell_len(text) <= width), parts[0])


def _why(view: RoundView) -> str:
    plant = view.plant
    code = plant.code if plant else ""
    if plant is not None and plant.live_today:
        return say("hygiene.why", next=view.next_plant, found=plant.live_today, code=code)
    if plant is not None and plant.standing == "quarantine":
        return say("hygiene.why-apart", next=view.next_plant, code=code)
    return say("hygiene.why-lately", next=view.next_plant, code=code)


def _steps_close(page: Page) -> int:
    """Put the steps without empty rows, in few words where rows are short, the caution last.

    Returns the row after them.
    """
    until = page.width - (2 if page.is_wide else 0)
    column, row, end = _text_column(page), 5, page.height - 2
    full = {title: say(f"hygiene.{text}") for title, text in STEPS}
    full["alcohol"] = f"{full['alcohol']}; {say('hygiene.alcohol-more')}"
    brief = {title: say(f"hygiene-brief.{title}") for title, _ in STEPS}
    for said in (full, {**brief, "alcohol": full["alcohol"]}, brief):
        rows = {title: len(wrap(text, until - column)) for title, text in said.items()}
        if row + sum(rows.values()) <= end:
            break
    for title, text in said.items():
        page.put(row, page.edge, say(f"hygiene.{title}"), "strong")
        row += page.put_wrapped(row, column, text, until=until, rows=rows[title])
    return row


def _text_column(page: Page) -> int:
    return 15 if page.is_wide else 10


def _step(page: Page, row: int, title: str, text: str) -> int:
    """One step of the stop; how many rows it took."""
    edge, until = page.edge, page.width - (2 if page.is_wide else 0)
    page.put(row, edge, say(f"hygiene.{title}"), "strong")
    rows = page.put_wrapped(row, _text_column(page), say(f"hygiene.{text}"), until=until, rows=3)
    if title == "alcohol":
        rows += page.put_wrapped(
            row + rows, _text_column(page), say("hygiene.alcohol-more"), until=until, rows=2
        )
    return rows + 1 if page.height >= 20 and page.is_wide else rows

"""What a person sees of a screen, as one page, whoever laid it out."""

from dataclasses import replace

from textual.widget import Widget

from rounds.tui.page import Cell, Page, Spot, fit
from rounds.tui.screens.laid_out import COVERED, LaidOut
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.widgets.line import Line
from rounds.tui.widgets.painted import Painted


def seen(screen: PageScreen) -> Page:
    """The cells of all that is in sight, with the roles they have, and what can be clicked."""
    if not isinstance(screen, LaidOut) or screen.has_class(COVERED):
        return screen.canvas.page
    page = Page(*screen.app.size)
    for widget in screen.query(Painted):
        if widget is not screen.canvas and _is_shown(widget):
            _add(page, widget)
    for line in filter(_is_shown, screen.query(Line)):
        region = line.content_region
        page.rows[region.y].append(Cell(region.x, fit(f"{line.value}_", region.width), "here"))
    return page


def _is_shown(widget: Widget) -> bool:
    return (
        widget.display
        and bool(widget.region)
        and widget in widget.screen._compositor.visible_widgets
    )


def _add(page: Page, widget: Painted) -> None:
    region = widget.region
    first = widget.scroll_offset.y
    for row in range(first, min(widget.count_rows(), first + region.height)):
        at = region.y + row - first
        if at < page.height:
            page.rows[at] += [
                replace(cell, column=cell.column + region.x) for cell in widget.cells_of(row)
            ]
            spot = widget.spot_at(row, 0)
            if spot is not None and spot.line is not None:
                page.spots.append(Spot(at, 0, page.width, line=spot.line))

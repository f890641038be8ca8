"""What a person sees of a screen, as one page, whoever laid it out."""

from dataclasses import replace

from rich.cells import cell_len
from textual.geometry import Region
from textual.widget import Widget

from rounds.tui.page import Cell, Page, Spot, printable
from rounds.tui.screens.frame import COVERED, Frame
from rounds.tui.screens.page_screen import PageScreen
from rounds.tui.widgets.line import KEPT_AFTER, Line
from rounds.tui.widgets.painted import Painted


def seen(screen: PageScreen) -> Page:
    """The cells of all that is in sight, with the roles they have, and what can be clicked."""
    if not isinstance(screen, Frame) or screen.has_class(COVERED):
        return screen.canvas.page
    page = Page(*screen.app.size)
    for widget in screen.query(Painted):
        region = in_sight(widget)
        if widget is not screen.canvas and region:
            _add(page, widget, region)
    for line in screen.query(Line):
        if in_sight(line):
            _add_line(page, line)
    return page


def in_sight(widget: Widget) -> Region:
    """What of a widget is seen on the screen; an empty region where nothing is."""
    found = widget.screen._compositor.visible_widgets.get(widget)
    return found[0].intersection(found[1]) if found and widget.display else Region()


def _add(page: Page, widget: Painted, region: Region) -> None:
    for y in region.line_range:
        row = y - widget.region.y + widget.scroll_offset.y
        if row < widget.count_rows() and y < page.height:
            cells = widget.cells_of(row)
            page.rows[y] += [replace(c, column=c.column + widget.region.x) for c in cells]
            spot = widget.spot_at(row, 0)
            if spot is not None and spot.line is not None:
                page.spots.append(Spot(y, 0, page.width, line=spot.line))


def _add_line(page: Page, line: Line) -> None:
    """The end of what is typed with a sign for the cursor, or what an empty line keeps."""
    region = line.content_region
    shown = printable(f"{line.value}_")
    while cell_len(shown) > region.width:
        shown = shown[1:]
    page.rows[region.y].append(Cell(region.x, shown, "here"))
    kept = line.placeholder.strip()
    if kept and not line.value:
        page.rows[region.y].append(Cell(region.x + KEPT_AFTER, kept, "quiet"))

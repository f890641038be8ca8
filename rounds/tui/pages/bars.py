"""Bars of a few columns beside a figure: what is left at a zone, how far a criterion has come."""

from collections.abc import Sequence

from rounds import words
from rounds.service.plant.zones import ZoneSeen
from rounds.tui.page import Page
from rounds.words.forms import number_in_column

EIGHTHS = " \u258f\u258e\u258d\u258c\u258b\u258a\u2589\u2588"
"""A cell filled from the left, by eighths."""
WORST = 3
WORST_BAR = 5


def share_bar(share: float, columns: int) -> str:
    """A share of so many columns; nothing for none, and full only for all of it."""
    eighths = (
        8 * columns if share >= 1 else min(8 * columns - 1, max(1, round(8 * columns * share)))
    )
    whole, rest = divmod(eighths if share > 0 else 0, 8)
    return EIGHTHS[8] * whole + (EIGHTHS[rest] if rest else "")


def left_bar(left: float | None, most: float, columns: int) -> str:
    """What is left, beside the zone with the most; less than one insect has none."""
    return share_bar(left / most, columns) if left is not None and left >= 1 else ""


def most_left(zones: Sequence[ZoneSeen]) -> float:
    """Of the zone with the most."""
    return max((zone.probably_left or 0.0 for zone in zones), default=0.0)


def put_worst(page: Page, row: int, end: int, zones: Sequence[tuple[ZoneSeen, str]]) -> int:
    """The zones with the most left, each with when it was seen, above `end`; the row after them."""
    most = most_left([zone for zone, _ in zones])
    by_left = sorted(zones, key=lambda each: -(each[0].probably_left or 0.0))
    for zone, seen in by_left[: min(WORST, end - row)]:
        if zone.probably_left is None:
            return row
        page.put(row, page.edge + 2, words.say(f"zones.{zone.zone}.name"))
        page.put(row, page.edge + 15, left_bar(zone.probably_left, most, WORST_BAR), "find")
        number = number_in_column(zone.probably_left)
        page.put_right(row, page.edge + 30, words.say("plant.zones.of-left", number=number))
        page.put_right(row, page.until, seen, "quiet")
        row += 1
    return row

"""Help: the keys of the screen one is on, in words."""

from rich.cells import cell_len

from rounds import words
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, Page
from rounds.tui.pages.by_number import letters_are_far
from rounds.tui.pages.parts import heading, say

Line = tuple[tuple[str, ...], str]
"""Roles, and the code of what they do; neither for an empty row where there is room."""

GAP: Line = ((), "")
SETTLING = ("yes", "remains", "no")
TAKE_BACK: dict[str, Line] = {
    of: (("take-back",), f"{of}.take-back")
    for of in ("plant", "history", "visit", "doubts", "leaving", "values", "season", "courses",
               "exposure", "what_if")
}  # fmt: skip


def _of_list(
    name: str, line: tuple[Line, ...] = (), own: tuple[Line, ...] = ()
) -> tuple[Line, ...]:
    """The keys of a list, in its own words: `line` act on a line, `own` are its others."""
    begins: tuple[Line, ...] = ((("begin",), f"{name}.open"), (("figures",), f"{name}.line"))
    moves: tuple[Line, ...] = ((("next",), f"{name}.next"), (("back",), f"{name}.back"))
    leaves: tuple[Line, ...] = ((("find",), "find"), (("leave",), f"{name}.leave"))
    return (*begins, *line, GAP, *moves, GAP, *own, *leaves)


LINES: dict[str, tuple[Line, ...]] = {
    "round": (
        (("removed", "killed", "left"), "counts"),
        (("doubtful",), "doubtful"),
        (("adult", "young", "eggs"), "stages"),
        (("figures",), "figures"),
        ((), ""),
        (("next",), "next"),
        (("rest",), "rest"),
        (("hidden",), "hidden"),
        (("signs",), "signs"),
        (("not-now",), "not-now"),
        (("plants",), "other-plant"),
        ((), ""),
        (("take-back",), "take-back"),
        (("back",), "back"),
        (("pause",), "pause"),
        (("leave",), "leave"),
    ),
    "today": (
        (("begin",), "today-begin"),
        (("minutes",), "today-minutes"),
        (("order",), "today-order"),
        (("plants",), "today-plants"),
        (("doubts",), "today-doubts"),
        (("coming",), "today-coming"),
        (("figures",), "today-line"),
        (("0",), "today-desk"),
        (("find",), "find"),
        (("leave",), "today-leave"),
    ),
    "release": (
        (("yes",), "release.yes"),
        (("no",), "release.no"),
        (("find",), "find"),
        (("leave",), "release.leave"),
    ),
    "plants": _of_list(
        "plants",
        ((("0",), "plants.find"),),
        ((("order",), "plants.order"), (("plants",), "plants.which")),
    ),
    "plant": _of_list(
        "plant",
        own=(
            TAKE_BACK["plant"],
            (("put-apart",), "plant.put-apart"),
            (("charts",), "plant.charts"),
            (("what-if",), "plant.what-if"),
        ),
    ),
    "charts": (
        (("next",), "charts.next"),
        (("back",), "charts.back"),
        (("charts",), "charts.rows"),
        (("find",), "find"),
        (("leave",), "charts.leave"),
    ),
    "what_if": _of_list("what_if", own=(TAKE_BACK["what_if"],)),
    "history": _of_list("history", own=(TAKE_BACK["history"],)),
    "visit": _of_list("visit", ((SETTLING, "visit.settle"),), (TAKE_BACK["visit"],)),
    "doubts": ((SETTLING, "doubts.settle"), TAKE_BACK["doubts"], GAP, *_of_list("doubts")),
    **{name: _of_list(name) for name in ("arrival", "coming", "desk", "settings")},
    **{name: _of_list(name, (TAKE_BACK[name],)) for name in ("leaving", "values", "season")},
    "sums": _of_list("lists"),
    "courses": _of_list("courses", own=(TAKE_BACK["courses"],)),
    "exposure": _of_list("exposure", own=((("yes",), "exposure.watch"), TAKE_BACK["exposure"])),
}
"""The keys of each screen that has help, by screen."""

LIST_LINES = _of_list("lists")
"""The keys of a list that names no others; its title stands in the words of its own name."""

LOW_LINES: dict[str, tuple[Line, ...]] = {
    "round": (
        (("removed", "killed", "left"), "counts"),
        (("doubtful",), "doubtful"),
        (("adult", "young", "eggs"), "stages"),
        (("figures",), "figures"),
        ((), ""),
        (("next",), "next"),
        (("rest", "hidden"), "rest-hidden"),
        (("signs",), "signs"),
        (("not-now", "plants"), "put-off-other"),
        (("take-back", "back"), "take-back-back"),
        (("pause",), "pause"),
        (("leave",), "leave"),
    ),
}
"""The same in fewer lines, for narrow pages that are too low."""

TELL_MEANINGS = ("today", "plants")
"""Screens whose help says what marks and figures mean."""

FIGURE_KEYS = "1-9"


BY_NUMBER: Line = (("begin",), "by-number")
"""What enter does in a round where letters are far."""


def lines_of(screen: str) -> tuple[Line, ...]:
    """The keys of a screen."""
    return LINES.get(screen, LIST_LINES)


def title_of(screen: str) -> str:
    """What a screen is called in help."""
    return words.section("screens.help-titles").get(screen) or words.title(screen)


def _lines_of(screen: str, page: Page, behind: int) -> tuple[Line, ...]:
    """The keys of a screen, beside so many lines of what it has no room for."""
    lines = _with_pad(screen, lines_of(screen))
    is_low = 5 + _rows(lines) + behind > page.height
    if page.is_wide or screen not in LOW_LINES or not is_low:
        return lines
    return _with_pad(screen, LOW_LINES[screen])


def _rows(lines: tuple[Line, ...]) -> int:
    """The rows that lines take without those that may stay empty."""
    return sum(1 for roles, _ in lines if roles)


def _with_pad(screen: str, lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """On a pad the round has one line more."""
    if screen == "round" and letters_are_far():
        return (*lines[:4], BY_NUMBER, *lines[5:])
    return lines


def _said(words_of: str, code: str) -> str:
    """What a line of help says, in the words of a wide page or of a narrow one."""
    if code == BY_NUMBER[1]:
        return words.say("pad.help")
    return say(f"{words_of}.{code}")


def help_page(
    screen: str, clock: str, behind: list[tuple[str, str]], width: int, height: int
) -> Page:
    """The keys of one of LINES; `behind` is what it has no room for, as (text, state)."""
    page = Page(width, height)
    words_of = "help" if page.is_wide else "help-narrow"
    lines = _lines_of(screen, page, len(behind))
    edge, text_at = (FIRST, 15) if page.is_wide else (1, 8)
    # on the lowest pages the keys need every row
    is_tight = 4 + _rows(lines) > height
    is_spaced = page.is_wide and 4 + len(lines) <= height
    if not is_tight:
        heading(page, say("help.title"), title_of(screen), clock)
    row = 0 if is_tight else 2
    for roles, code in lines:
        if roles:
            page.put(row, edge, " ".join(_key(role) for role in roles), "strong")
            page.put(row, text_at, _said(words_of, code))
        row += 1 if roles or is_spaced else 0
    _behind(page, behind, row + 1, height - 2)
    if screen in TELL_MEANINGS and not behind and page.is_wide:
        _meanings(page, row + 1, height - 3, edge, text_at)
    closes_at, closes_from = (height - 1 if is_tight else height - 2), edge
    if is_tight and row > closes_at:
        closes_at, closes_from = _beside(page)
    page.put(closes_at, closes_from, key_of("help"), "strong")
    page.put(closes_at, closes_from + 3, say("help.closes"))
    if not is_tight:
        page.put(height - 1, edge, say(f"{words_of}.other"))
    return page


def _behind(page: Page, behind: list[tuple[str, str]], top: int, end: int) -> None:
    """Put what the page itself has no room for; short of rows, its first line goes to row 1."""
    edge = FIRST if page.is_wide else 1
    is_headed = len(behind) > 1 and not behind[0][1] and bool(behind[1][1])
    if 0 < end - top < len(behind) and is_headed:
        page.put(1, edge, behind[0][0], "quiet", until=page.width - 1)
        behind, top = behind[1:], top - 1
    for row, (text, state) in enumerate(behind[: max(0, end - top)], top):
        # what stands alone has the whole row
        page.put(row, edge, text, "quiet", until=22 if state else page.until)
        page.put(row, 22, state, "quiet")


def _meanings(page: Page, top: int, end: int, edge: int, text_at: int) -> None:
    """What marks and figures mean: all of it, or of the marks alone, or nothing."""
    marks, figures = words.section("meanings.marks"), words.section("meanings.figures")
    told = {**marks, **figures} if top + len(marks) + len(figures) <= end else marks
    if top + len(told) > end:
        return
    for row, (what, means) in enumerate(told.items(), top):
        page.put(row, edge, what, "quiet")
        page.put(row, text_at, means, "quiet", until=page.width - 1)


def _beside(page: Page) -> tuple[int, int]:
    """The lowest row with room for the hint that closes the page, and the column it begins at."""
    column = page.width - 1 - 3 - cell_len(say("help.closes"))
    ends = [max((cell.end for cell in cells), default=0) for cells in page.rows]
    return max((row for row, end in enumerate(ends) if end < column), default=0), column


def _key(role: str) -> str:
    return FIGURE_KEYS if role == "figures" else key_of(role)

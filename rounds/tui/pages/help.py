"""Help: the keys of the screen one is on, in words."""

from collections.abc import Sequence
from dataclasses import dataclass

from rounds import words
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Page
from rounds.tui.pages.by_number import letters_are_far
from rounds.tui.pages.parts import heading, hint, say
from rounds.tui.pages.told import BLANK, Row

Line = tuple[tuple[str, ...], str]
"""Roles, and the code of what they do; neither for an empty row where there is room."""

HELP_FRAME = 6
"""rows of help beside its lines"""


@dataclass(frozen=True, slots=True)
class HelpTold:
    """What help says: the screen's name, its keys, and what it has no room for itself."""

    title: str
    keys: Sequence[Row]
    behind: Sequence[Row]
    leave: KeyHint
    """said below, also where the lines have to be scrolled to it"""


GAP: Line = ((), "")
SETTLING = ("yes", "remains", "no")
TAKE_BACK: dict[str, Line] = {
    of: (("take-back",), f"{of}.take-back")
    for of in ("plant", "history", "visit", "doubts", "leaving", "values", "season", "courses",
               "exposure", "what_if", "steps")
}  # fmt: skip


def _of_list(
    name: str, line: tuple[Line, ...] = (), own: tuple[Line, ...] = ()
) -> tuple[Line, ...]:
    """The keys of a list, in its own words: `line` act on a line, `own` are its others."""
    begins: tuple[Line, ...] = ((("begin",), f"{name}.open"), (("figures",), "lists.line"))
    moves: tuple[Line, ...] = ((("next",), "lists.next"), (("back",), "lists.back"))
    leaves: tuple[Line, ...] = ((("find",), "find"), (("leave",), "lists.leave"))
    return (*begins, *line, GAP, *moves, GAP, *own, *leaves)


LINES: dict[str, tuple[Line, ...]] = {
    "round": (
        (("removed", "killed", "left"), "counts"),
        (("doubtful",), "doubtful"),
        (("adult", "young", "eggs"), "stages"),
        (("figures",), "figures"),
        (("pest",), "pest"),
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
        (("begin",), "release.what-if"),
        (("find",), "find"),
        (("leave",), "lists.leave"),
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
            (("coming",), "plant.charts"),
        ),
    ),
    "charts": (
        (("next",), "charts.next"),
        (("back",), "charts.back"),
        (("order",), "charts.rows"),
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
    "steps": _of_list(
        "steps", own=((("yes",), "steps.done"), (("rest",), "steps.rest"), TAKE_BACK["steps"])
    ),
    "exposure": _of_list("exposure", own=((("yes",), "exposure.watch"), TAKE_BACK["exposure"])),
}
"""The keys of each screen that has help, by screen."""

LIST_LINES = _of_list("lists")
"""The keys of a list that names no others; its title stands in the words of its own name."""

TELL_MEANINGS = ("today", "plants")
"""Screens whose help says what marks and figures mean."""

FIGURE_KEYS = "1-9"

LEAVES = {"leave": "stop", "today-leave": "leave"}
"""What the key that leaves is called where it does not lead back."""

BY_NUMBER: Line = (("begin",), "by-number")
"""What enter does in a round where letters are far."""


def lines_of(screen: str) -> tuple[Line, ...]:
    """The keys of a screen."""
    return LINES.get(screen, LIST_LINES)


def title_of(screen: str) -> str:
    """What a screen is called in help."""
    return words.section("screens.help-titles").get(screen) or words.title(screen)


def help_told(screen: str, behind: Sequence[tuple[str, str]], frame: Page) -> HelpTold:
    """The keys of a screen, and below them what they and its figures mean.

    Args:
        screen: by the name of its lines.
        behind: what it has no room for itself: a text and how that stands, or a text alone.
        frame: an empty page of the size there is.
    """
    words_of = "help" if frame.is_wide else "help-narrow"
    lines = _with_pad(screen, lines_of(screen))
    # groups have a row between them where that hides none of them
    is_spaced = frame.is_wide and len(lines) + len(behind) + HELP_FRAME <= frame.height
    keys = [
        _key_row(roles, _said(words_of, code)) if roles else BLANK
        for roles, code in lines
        if roles or is_spaced
    ]
    meanings = [] if behind or screen not in TELL_MEANINGS else _meanings()
    return HelpTold(title_of(screen), keys, [*map(_behind_row, behind), *meanings], _leave(lines))


def _leave(lines: tuple[Line, ...]) -> KeyHint:
    """How the screen itself is left, as its own keys say it."""
    said = {code for roles, code in lines if roles == ("leave",)}
    return hint(
        "leave", next((text for code, text in LEAVES.items() if code in said), "list.leave")
    )


def _with_pad(screen: str, lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """On a pad the round has one line more, in place of the first row between groups."""
    if screen == "round" and letters_are_far():
        first = lines.index(GAP)
        return (*lines[:first], BY_NUMBER, *lines[first + 1 :])
    return lines


def _said(words_of: str, code: str) -> str:
    """What a line of help says, in the words of a wide page or of a narrow one."""
    if code == BY_NUMBER[1]:
        return words.say("pad.help")
    return say(f"{words_of}.{code}")


def _key_row(roles: Sequence[str], text: str) -> Row:
    keys = tuple(FIGURE_KEYS if role == "figures" else key_of(role) for role in roles)
    return Row(((" ".join(keys), "strong"), text), press=keys)


def _behind_row(told: tuple[str, str]) -> Row:
    text, state = told
    # what stands alone has the whole row
    return Row(((text, "quiet"), (state, "quiet")) if state else ((text, "quiet"),))


def _meanings() -> list[Row]:
    """What marks and figures mean."""
    told = {**words.section("meanings.marks"), **words.section("meanings.figures")}
    return [_behind_row(meaning) for meaning in told.items()]


def help_head(told: HelpTold, clock: str, frame: Page) -> Page:
    """Where one is, on one row."""
    page = frame.blank()
    heading(page, say("help.title"), told.title, clock)
    return page.part(0, 1)


def help_foot(told: HelpTold, frame: Page) -> Page:
    """How help closes, and how its screen is left."""
    page = Page(frame.width, 2, wide=frame.is_wide)
    page.put_key(0, page.edge, KeyHint(key_of("help"), say("help.closes")), 2)
    page.put_keys(0, [told.leave], (67 if page.is_wide else 27,))
    page.put(1, page.edge, say("help.other" if page.is_wide else "help-narrow.other"))
    return page

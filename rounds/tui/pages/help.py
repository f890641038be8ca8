"""Help: the keys of the screen one is on, in words."""

from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, Page
from rounds.tui.pages.parts import heading, say

ROUND = (
    (("removed", "killed", "left"), "counts"),
    (("doubtful",), "doubtful"),
    (("adult", "young", "eggs"), "stages"),
    (("figures",), "figures"),
    ((), ""),
    (("next",), "next"),
    (("rest",), "rest"),
    (("hidden",), "hidden"),
    ((), ""),
    (("take-back",), "take-back"),
    (("back",), "back"),
    (("pause",), "pause"),
    (("leave",), "leave"),
)
TODAY = (
    (("begin",), "today-begin"),
    (("minutes",), "today-minutes"),
    (("figures",), "today-line"),
    (("leave",), "today-leave"),
)
FIGURE_KEYS = "1-9"


def help_page(
    screen: str, clock: str, behind: list[tuple[str, str]], width: int, height: int
) -> Page:
    """The keys of a screen; `behind` is what a narrow one had no room for, as (text, state)."""
    page = Page(width, height)
    words_of = "help" if page.is_wide else "help-narrow"
    lines = ROUND if screen != say("help.today-title") else TODAY
    left, text_at = (FIRST, 15) if page.is_wide else (1, 8)
    # on the lowest pages the keys need every row
    is_tight = 4 + sum(1 for roles, _ in lines if roles) > height
    if not is_tight:
        heading(page, say("help.title"), screen, clock)
    row = 0 if is_tight else 2
    for roles, code in lines:
        if roles:
            page.put(row, left, " ".join(_key(role) for role in roles), "strong")
            page.put(row, text_at, say(f"{words_of}.{code}"))
        row += 1 if roles or (page.is_wide and height >= 20) else 0
    for text, state in behind[: max(0, height - 3 - row)]:
        row += 1
        page.put(row, left, text, "quiet", until=22)
        page.put(row, 22, state, "quiet")
    closes_at = height - 1 if is_tight else height - 2
    page.put(closes_at, left, key_of("help"), "strong")
    page.put(closes_at, left + 3, say("help.closes"))
    if not is_tight:
        page.put(height - 1, left, say(f"{words_of}.other"))
    return page


def _key(role: str) -> str:
    return FIGURE_KEYS if role == "figures" else key_of(role)

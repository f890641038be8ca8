"""The foot of a page outside the round: what just happened, or a question with its answers."""

from dataclasses import dataclass

from rounds.service.round.view import Answer
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Page, Role, wrap
from rounds.tui.pages.parts import ROOMY, ask, desk_row, hint, rows_said, say

AID_FROM = 16
"""Least rows of a page with room for the aid of a question."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question that waits. `aid` says how it can be told."""

    text: str
    answers: tuple[Answer, ...]
    aid: str = ""

    def takes(self, role: str) -> bool:
        """Whether a key answers it."""
        return any(answer.role == role for answer in self.answers)


def put_foot(
    page: Page, message: str, asked: Asked | None, otherwise: str = "", most: int = 0
) -> int:
    """The question, else the message, else what a page with room says; the row it begins on.

    What is said may take as many as `most` rows, where the page has room and it is more than usual.
    """
    edge, until = sides(page)
    row = desk_row(page)
    if asked is None:
        if page.height < ROOMY and not message:
            return page.height - 2
        role: Role = "ink" if message else "quiet"
        text = message or otherwise
        usual = rows_said(page)
        more = max(0, min(most, len(wrap(text, until - edge))) - usual)
        more = more if page.height >= AID_FROM else 0
        row -= more
        page.put_wrapped(row, edge, text, role, until=until, rows=usual + more)
        return row
    top = ask(page, row, asked.text, [(key_of(a.role), a.text) for a in asked.answers])
    if not asked.aid or page.height < AID_FROM:
        return top
    aid = wrap(asked.aid, until - edge)
    top -= len(aid) + (1 if page.height >= ROOMY else 0)
    page.put_wrapped(top, edge, asked.aid, "quiet", until=until, rows=len(aid))
    return top


def sides(page: Page) -> tuple[int, int]:
    """Where text begins, and the column it must end before."""
    return page.edge, page.until


def put_list_keys(
    page: Page,
    second: KeyHint | None,
    third: KeyHint | None = None,
    opens: KeyHint | None = None,
) -> None:
    """The keys of a list with numbered lines: two of its own, and what enter does if wide."""
    row = page.height - 2
    if opens is None or not page.is_wide:
        opens = hint("begin", "list.open")
    if not page.is_wide:
        page.put_keys(row, [hint("leave"), second or hint("find"), hint("help")], (1, 15, 29))
        page.put_keys(row + 1, [opens, KeyHint("1-9", say("keys.line"))], (1, 18))
        return
    page.put_keys(row, [hint("leave"), second, third, None, hint("find"), hint("help")])
    moves = [hint("next", "list.next"), hint("back"), KeyHint("1-9", say("keys.line"))]
    page.put_keys(row + 1, [opens, None, *moves])

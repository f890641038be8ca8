"""The foot of a page outside the round: what just happened, or a question with its answers."""

from dataclasses import dataclass

from rounds.service.round.view import Answer
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Page, wrap
from rounds.tui.pages.parts import ROOMY, ask, desk_row, hint, say

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


def put_asked(page: Page, asked: Asked) -> int:
    """The question with its answers, and its aid where there is room; the row it begins on."""
    top = ask(page, desk_row(page), asked.text, [(key_of(a.role), a.text) for a in asked.answers])
    if not asked.aid or page.height < AID_FROM:
        return top
    aid = wrap(asked.aid, page.until - page.edge)
    top -= len(aid) + (1 if page.height >= ROOMY else 0)
    page.put_wrapped(top, page.edge, asked.aid, "quiet", until=page.until, rows=len(aid))
    return top


def put_list_keys(
    page: Page,
    second: KeyHint | None,
    third: KeyHint | None = None,
    opens: KeyHint | None = None,
    fourth: KeyHint | None = None,
) -> None:
    """The keys of a list with numbered lines: two of its own, and what enter does if wide.

    A fourth stands where the page is wide.
    """
    row, leaves = page.height - 2, hint("leave", "list.leave")
    if opens is None or not page.is_wide:
        opens = hint("begin", "list.open")
    if not page.is_wide:
        page.put_keys(row, [leaves, second or hint("find"), hint("help")], (1, 15, 29))
        page.put_keys(row + 1, [opens, KeyHint("1-9", say("keys.line"))], (1, 18))
        return
    page.put_keys(row, [leaves, second, third, fourth, hint("find"), hint("help")])
    moves = [hint("next", "list.next"), hint("back", "list.back"), KeyHint("1-9", say("keys.line"))]
    page.put_keys(row + 1, [opens, None, *moves])

"""What if, in words: the day as it would be, what is supposed line by line, what comes of it."""

from collections.abc import Iterator
from dataclasses import dataclass

from rounds import words
from rounds.service.plant.status import PlantStatus
from rounds.service.what_if.choices import lines_of
from rounds.service.what_if.supposing import Supposition, Usual, WhatIf
from rounds.service.what_if.text import (
    criterion_text,
    outcome_text,
    reason_texts,
    supposed_text,
    usual_text,
)
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Role
from rounds.tui.pages.told import ListLine, Paragraph, Told

COLUMNS = ("name", "short", "now", "then")
MOST_REASONS = 4
"""rows of why"""


@dataclass(frozen=True, slots=True)
class WhatIfView:
    """What the page knows."""

    status: PlantStatus
    what: WhatIf
    usual: Usual | None
    """None until the first answer has come"""
    found: Supposition | None
    """None while it is worked out"""
    clock: str
    message: str


def what_if_told(view: WhatIfView) -> Told:
    """The day first, then the lines, then each criterion; why at the foot."""
    found = view.found
    outcome = outcome_text(found) if found else words.say("screens.today.working-out")
    lines = [] if view.usual is None else list(_lines(view, view.usual))
    heads = {"now": words.say("what_if.column-now"), "then": words.say("what_if.column-then")}
    return Told(
        title=words.say("what_if.title"),
        middle=words.say("what_if.lead"),
        narrow_title=words.say("what_if.title-narrow"),
        clock=view.clock,
        status=view.status,
        above=[Paragraph(outcome, "strong")],
        lines=lines,
        heads=heads if lines else {},
        most_numbered=0 if view.usual is None else len(lines_of(view.usual)),
        message=view.message,
        otherwise=list(reason_texts(found))[:MOST_REASONS] if found else [],
        most=MOST_REASONS,
        second=KeyHint(key_of("take-back"), words.say("what_if.keys.undo")),
        opens=KeyHint(key_of("begin"), words.say("what_if.keys.more")),
    )


def _lines(view: WhatIfView, usual: Usual) -> Iterator[ListLine]:
    for line in lines_of(usual):
        now, then = usual_text(usual, line), supposed_text(view.what, usual, line)
        name = words.say(f"what_if.line.{line}")
        role: Role = "strong" if then != now else "ink"
        yield ListLine({"name": name, "short": name, "now": (now, "quiet"), "then": (then, role)})
    if view.found is None:
        return
    for each in view.found.criteria:
        name, now, then = criterion_text(each, view.found.on)
        short = words.say(f"quarantine.short.{each.code}")
        role = "strong" if each.as_is != each.would_be else "ink"
        yield ListLine({"name": name, "short": short, "now": (now, "quiet"), "then": (then, role)})

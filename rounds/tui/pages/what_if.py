"""What if, in words: the day as it would be, what is supposed line by line, what comes of it."""

from collections.abc import Iterator
from dataclasses import dataclass

from rounds import words
from rounds.service.plant.status import PlantStatus
from rounds.service.what_if.choices import lines_of
from rounds.service.what_if.supposing import Supposition, Usual, WhatIf
from rounds.service.what_if.text import (
    criteria_in_order,
    criterion_text,
    mind_texts,
    outcome_text,
    supposed_text,
    usual_text,
)
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Role
from rounds.tui.pages.told import Fitting, ListLine, Paragraph, Said, Told

COLUMNS = ("name", "short", "now", "then")
Values = tuple[str | Fitting, str]
"""what stands in the columns of now and of what is supposed"""

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
    can_undo: bool
    is_wide: bool


def what_if_told(view: WhatIfView) -> Told:
    """The day, what may be changed, then what must be met, what decides first; why at the foot."""
    found = view.found
    outcome = outcome_text(found) if found else words.say("screens.today.working-out")
    lines = [] if view.usual is None else list(_lines(view, view.usual))
    now, then = words.say("what_if.column-now"), words.say("what_if.column-then")
    change = words.say("what_if.block-change")
    heads = {"name": change, "short": change, "now": now, "then": then}
    if not view.is_wide:
        heads = {"short": change, "now": words.say("what_if.column-both")}
    undo = KeyHint(key_of("take-back"), words.say("what_if.keys.undo"))
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
        otherwise=list(mind_texts(found))[:MOST_REASONS] if found else [],
        most=MOST_REASONS,
        second=undo if view.can_undo else None,
        opens=KeyHint(key_of("begin"), words.say("what_if.keys.more")),
    )


def _lines(view: WhatIfView, usual: Usual) -> Iterator[ListLine]:
    for line in lines_of(usual):
        now, then = usual_text(usual, line), supposed_text(view.what, usual, line)
        name = words.say(f"what_if.line.{line}")
        role: Role = "strong" if then != now else "ink"
        # a narrow page has one column for both
        values: Values = (now, then) if view.is_wide else (_both(now, then, role), "")
        yield _line(name, name, values, role)
    if view.found is None:
        return
    heads = words.say("what_if.column-now"), words.say("what_if.column-then")
    met = words.say("what_if.block-met")
    yield _line(met, met, heads if view.is_wide else ("", ""), "quiet")
    for each in criteria_in_order(view.found):
        name, now, then = criterion_text(each, view.found.on)
        short = words.say(f"quarantine.short.{each.code}")
        role = "strong" if each.as_is != each.would_be else "ink"
        values = (now, then) if view.is_wide else (_both(now, then, role), "")
        yield _line(name, short, values, role)


def _line(name: str, short: str, values: Values, role: Role) -> ListLine:
    now, then = values
    is_head: Role = "quiet" if role == "quiet" else "ink"
    was: Said | Fitting = now if isinstance(now, Fitting) else (now, "quiet")
    cells = {"name": (name, is_head), "short": (short, is_head), "now": was, "then": (then, role)}
    return ListLine(cells)


def _both(now: str, then: str, role: Role) -> Fitting:
    """What is supposed, and how it is now where that is otherwise and there is room for it."""
    both = words.say("what_if.value.both", then=then, now=now)
    return Fitting(lambda width: both if then != now and len(both) <= width else then, role)

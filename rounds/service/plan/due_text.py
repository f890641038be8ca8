"""What is due and does not fit, and what one more round would bring, in words."""

from collections.abc import Sequence
from math import ceil

from rounds import words
from rounds.core.plan.walk import QUARANTINE
from rounds.service.plan.today import DayPlan
from rounds.service.plant.status import PlantStatus
from rounds.words.forms import day_month, minutes_seconds, minutes_text

FITS = 1e-6
"""minutes by which a sum of floats may pass a whole number"""


def holds_text(plan: DayPlan, most: int | None = None) -> str:
    """17 minutes would hold all that is due; waiting: P03, P07. Empty where these minutes do.

    Args:
        plan: of the day.
        most: codes that are named; all where None, with 0 how many there are.
    """
    if not plan.is_short:
        return ""
    minutes = minutes_text(ceil(plan.needed_minutes - FITS))
    waiting = [_waiting(left.status) for left in plan.due_waits]
    if not waiting:
        return words.say("plan.due.holds", minutes=minutes)
    if most == 0:
        return words.say("plan.due.holds-count", minutes=minutes, count=len(waiting))
    code = "holds-waiting" if waiting[0] == plan.due_waits[0].status.code else "holds-apart"
    return words.say(f"plan.due.{code}", minutes=minutes, codes=_codes(waiting, most))


def short_text(plan: DayPlan, most: int | None = None) -> str:
    """P05, P13 need 3:20 min more: insects seen or likely; empty where each gets what it needs.

    `most` as above.
    """
    short = sorted((p for p in plan.plan if p.short), key=lambda p: -p.lacks_seconds)
    if not short:
        return ""
    time = minutes_seconds(plan.pace * sum(planned.lacks_seconds for planned in short))
    if len(short) == 1:
        return words.say("plan.due.short-one", codes=short[0].status.code, time=time)
    if most == 0:
        return words.say("plan.due.short-count", count=len(short), time=time)
    codes = _codes([planned.status.code for planned in short], most)
    return words.say("plan.due.short", codes=codes, time=time)


def _waiting(status: PlantStatus) -> str:
    """Who waits: P26 in quarantine, P03."""
    if status.standing != QUARANTINE:
        return status.code
    return words.say("plan.due.in-quarantine", code=status.code)


def done_text(plan: DayPlan) -> str:
    """That what was due has been looked at in a round of the day; empty where it was not.

    Whoever was never fully checked and is not due yet is told of, with the first day they are.
    """
    if not plan.is_done:
        return ""
    if not plan.unchecked:
        return words.say("plan.due.done")
    first, code = plan.unchecked[0], "done-unchecked-one" if len(plan.unchecked) == 1 else None
    return words.say(
        f"plan.due.{code or 'done-unchecked'}",
        count=len(plan.unchecked),
        code=first.code,
        day=day_month(first.claim.latest_on, plan.on),
    )


def again_text(plan: DayPlan, most: int | None = None) -> str:
    """Whom one more round would look at; empty where none is left. `most` as above."""
    codes = [planned.status.code for planned in plan.plan]
    if not codes:
        return ""
    minutes = minutes_text(plan.minutes)
    if most == 0:
        code = "again-one" if len(codes) == 1 else "again-count"
        return words.say(f"plan.due.{code}", minutes=minutes, count=len(codes))
    return words.say("plan.due.again", minutes=minutes, codes=_codes(codes, most))


def _codes(codes: Sequence[str], most: int | None) -> str:
    """In the order given; of many only the first, and how many more."""
    if most is None or len(codes) <= most:
        return ", ".join(codes)
    shown = ", ".join(codes[:most])
    return words.say("forms.codes-more", codes=shown, count=len(codes) - most)

"""What a change of the minutes changes: who of those that wait gets in, who has to wait."""

from bisect import bisect_left
from dataclasses import dataclass

from rounds import words
from rounds.service.plan.today import DayPlan
from rounds.words.forms import minutes_text

MOST_PRICED = 3
MOST_MINUTES = 15
"""beyond which nothing is offered"""


@dataclass(frozen=True, slots=True)
class Price:
    """How many whole minutes more let in how many of the plants that wait."""

    minutes: int
    plants: int


def price_of_more(day: DayPlan) -> Price | None:
    """The fewest minutes that let in the next few of those that wait.

    None where nobody waits, or where as many minutes as are offered let nobody in.
    """
    waiting = {left.record.plant.id for left in day.left_out}
    of_waiting = {n for n, r in enumerate(day.asked.records) if r.plant.id in waiting}

    def let_in(minutes: int) -> int:
        return len(of_waiting & day.asked.reached((day.minutes + minutes) * 60 / day.pace))

    wanted = min(MOST_PRICED, len(waiting), let_in(MOST_MINUTES)) if waiting else 0
    if not wanted:
        return None
    # one that must be looked at may push others out: never fewer by much, and what is said holds
    minutes = 1 + bisect_left(range(1, MOST_MINUTES), wanted, key=let_in)
    return Price(minutes, let_in(minutes))


def change_text(before: DayPlan, after: DayPlan) -> str:
    """4 minutes more: 3 plants that waited fit; empty where the minutes are the same."""
    more = after.minutes - before.minutes
    if not more or not after.asked.records:
        return ""
    nobody = words.say("plan.longer" if more > 0 else "plan.shorter")
    return words.say(
        "plan.more" if more > 0 else "plan.less",
        minutes=minutes_text(abs(more)),
        what=_what_changed(before, after) or nobody,
    )


def _what_changed(before: DayPlan, after: DayPlan) -> str:
    waited = {left.record.plant.id for left in before.left_out}
    waits = {left.record.plant.id for left in after.left_out}
    counts = {"fit": len(waited - waits), "wait": len(waits - waited)}
    said = [
        words.say(f"plan.{code}-one" if count == 1 else f"plan.{code}", count=count)
        for code, count in counts.items()
        if count
    ]
    return words.say("forms.and").join(said)

"""What a change of the minutes changes: who of those that wait gets in, who has to wait."""

from bisect import bisect_left
from dataclasses import dataclass

from rounds import words
from rounds.service.inference.kept import digest, kept_or_worked_out
from rounds.service.logbook.book import Logbook
from rounds.service.plan.planning import Asked
from rounds.service.plan.today import DayPlan
from rounds.service.safety.versions import SUMS_VERSION
from rounds.words.forms import minutes_text, more_minutes_text

MOST_PRICED = 3
MOST_MINUTES = 15
"""most minutes more that are offered"""


@dataclass(frozen=True, slots=True)
class Price:
    """A number of whole minutes more, and how many waiting plants they let in."""

    minutes: int
    plants: int


def price_of_more(logbook: Logbook, plan: DayPlan, asked: Asked) -> Price | None:
    """The fewest minutes that let in the next few of those that wait; kept like the split.

    None where nobody waits, or where as many minutes as are offered let nobody in.
    """
    if not plan.left_out:
        return None
    key = digest(SUMS_VERSION, *asked.rests_on, plan.minutes, plan.pace, MOST_PRICED, MOST_MINUTES)
    first = min(logbook.collection().plants)
    found = kept_or_worked_out(logbook, first, "price", key, lambda: _work_out(plan, asked))
    return Price(*found) if found else None


def _work_out(plan: DayPlan, asked: Asked) -> tuple[int, int] | None:
    of_waiting = {n for n, r in enumerate(asked.records) if r.plant.id in plan.waiting}

    def let_in(minutes: int) -> int:
        return len(of_waiting & asked.reached((plan.minutes + minutes) * 60 / plan.pace))

    wanted = min(MOST_PRICED, len(of_waiting), let_in(MOST_MINUTES))
    if not wanted:
        return None
    # bisection as if more minutes never let in fewer; almost so, and the number told is exact
    minutes = 1 + bisect_left(range(1, MOST_MINUTES), wanted, key=let_in)
    return minutes, let_in(minutes)


def change_text(before: DayPlan, after: DayPlan) -> str:
    """The change in words: 4 more minutes: 3 more plants fit; empty without a change."""
    more = after.minutes - before.minutes
    if not more or not (after.plan or after.left_out):
        return ""
    nobody = words.say("plan.longer" if more > 0 else "plan.shorter")
    what = _what_changed(before, after) or nobody
    if more > 0:
        return words.say("plan.more", minutes=more_minutes_text(more), what=what)
    return words.say("plan.less", minutes=minutes_text(-more), what=what)


def _what_changed(before: DayPlan, after: DayPlan) -> str:
    counts = {
        "fit": len(before.waiting - after.waiting),
        "wait": len(after.waiting - before.waiting),
    }
    said = [
        words.say(f"plan.{code}-one" if count == 1 else f"plan.{code}", count=count)
        for code, count in counts.items()
        if count
    ]
    return words.say("forms.and").join(said)

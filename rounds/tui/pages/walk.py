"""The plants of a round as it will be walked, for pages with rows to spare."""

from rounds import words
from rounds.service.plan.today import DayPlan, PlannedPlant
from rounds.tui.page import FIRST, MIDDLE, Page
from rounds.tui.pages.parts import STANDING_MARK, say, whole_within
from rounds.words.forms import minutes_seconds

LEAST_ROWS, MOST_NEXT = 3, 3
"""Of the whole walk at the least; of the next plants at the most."""
TIME_WIDTH = 6


def put_walk(page: Page, plan: DayPlan, row: int, end: int, *, whole: bool) -> None:
    """Who is looked at, in walking order, why, and for how long; above the row `end`.

    Not `whole` where there is room for the next few alone, the first of which stands above.
    """
    room = end - row - 1
    edge = FIRST + 4 if page.is_wide else 5
    if not whole:
        following = plan.plan[1 : 1 + max(0, min(MOST_NEXT, room))]
        if following:
            page.put(row, edge, words.say("sight.today.next"), "quiet")
        for line, planned in enumerate(following, row + 1):
            _put_planned(page, line, edge, planned)
        return
    if room < LEAST_ROWS or not plan.plan:
        return
    code = "walked" if page.is_wide else "walked-narrow"
    looking = minutes_seconds(sum(planned.planned_seconds for planned in plan.plan))
    page.put(
        row, edge, words.say(f"sight.today.{code}", looking=looking), "quiet", until=page.until
    )
    shown = len(plan.plan) if len(plan.plan) <= room else room - 1
    for line, planned in enumerate(plan.plan[:shown], row + 1):
        _put_planned(page, line, edge, planned)
    if shown < len(plan.plan):
        page.put(row + 1 + shown, edge, say("more", count=len(plan.plan) - shown), "quiet")


def _put_planned(page: Page, row: int, edge: int, planned: PlannedPlant) -> None:
    status = planned.status
    page.put(row, edge - 2, STANDING_MARK.get(status.standing, "").strip(), "apart")
    time_at = page.until - TIME_WIDTH
    name = f"{status.code}  {status.name}"
    page.put(row, edge, name, until=MIDDLE - 1 if page.is_wide else time_at - 1)
    if page.is_wide:
        width = time_at - 1 - MIDDLE
        reasons = whole_within(status.reasons, width)
        page.put(row, MIDDLE, reasons, "quiet", until=time_at - 1)
    page.put_right(row, page.until, minutes_seconds(planned.planned_seconds))

"""The lines of today: what there is to do, who is in quarantine, and who comes then."""

from dataclasses import dataclass
from datetime import date

from rich.cells import cell_len

from rounds import words
from rounds.core.plan.claims import ALIVE
from rounds.service.courses.together import SameStep
from rounds.service.day.day import Day
from rounds.service.plan.due_lines import DueLine, due_lines
from rounds.service.plan.today import ASKS_NEXT, DayPlan, PlannedPlant
from rounds.service.plant.status import PlantStatus, ReleaseStatus
from rounds.service.plant.status_text import clean_in_column
from rounds.tui.page import Page, Role
from rounds.tui.pages.parts import ROOMY, STANDING_MARK, as_many_as_fit, say, whole_within
from rounds.tui.pages.told import Fitting, ListLine, Said
from rounds.words.forms import calendar_day, day_month, minutes_seconds

COLUMNS = ("name", "day", "clean", "earliest", "waiting", "end")
"""From left to right; on a narrow page there are the first, and chance and day beside it."""

LEAST_APART = 3
"""Rows kept for plants in quarantine before all that there is to do is shown."""
TALL_FROM, LEAST_WALKED = 32, 3
"""Least rows of a page that lists the whole round, and of the plants it then shows."""
MOST_OF_DAY = 12
"""Cells of a day in its column."""

Cells = dict[str, str | Said | Fitting]


@dataclass(frozen=True, slots=True)
class Sections:
    """The lists of a day, one below the other, for the rows and columns there are."""

    day: Day
    page: Page
    """an empty one of the size there is"""
    rows: int

    def lines(self) -> list[ListLine]:
        """What there is to do and who is in quarantine; rows to spare hold who comes then."""
        if self.day.statuses is None:
            return []
        due = self._to_do()
        above = [*due, *([BLANK] if due and self._is_roomy else [])]
        found = [*above, *self._apart(self.rows - len(above))]
        return [*found, *self._walk(self.rows - len(found))]

    @property
    def _is_roomy(self) -> bool:
        return self.page.height >= ROOMY

    # what there is to do

    def _to_do(self) -> list[ListLine]:
        due, apart_count = due_lines(self.day.due), len(apart(self.day))
        if not due:
            return []
        kept = self._is_roomy + 1 + min(LEAST_APART, apart_count) if apart_count else 0
        room = self.rows - 1 - kept
        shown = len(due) if len(due) <= room else room - 1
        if room < 1 and len(due) == 1:
            return [self._due(1, due[0])]
        if shown < 1:
            return [_quiet(say("today.count-to-do", count=len(due)))]
        lines = [self._due(number, of) for number, of in enumerate(due[:shown], 1)]
        return [_quiet(say("today.for-today")), *lines, *_more(len(due) - shown)]

    def _due(self, number: int, due: DueLine) -> ListLine:
        """One thing to do: what it is, the plant or how many, and since when."""
        plant = self._beside()
        texts = due.texts
        what = Fitting(
            lambda room: next((text for text in texts if cell_len(text) <= room), texts[-1])
        )
        if plant is None:
            cells: Cells = {"name": what, "earliest": due.brief_who}
        else:
            code = "waiting-since" if due.on < self.day.on else "due-on"
            since = say(f"today.{code}", day=day_month(due.on, self.day.on))
            cells = {"name": what, plant: due.who}
            cells["waiting" if self.page.is_spread else "end"] = since, "quiet"
        return ListLine(cells, number=str(number))

    def _beside(self) -> str | None:
        """The column in the middle of a page with three, where a second text begins."""
        if not self.page.is_wide:
            return None
        return "day" if self.page.is_spread else "clean"

    # who is in quarantine

    def _apart(self, rows: int) -> list[ListLine]:
        found, first = apart(self.day), len(due_lines(self.day.due)) + 1
        if not found:
            return [_quiet(say("today.nobody-apart"))] if rows > 0 else []
        lines = [self._plant_apart(number, of) for number, of in enumerate(found, first)]
        if rows > 2 or rows > len(lines):
            return [self._heads(), *lines]
        # no row for the heads: the one plant, or how many there are
        return lines if len(lines) == 1 else [_quiet(say("today.count-apart", count=len(lines)))]

    def _heads(self) -> ListLine:
        name, clean = say("today.apart"), say("today.column-clean")
        brief, is_wide = words.say("quarantine.short.chance_clean"), self.page.is_wide
        size = "" if is_wide else "-narrow"
        return ListLine(
            {
                "name": (name, "quiet"),
                "clean": (clean, "quiet") if is_wide else _beside_name(name, brief, "quiet"),
                "earliest": (say(f"today.column-earliest{size}"), "quiet"),
                "waiting": (say("today.column-waiting"), "quiet"),
            }
        )

    def _plant_apart(self, number: int, status: PlantStatus) -> ListLine:
        clean = clean_in_column(status, say("today.working-out"))
        cells: Cells = {
            "name": f"{status.code}  {status.name}",
            "clean": clean if self.page.is_wide else _beside_name(status.code, clean),
            "earliest": earliest_text(status),
        }
        if self.page.is_wide:
            code = "day-apart" if status.days_standing else "day-apart-first"
            cells["day"] = say(f"today.{code}", days=status.days_standing)
            cells["waiting"] = Fitting(lambda room: waiting_text(status, room))
        return ListLine(cells, (STANDING_MARK["quarantine"].strip(), "apart"), str(number))

    # who comes then

    def _walk(self, rows: int) -> list[ListLine]:
        """The plants of the round where there are rows for many; else those after the first."""
        plan = self.day.plan
        is_whole = self.page.height >= TALL_FROM
        # an empty row above them, and one below
        rows -= 3
        if (
            plan is None
            or self.day.under_way is not None
            or rows < (LEAST_WALKED if is_whole else 1)
        ):
            return []
        going = plan.plan if is_whole else plan.plan[1:]
        shown = len(going) if len(going) <= rows else max(1, rows - 1)
        if not going:
            return []
        head = self._walk_head(plan) if is_whole else words.say("sight.today.next")
        lines = [self._planned(of) for of in going[:shown]]
        more = _more(len(going) - shown) if shown < rows else []
        return [BLANK, _quiet(head), *lines, *more]

    def _walk_head(self, plan: DayPlan) -> str:
        code = "walked" if self.page.is_wide else "walked-narrow"
        looking = minutes_seconds(sum(planned.planned_seconds for planned in plan.plan))
        return words.say(f"sight.today.{code}", looking=looking)

    def _planned(self, planned: PlannedPlant) -> ListLine:
        status, reasons = planned.status, self._beside()
        cells: Cells = {"name": f"{status.code}  {status.name}"}
        cells["end" if reasons else "earliest"] = minutes_seconds(planned.planned_seconds)
        if reasons:
            cells[reasons] = Fitting(lambda room: whole_within(planned.reasons, room), "quiet")
        sign = STANDING_MARK.get(status.standing, "").strip()
        return ListLine(cells, (sign, "apart"))


BLANK = ListLine({})


def _quiet(text: str) -> ListLine:
    return ListLine({"name": (text, "quiet")})


def _more(count: int) -> list[ListLine]:
    return [_quiet(say("more", count=count))] if count > 0 else []


def _beside_name(name: str, text: str, role: Role = "ink") -> Fitting:
    """A text that leaves room for a name before it: whole, or not at all."""
    return Fitting(lambda room: text if cell_len(text) + 1 + cell_len(name) <= room else "", role)


@dataclass(frozen=True, slots=True)
class Numbered:
    """What a numbered line opens."""

    code: str
    """of the plant, of several the first"""
    step: SameStep | None = None
    """of a course, that is to be done"""
    is_shared: bool = False
    """at several plants"""
    asks_what_next: bool = False
    """something is to be decided: what to do next"""


def lines_of(day: Day) -> list[Numbered]:
    """What numbered lines open: what there is to do, then the plants apart."""
    to_do = (
        Numbered(due.status.code, due.step, len(due.dues) > 1, due.dues[0].kind in ASKS_NEXT)
        for due in due_lines(day.due)
    )
    return [*to_do, *(Numbered(status.code) for status in apart(day))]


def apart(day: Day) -> list[PlantStatus]:
    """The plants apart, the worst first."""
    return sorted((s for s in day.ordered if s.release is not None), key=_worst_first)


def _worst_first(status: PlantStatus) -> tuple[float, str]:
    # last where the chance clean is not known yet
    chance = status.chance_clean
    return 1.0 if chance is None else chance, status.code.casefold()


def earliest_text(status: PlantStatus) -> str:
    """When it may rejoin, if looks go on as they have and stay clean.

    No day is named while insects are known or likely to live on it; while the day is worked out,
    the one that was named last.
    """
    release = status.release
    if release is None or status.is_known_alive:
        return say("today.beyond")
    if not status.is_forecast:
        return _day_named_last(status, release)
    day = release.expected_on
    return say("today.beyond") if day is None else day_month(day, status.on)


def _day_named_last(status: PlantStatus, release: ReleaseStatus) -> str:
    was, unknown = release.was_expected_on, say("today.working-out")
    if status.claim.code == ALIVE:
        # an old day beside 'likely still infested' would be taken for a promise
        return say("today.beyond")
    said = say("today.was", day=calendar_day(was, status.on)) if was else unknown
    return said if cell_len(said) <= MOST_OF_DAY else unknown


def waiting_text(status: PlantStatus, width: int) -> str:
    """What it still needs, what takes longest first; how many more where room is short."""
    criteria = status.release.criteria if status.release else ()
    waiting = [criterion for criterion in criteria if criterion.met is not True]
    if not waiting:
        return say("today.ready")
    never = date.max
    longest_first = sorted(waiting, key=lambda c: c.expected_on or never, reverse=True)
    names = [words.say(f"quarantine.short.{criterion.code}") for criterion in longest_first]
    if status.is_known_alive:
        names.insert(0, say("today.insects-gone"))
    return as_many_as_fit(names, ", ", width, "more-in-words")

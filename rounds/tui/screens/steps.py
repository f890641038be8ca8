"""One step of a course at several plants: who they are, ticked off for one or for all."""

from datetime import date
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.core.lineage import lived
from rounds.service.courses.cautions import Mind, minds, use_minds, wet_minds
from rounds.service.courses.shelf import (
    disliking,
    do_steps,
    entered_together,
    withdraw_together,
)
from rounds.service.courses.text import how_text, numbered_step
from rounds.service.courses.together import (
    SameStep,
    StepAt,
    can_be_done,
    newest_done,
    steps_at,
    steps_here,
)
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.logbook.named import find_plant
from rounds.service.plant.status_text import where_text
from rounds.service.round.view import Answer
from rounds.tui.forms.step_done import step_done_form
from rounds.tui.page import Page, wrap
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.parts import STANDING_MARK, hint, minds_within
from rounds.tui.pages.told import ListLine, Paragraph, Said, Told
from rounds.tui.screens.asking import AskingScreen, asking_bindings
from rounds.tui.screens.laid_out import LaidOut
from rounds.words.forms import calendar_day, day_month

FIXED_ROWS, LEAST_LISTED, LEAST_FOOT = 8, 3, 2
"""Rows besides cautions, plants and foot, and those kept for plants and foot before cautions."""


class StepsScreen(LaidOut, AskingScreen, sheet="steps"):
    """The marked plant is asked about; x undoes what was entered last of the step."""

    HELP = "steps"
    COLUMNS = ("plant", "code", "where", "due", "minds")
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings("steps", "yes", "rest", "no")
    steps: tuple[StepAt, ...]

    def __init__(self, logbook: Logbook, step: SameStep, day: date, who: str | None) -> None:
        """`day`: on which it is to be done; on today's all that are due by then."""
        self.step, self.due_day, self.who = step, day, who
        self.what = ""
        self.minds: tuple[Mind, ...] = ()
        self.wet: tuple[Mind, ...] = ()
        super().__init__(logbook)

    def read(self) -> None:
        """Who has it to do, and what to mind with it."""
        day = self.day
        self.steps = steps_at(day.ordered, self.step, self.due_day, day.on)
        self.newest = newest_done(self.logbook, self.step, day.on)
        if not self.steps:
            return
        first = self.steps[0]
        running = first.running
        label = running.course.begun.label
        self.what = numbered_step(running.kind, label, running.number, running.of)
        plant = find_plant(self.logbook, first.status.code)
        self.minds = minds(plant, running.kind, label, day.on)
        self.plants = self.logbook.collection().plants
        self.here = steps_here(self.logbook, self.steps)
        every = steps_here(self.logbook, can_be_done(self.steps))
        self.wet = wet_minds(disliking(every, day.on))

    def told(self) -> Told:
        """Who they are, and the question about the marked one."""
        on, steps = self.day.on, self.steps
        names = ("plant", "where", "due")
        return Told(
            title=words.say("courses.steps.title"),
            middle=self.what,
            narrow_title=self.what,
            clock=calendar_day(on, on),
            above=[paragraph for paragraph in self._said_above() if paragraph.text],
            heads={name: words.say(f"courses.steps.column-{name}") for name in names if steps},
            lines=[_line(step, on) for step in steps],
            message=self.said,
            asked=self.asked or self._asks(),
            otherwise=self._waits(),
            second=hint("take-back") if self.newest else None,
        )

    def _said_above(self) -> list[Paragraph]:
        if not self.steps:
            return [Paragraph(words.say("courses.steps.none"))]
        how = how_text(self.step.kind) if self.is_wide else ""
        cautions = self._cautions_within(how)
        return [
            Paragraph(how, may_go=True),
            *(Paragraph(text, "quiet", may_go=at > 0) for at, text in enumerate(cautions)),
        ]

    def _cautions_within(self, how: str) -> list[str]:
        """Rows of as many cautions as leave room for plants and question; the first always."""
        page = Page(*self.app.size, wide=self.is_wide)
        width = page.until - page.edge
        asked = self.asked or self._asks()
        foot = max(LEAST_FOOT, len(wrap(asked.text, width)) + 1 if asked else 0)
        room = self.app.size.height - FIXED_ROWS - foot - len(wrap(how, width))
        room -= min(len(self.steps), LEAST_LISTED)
        return minds_within(self.minds, width, room) or [mind.brief for mind in self.minds[:1]]

    def _asks(self) -> Asked | None:
        """Whether the marked plant's step was done today; or that of all."""
        if not self.steps or not self.steps[self.mark].is_next:
            return None
        marked, every = self.steps[self.mark], can_be_done(self.steps)
        text = words.say("courses.steps.ask", code=marked.status.code, what=self.what)
        for mind in self._minds_of(marked):
            text = words.say("courses.page.ask-done-mind", ask=text, mind=mind)
        said = {"yes": "done", "begin": "another-day"}
        if len(every) > 1:
            done_all = "done-both" if len(every) == 2 else "done-all"
            said = {"yes": "done", "rest": done_all, "begin": "another-day"}
        answers = (
            Answer(role, words.say(f"plant.answers.{code}", count=len(every)))
            for role, code in said.items()
        )
        return Asked(text, tuple(answers))

    def _minds_of(self, marked: StepAt) -> list[str]:
        """What a label warns of at the marked plant, and who dislikes wet leaves."""
        on, plant = self.day.on, self.here[self.mark].plant
        label = marked.running.course.begun.label
        courses = lived(plant, self.plants).courses_on(on)
        warned = use_minds(courses, label, on) if marked.running.is_product else ()
        return [mind.text for mind in (*warned, *self.wet)]

    def _waits(self) -> list[str]:
        """That something of the course comes before it."""
        if not self.steps or self.steps[self.mark].is_next:
            return []
        return [words.say("courses.steps.waits", code=self.steps[self.mark].status.code)]

    def lines_count(self) -> int:
        """The plants that have it to do."""
        return len(self.steps)

    def open_line(self, index: int) -> None:
        """A form asks for another day, at the marked plant or at all."""
        marked = self.steps[index]
        if marked.is_next:
            others = [step for step in can_be_done(self.steps) if step is not marked]
            here = steps_here(self.logbook, [marked, *others])
            self.app.push_screen(step_done_form(self.logbook, self.what, here, self.who))

    def pressed(self, role: str) -> None:
        """y and v tick it off today; x asks about what was entered last."""
        if role == "take-back":
            self._ask_undo()
        elif role == "yes" and self._asks() is not None:
            self._do([self.steps[self.mark]])
        elif role == "rest" and self._asks() is not None:
            self._do(list(can_be_done(self.steps)))
        else:
            super().pressed(role)

    def _do(self, steps: list[StepAt]) -> None:
        do_steps(self.logbook, now(self.logbook.clock, self.who), steps_here(self.logbook, steps))
        code = "said-done-at" if len(steps) == 1 else "said-done"
        what = self._everywhere(len(steps)) if len(steps) > 1 else self.what
        self.message = words.say(f"courses.page.{code}", what=what, codes=steps[0].status.code)

    def _everywhere(self, count: int) -> str:
        return words.say("courses.page.together", what=self.what, count=count)

    def _ask_undo(self) -> None:
        """Whether what was entered last of the step is undone, all that was entered with it."""
        if self.newest is None:
            self.message = words.say("plant.said.nothing")
            return
        names = entered_together(self.logbook, self.newest)
        code = self.logbook.collection().plants[self.newest.owner_id].code
        at_one = words.say("courses.steps.at", what=self.what, code=code)
        what = self._everywhere(len(names)) if len(names) > 1 else at_one

        def then(role: str) -> None:
            if role == "yes":
                withdraw_together(self.logbook, now(self.logbook.clock, self.who), names)
                self.message = words.say("plant.said.taken-back", what=what)

        self.ask(words.say("plant.ask.take-back", what=what), ("yes", "no"), then)


def _line(step: StepAt, on: date) -> ListLine:
    status = step.status
    code = "waiting-since" if step.due_on < on else "due-on"
    due = words.say(f"screens.today.{code}", day=day_month(step.due_on, on))
    minds = words.say("courses.steps.wet") if step.running.is_disliked else ""
    cells: dict[str, str | Said] = {
        "plant": f"{status.code}  {status.name}",
        "code": status.code,
        "where": where_text(status),
        "due": due,
        "minds": (minds, "quiet"),
    }
    return ListLine(cells, (STANDING_MARK.get(status.standing, "").strip(), "apart"))

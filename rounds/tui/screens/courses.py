"""The courses of treatment of one plant: what is due, what to do next, what can be begun."""

from dataclasses import dataclass
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.core.collection import Plant
from rounds.core.log.courses import CourseMark
from rounds.service.courses.cautions import cautions
from rounds.service.courses.shelf import begun_together, withdraw_together
from rounds.service.courses.standing import WETTING, CourseRunning
from rounds.service.courses.templates import course_name, templates
from rounds.service.courses.text import brief_due_text, due_text, how_text
from rounds.service.courses.written import COURSE, Asked, do_next_step, treat
from rounds.service.day.at_hand import record_of, status_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import now
from rounds.service.plant.status import PlantStatus
from rounds.tui.forms.begin_course import begin_course_form
from rounds.tui.pages.parts import hint
from rounds.tui.pages.told import ListLine, Paragraph, Told
from rounds.tui.screens.asking import asking_bindings
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.of_plant import OfPlant
from rounds.words.forms import calendar_day, day_month

MOST_CAUTIONS = 3
"""above the list; `rounds plant` has them all, and so has the form"""


@dataclass(frozen=True, slots=True)
class Line:
    """What a line does: `step` of a course, `stop` it, or `begin` one."""

    does: str
    text: str
    brief: str
    """the same where there is little room"""
    when: str = ""
    running: CourseRunning | None = None
    course: str = ""


class CoursesScreen(LaidOut, OfPlant, sheet="courses"):
    """Enter does what the marked line says; x takes the newest entry about a course back."""

    HELP = "courses"
    COLUMNS = ("what", "brief", "when")
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings("courses", "yes", "no")

    def __init__(self, logbook: Logbook, code: str, who: str | None = None) -> None:
        self.who = who
        super().__init__(logbook, code)

    def read(self) -> None:
        """Its courses, and what to do next as far as that is worked out."""
        record = record_of(self.logbook, self.plant())
        self.status = self.days.with_why(self.day, record, status_on(self.day, record))
        self.lines = _lines(self.logbook, self.status)
        minds = [
            told.text
            for running in self.status.courses[:1]
            for told in cautions(record.plant, running.kind, running.course.begun.label, record.on)[
                :MOST_CAUTIONS
            ]
        ]
        self.minds = " ".join(minds)
        self.how = " ".join(how_text(running.kind) for running in self.status.courses[:1])

    def told(self) -> Told:
        """What is said of them, and the lines."""
        on = self.day.on
        return Told(
            title=words.say("courses.page.title"),
            clock=calendar_day(on, on),
            status=self.status,
            above=[paragraph for paragraph in self._said_above() if paragraph.text],
            lines=[
                ListLine(
                    {"what": line.text, "brief": line.brief, "when": (line.when, "quiet")}
                )
                for line in self.lines
            ],
            message=self.said,
            asked=self.asked,
            second=hint("take-back") if _newest(self.plant()) else None,
        )  # fmt: skip

    def _said_above(self) -> list[Paragraph]:
        why = self.status.why
        first = why.options[0] if why and why.options else None
        next_text = ""
        if first is not None:
            code = "next" if first.alternative else "next-alone"
            next_text = words.say(
                f"courses.page.{code}", text=first.text, why=first.reason, other=first.alternative
            )
        works = [told for told in why.works.values() if told.reason != "not-used"] if why else []
        worked = words.say("forms.and").join(
            part for told in works[-1:] for part in (told.text, told.expected_text) if part
        )
        return [
            Paragraph(next_text, "strong", rows=3),
            Paragraph(worked, "quiet", rows=3, may_go=True),
            Paragraph(self.how, rows=3, may_go=True),
            Paragraph(self.minds, "quiet", rows=4),
        ]

    def lines_count(self) -> int:
        """What can be done."""
        return len(self.lines)

    def open_line(self, index: int) -> None:
        """Ask whether the step was done or the course is stopped; a form begins one."""
        line = self.lines[index]
        if line.does == "begin":
            self.app.push_screen(begin_course_form(self.logbook, self.code, line.course, self.who))
        elif line.running is not None:
            running = line.running
            code = "ask-done" if line.does == "step" else "ask-stop"
            text = words.say(f"courses.page.{code}", what=line.text)
            self.ask(text, ("yes", "no"), lambda role: self._act(line.does, running, role))

    def _act(self, does: str, running: CourseRunning, role: str) -> None:
        if role != "yes":
            return
        moment, plant = now(self.logbook.clock, self.who), self.plant()
        if does == "step":
            with self.logbook.file.writing():
                do_next_step(self.logbook, moment, plant, running)
            self.message = words.say("courses.page.said-done", what=due_text(running))
        else:
            name = course_name(self.logbook, running.course.begun.course)
            treat(self.logbook, moment, [self.code], Asked(running.course.begun.course, stop=True))
            self.message = words.say("courses.page.said-stopped", name=name)

    def pressed(self, role: str) -> None:
        """x asks about the newest entry."""
        newest = _newest(self.plant())
        if role == "take-back" and newest is not None:
            self._ask_undo(*newest)
        elif role == "take-back":
            self.message = words.say("plant.said.nothing")
        else:
            super().pressed(role)

    def _ask_undo(self, name: EntryName, what: str) -> None:
        """Whether an entry is undone; a course begun at a whole shelf is at all of it."""
        begun = begun_together(self.logbook, name.entry_id) if name.kind == COURSE else ()
        if len(begun) < 2:
            self.ask_take_back(str(name), what)
            return
        everywhere = words.say("courses.page.begun-together", what=what, count=len(begun))

        def then(role: str) -> None:
            if role == "yes":
                withdraw_together(self.logbook, now(self.logbook.clock, self.who), begun)
                self.message = words.say("plant.said.taken-back", what=everywhere)

        self.ask(words.say("plant.ask.take-back", what=everywhere), ("yes", "no"), then)


def _lines(logbook: Logbook, status: PlantStatus) -> list[Line]:
    """The step due of each course and how to stop it, then the courses that can be begun."""
    found: list[Line] = []
    for running in status.courses:
        name = course_name(logbook, running.course.begun.course)
        due = words.say("courses.cli.due", day=day_month(running.due_on, status.on))
        text = due_text(running)
        brief = words.say("courses.page.brief-step", step=brief_due_text(running), due=due)
        found.append(Line("step", text, brief, due, running))
        stop = words.say("courses.page.stop", name=name)
        found.append(Line("stop", stop, stop, running=running))
    begun = {running.course.begun.course for running in status.courses}
    days = {option.code: option.expected_on for option in status.why.options} if status.why else {}
    for template in templates(logbook).values():
        if template.code in begun or (template.forms and status.form not in template.forms):
            continue
        day = days.get(template.code)
        when = words.say("courses.page.rejoins", day=day_month(day, status.on)) if day else ""
        text, brief = words.say("courses.page.begin", name=template.name), template.name
        if status.dislikes_wet and WETTING & template.kinds:
            text = words.say("courses.next.wet-leaves", text=text)
            brief = words.say("courses.page.wets", text=brief)
        found.append(Line("begin", text, brief, when, course=template.code))
    return found


def _newest(plant: Plant) -> tuple[EntryName, str] | None:
    """The entry about a course that was made last, and what it is called."""
    marks = max(plant.marks, key=lambda mark: mark.id, default=None)
    begun = max(plant.courses, key=lambda course: course.id, default=None)
    if marks is not None and (begun is None or marks.id > begun.id):
        kind = "stopped" if marks.step_id is None else "done"
        return EntryName(kind, marks.day, plant.id, marks.id), _said_mark(marks)
    if begun is None:
        return None
    return EntryName("course", begun.began_on, plant.id, begun.id), words.say("courses.page.begun")


def _said_mark(mark: CourseMark) -> str:
    return words.say(f"courses.page.{'stopping' if mark.step_id is None else 'doing'}")

"""The courses of treatment of one plant: what is due, what to do next, what can be begun."""

from dataclasses import dataclass
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.core.lineage import lived
from rounds.core.log.courses import WETTING
from rounds.service.courses.about import about_texts, option_text, schedule_text
from rounds.service.courses.advice import LIFTING
from rounds.service.courses.cautions import OF_PLANT_OR_LABEL, cautions, use_minds, wet_minds
from rounds.service.courses.fitting import is_usual, marked_unusual, usual_first
from rounds.service.courses.shelf import (
    StepHere,
    disliking,
    do_steps,
    due_here_too,
    entered_together,
    withdraw_together,
)
from rounds.service.courses.standing import CourseRunning
from rounds.service.courses.templates import Template, course_name, templates
from rounds.service.courses.text import brief_due_text, due_text, how_text
from rounds.service.courses.written import Asked, treat
from rounds.service.day.at_hand import record_of, status_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import now
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus
from rounds.service.plant.timeline import course_lines
from rounds.tui.forms.begin_course import begin_course_form
from rounds.tui.forms.step_done import step_done_form
from rounds.tui.page import Page, wrap
from rounds.tui.pages.parts import ROOMY, hint
from rounds.tui.pages.told import ListLine, Paragraph, Told
from rounds.tui.screens.asking import asking_bindings
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.of_plant import OfPlant
from rounds.words.forms import calendar_day, codes_text, day_month

FIXED_ROWS, LEAST_FOOT = 8, 3
"""Rows of a page that are neither above the lines, nor theirs, nor of the foot; least of that."""

MOST_NEXT, FEW, MOST_ABOUT = 5, 3, 7
"""Most rows of what to do next, of anything where rows are few, and of what a line means."""


@dataclass(frozen=True, slots=True)
class Line:
    """What a line does: `step` of a course, `stop` it, or `begin` one."""

    does: str
    text: str
    brief: str
    """the same where there is little room"""
    about: tuple[str, ...]
    """what it comes to, in sentences: told of the line that is marked"""
    when: str = ""
    running: CourseRunning | None = None
    course: str = ""


class CoursesScreen(LaidOut, OfPlant, sheet="courses"):
    """Enter does what the marked line says; x takes the newest entry about a course back."""

    HELP = "courses"
    COLUMNS = ("what", "brief", "when")
    BINDINGS: ClassVar[list[BindingType]] = asking_bindings("courses", "yes", "rest", "no")

    def __init__(self, logbook: Logbook, code: str, who: str | None = None) -> None:
        self.who = who
        super().__init__(logbook, code)

    def read(self) -> None:
        """Its courses, and what to do next as far as that is worked out."""
        record = record_of(self.logbook, self.plant())
        self.status = self.days.with_why(self.day, record, status_on(self.day, record))
        self.lines = [*_running_lines(self.logbook, self.status), *_to_begin(record, self.status)]
        self.newest = max(course_lines(record), key=lambda line: line.order, default=None)
        self.minds = _minds(record, self.status)
        self.how = " ".join(how_text(running.kind) for running in self.status.courses[:1])

    def read_if_old(self) -> None:
        """As any list; a course that was begun meanwhile is marked."""
        before = {line.running.course.begun.id for line in self.lines if line.running}
        super().read_if_old()
        for at, line in enumerate(self.lines):
            if line.running and line.running.course.begun.id not in before:
                self.mark = at
                break

    def told(self) -> Told:
        """What is said of them, and the lines."""
        on = self.day.on
        return Told(
            title=words.say("courses.page.title"),
            clock=calendar_day(on, on),
            status=self.status,
            above=self._said_above(),
            lines=[
                ListLine(
                    {"what": line.text, "brief": line.brief, "when": (line.when, "quiet")}
                )
                for line in self.lines
            ],
            message=self.said,
            asked=self.asked,
            otherwise=[self._about(self.lines[self.mark])] if self.lines and self.is_roomy else (),
            most=MOST_ABOUT,
            second=hint("take-back") if self.newest else None,
        )  # fmt: skip

    def _said_above(self) -> list[Paragraph]:
        """What is said above the lines; where rows are few, as much as leaves room for them all."""
        told = self._told_above()
        if not self.is_roomy:
            return told
        room = self.app.size.height - FIXED_ROWS - self._foot_rows() - len(self.lines)
        kept = set()
        # what to do next and the cautions were given their room first
        for at in sorted(range(len(told)), key=lambda at: (told[at].may_go, at)):
            room -= min(told[at].rows, self._rows_of(told[at].text))
            if not told[at].may_go or room >= 0:
                kept.add(at)
        return [paragraph for at, paragraph in enumerate(told) if at in kept]

    @property
    def _width(self) -> int:
        page = Page(*self.app.size, wide=self.is_wide)
        return page.until - page.edge

    def _foot_rows(self) -> int:
        """Rows of the foot, whichever line is marked: the list does not move with the mark."""
        longest = max((self._rows_of(self._about(line)) for line in self.lines), default=0)
        return max(LEAST_FOOT, longest)

    def _rows_of(self, text: str) -> int:
        return len(wrap(text, self._width))

    def _about(self, line: Line) -> str:
        """What a line comes to: one sentence, and those more that leave room for all lines."""
        must = sum(self._rows_of(of.text) for of in self._told_above() if not of.may_go)
        free = self.app.size.height - FIXED_ROWS - must - len(self.lines)
        most = min(max(free, LEAST_FOOT), MOST_ABOUT)
        counts = range(len(line.about), 1, -1)
        told = (" ".join(line.about[:count]) for count in counts)
        return next((text for text in told if self._rows_of(text) <= most), line.about[0])

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """What is left out above the lines."""
        said = self._said_above()
        shown = [of.text for of in said]
        above = [of.text for of in self._told_above() if of not in said]
        above += [text for text in self.minds if text not in shown]
        about = [" ".join(line.about) for line in self.lines[self.mark : self.mark + 1]]
        left = [text for text in about if text != self._about(self.lines[self.mark])]
        return [(text, "") for text in (*above, *left)]

    def _told_above(self) -> list[Paragraph]:
        """All there is to say above the lines."""
        is_roomy = self.app.size.height >= ROOMY
        why = self.status.why
        first = why.options[0] if why and why.options else None
        # where insects live on it, there is something to be done next
        is_awaited = why is None and self.status.is_known_alive
        next_text = words.say("courses.page.calculating") if is_awaited else ""
        if first is not None:
            code = "next" if first.alternative else "next-alone"
            next_text = words.say(
                f"courses.page.{code}", text=first.text, why=first.reason, other=first.alternative
            )
        works = [told for told in why.works.values() if told.reason != "not-used"] if why else []
        worked = " ".join(
            part for told in works[-1:] for part in (told.text, told.expected_text) if part
        )
        told = [
            Paragraph(next_text, "strong", rows=MOST_NEXT if is_roomy else FEW),
            Paragraph(worked, "quiet", rows=MOST_NEXT, may_go=True),
            Paragraph(self.how if self.is_wide else "", rows=FEW, may_go=True),
            *(Paragraph(text, "quiet", FEW) for text in self._minds_within(next_text)),
        ]
        return [paragraph for paragraph in told if paragraph.text]

    def _minds_within(self, next_text: str) -> list[str]:
        """As many cautions as leave room for all lines and a little about one; the first always."""
        room = self.app.size.height - FIXED_ROWS - LEAST_FOOT - len(self.lines)
        room -= min(self._rows_of(next_text), MOST_NEXT)
        kept: list[str] = []
        for text in self.minds:
            room -= self._rows_of(text)
            if kept and room < 0:
                break
            kept.append(text)
        return kept

    def lines_count(self) -> int:
        """What can be done."""
        return len(self.lines)

    def open_line(self, index: int) -> None:
        """Ask whether the step was done or the course is stopped; a form begins one."""
        line = self.lines[index]
        if line.does == "begin":
            self.app.push_screen(begin_course_form(self.logbook, self.code, line.course, self.who))
        elif line.running is not None and line.does == "step":
            self._ask_done(line.text, line.running)
        elif line.running is not None:
            running, text = line.running, words.say("courses.page.ask-stop", what=line.text)
            said = {"yes": "stop"}
            self.ask(text, ("yes", "no"), lambda role: self._stop(running, role), said=said)

    def _ask_done(self, what: str, running: CourseRunning) -> None:
        """Whether the step was done; where it is due at others here too, whether at all of them."""
        plant, on = self.plant(), self.day.on
        others = due_here_too(self.logbook, plant, running.course, on)
        text = words.say("courses.page.ask-done", what=what)
        courses = lived(plant, self.logbook.collection().plants).courses_on(on)
        warned = use_minds(courses, running.course.begun.label, on) if running.is_product else ()
        for mind in (*warned, *wet_minds(disliking(others, on))):
            text = words.say("courses.page.ask-done-mind", ask=text, mind=mind.text)
        steps = {"yes": [StepHere(plant, running.course)]}
        steps["rest"] = [*steps["yes"], *others]
        self.ask(
            text,
            ("yes", "rest", "begin", "no") if others else ("yes", "begin", "no"),
            lambda role: self._answer(running, role, steps),
            said={"yes": "done", "rest": "done-here", "begin": "another-day", "no": "not-done"},
            count=len(others) + 1,
        )

    def _answer(self, running: CourseRunning, role: str, steps: dict[str, list[StepHere]]) -> None:
        """Write it of today, or have the day entered in a form."""
        if role == "begin":
            form = step_done_form(self.logbook, due_text(running), steps["rest"], self.who)
            self.app.push_screen(form)
        else:
            self._do(running, steps.get(role, []))

    def _do(self, running: CourseRunning, steps: list[StepHere]) -> None:
        if not steps:
            return
        do_steps(self.logbook, now(self.logbook.clock, self.who), steps)
        code = "said-done" if len(steps) == 1 else "said-done-at"
        codes = codes_text(step.plant.code for step in steps)
        self.message = words.say(f"courses.page.{code}", what=due_text(running), codes=codes)

    def _stop(self, running: CourseRunning, role: str) -> None:
        if role == "yes":
            moment, course = now(self.logbook.clock, self.who), running.course.begun.course
            treat(self.logbook, moment, [self.code], Asked(course, stop=True))
            name = course_name(self.logbook, course)
            self.message = words.say("courses.page.said-stopped", name=name)

    def pressed(self, role: str) -> None:
        """x asks about the newest entry."""
        newest = self.newest
        if role == "take-back" and newest is not None and newest.name is not None:
            day = day_month(newest.day, self.day.on)
            what = words.say("plant.entry.when-day", what=newest.text, day=day)
            self._ask_undo(newest.name, what)
        elif role == "take-back":
            self.message = words.say("plant.said.nothing")
        else:
            super().pressed(role)

    def _ask_undo(self, name: EntryName, what: str) -> None:
        """Whether an entry is undone; what was entered at a whole shelf is at all of it."""
        together = entered_together(self.logbook, name)
        if len(together) < 2:
            self.ask_take_back(str(name), what)
            return
        everywhere = words.say("courses.page.together", what=what, count=len(together))

        def then(role: str) -> None:
            if role == "yes":
                withdraw_together(self.logbook, now(self.logbook.clock, self.who), together)
                self.message = words.say("plant.said.taken-back", what=everywhere)

        self.ask(words.say("plant.ask.take-back", what=everywhere), ("yes", "no"), then)


def _minds(record: PlantRecord, status: PlantStatus) -> list[str]:
    """What to mind at the steps of all courses under way, else at what to do next.

    First what goes for this plant or stands on a label: a course that is due later has it too.
    """
    if not status.courses:
        options = status.why.options[:1] if status.why else ()
        return [told.text for option in options for told in option.cautions]
    told = [
        told
        for running in status.courses
        for told in cautions(record.plant, running.kind, running.course.begun.label, record.on)
    ]
    ordered = sorted(told, key=lambda each: each.code not in OF_PLANT_OR_LABEL)
    return list(dict.fromkeys(each.text for each in ordered))


def _running_lines(logbook: Logbook, status: PlantStatus) -> list[Line]:
    """The step due of each course under way, and how to stop it."""
    found: list[Line] = []
    for running in status.courses:
        name = course_name(logbook, running.course.begun.course)
        due = words.say("courses.cli.due", day=day_month(running.due_on, status.on))
        text = due_text(running)
        brief = brief_due_text(running)
        if not running.is_disliked:
            # both do not fit; what is told of the marked line has the day
            brief = words.say("courses.page.brief-step", step=brief, due=due)
        about = (schedule_text(running, status.on),)
        found.append(Line("step", text, brief, about, due, running))
        stop = words.say("courses.page.stop", name=name)
        found.append(Line("stop", stop, stop, (words.say("courses.about.stop"),), running=running))
    return found


def _to_begin(record: PlantRecord, status: PlantStatus) -> list[Line]:
    """The courses that can be begun, each with what it comes to."""
    found: list[Line] = []
    begun = {running.course.begun.course for running in status.courses}
    options = {option.code: option for option in status.why.options} if status.why else {}
    as_it_goes = options[LIFTING].expected_on if LIFTING in options else None
    known = templates(record.logbook).values()
    for template in usual_first(known, record.pests, record.table):
        if template.code in begun or (template.forms and status.form not in template.forms):
            continue
        option = options.get(template.code)
        day = option.expected_on if option else None
        when = words.say("courses.page.rejoins", day=day_month(day, status.on)) if day else ""
        text, brief = _begin_texts(record, status, template)
        # to go on lifting is how things go
        told = option if template.code != LIFTING else None
        rejoins = option_text(told, as_it_goes, status.on) if told else ""
        about = tuple(filter(None, (*about_texts(record, template), rejoins)))
        found.append(Line("begin", text, brief, about, when, course=template.code))
    return found


def _begin_texts(record: PlantRecord, status: PlantStatus, template: Template) -> tuple[str, str]:
    """To begin a course, with what speaks against it; the same where there is little room."""
    text = brief = words.say("courses.page.begin", name=template.name)
    wets = status.dislikes_wet and bool(WETTING & template.kinds)
    if is_usual(template, record.pests, record.table):
        if wets:
            text = words.say("courses.next.wet-leaves", text=text)
            brief = words.say("courses.page.wets", text=template.name)
        return text, brief
    if wets:
        marked = words.say("courses.fitting.wets", text=text)
        return marked, words.say("courses.page.wets", text=template.name)
    return marked_unusual(text, record.pests), words.say(
        "courses.fitting.brief", text=template.name
    )

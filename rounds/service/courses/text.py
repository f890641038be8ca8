"""A step of a course in words."""

from collections.abc import Sequence

from rounds import words
from rounds.core.log.courses import Label
from rounds.service.courses.standing import CourseRunning


def step_text(kind: str, label: Label) -> str:
    """What a step is called: spray; use the product of its label."""
    return words.say(f"courses.step.{kind}", product=label.product or "")


def how_text(kind: str) -> str:
    """How a step is done, in one sentence."""
    return words.say(f"courses.how.{kind}")


def due_text(running: CourseRunning) -> str:
    """What is due next of a course, and the how-manieth of its steps that is: spray, 2 of 4.

    Of a plant that dislikes wet leaves nothing that wets them is told without that word.
    """
    text = _due_text(running)
    return words.say("courses.next.wet-leaves", text=text) if running.is_disliked else text


def brief_due_text(running: CourseRunning) -> str:
    """The same where there is little room."""
    return brief_shared_text([running])


def shared_text(courses: Sequence[CourseRunning]) -> str:
    """The same of one step at one plant or several; how many dislike it, where it wets leaves."""
    if len(courses) == 1:
        return due_text(courses[0])
    text, count = _due_text(courses[0]), sum(running.is_disliked for running in courses)
    return words.say("courses.next.wet-leaves-of", text=text, count=count) if count else text


def brief_shared_text(courses: Sequence[CourseRunning]) -> str:
    """The same where there is little room."""
    return _or_wets(_due_text(courses[0]), courses)


def bare_shared_text(courses: Sequence[CourseRunning]) -> str:
    """The same where there is hardly any room: without the how-manieth step it is."""
    first = courses[0]
    return _or_wets(step_text(first.kind, first.course.begun.label), courses)


def _or_wets(text: str, courses: Sequence[CourseRunning]) -> str:
    is_disliked = any(running.is_disliked for running in courses)
    return words.say("courses.page.wets", text=text) if is_disliked else text


def _due_text(running: CourseRunning) -> str:
    return numbered_step(running.kind, running.course.begun.label, running.number, running.of)


def numbered_step(kind: str, label: Label, number: int, of: int) -> str:
    """A step with its number, where there are several: spray, 2 of 4."""
    step = step_text(kind, label)
    return step if of == 1 else words.say("courses.number-of", step=step, number=number, of=of)

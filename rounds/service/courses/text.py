"""A step of a course in words."""

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
    text = _due_text(running)
    return words.say("courses.page.wets", text=text) if running.is_disliked else text


def _due_text(running: CourseRunning) -> str:
    return numbered_step(running.kind, running.course.begun.label, running.number, running.of)


def numbered_step(kind: str, label: Label, number: int, of: int) -> str:
    """A step with its number, where there are several: spray, 2 of 4."""
    step = step_text(kind, label)
    return step if of == 1 else words.say("courses.number-of", step=step, number=number, of=of)

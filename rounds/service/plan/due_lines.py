"""What there is to do today as lines: the same step of a course at several plants is one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.service.courses.text import bare_shared_text, brief_shared_text, shared_text
from rounds.service.courses.together import SameStep, same_step
from rounds.service.plan.today import Due
from rounds.service.plant.status import PlantStatus


@dataclass(frozen=True, slots=True)
class DueLine:
    """One thing to do at one plant, or one step of a course at several, the first due first."""

    dues: tuple[Due, ...]
    step: SameStep | None = None
    """of a course, where it is one"""

    @property
    def on(self) -> date:
        """Since when the first of them is due."""
        return self.dues[0].on

    @property
    def status(self) -> PlantStatus:
        """Of the plant, of several the first."""
        return self.dues[0].status

    @property
    def texts(self) -> tuple[str, ...]:
        """What is to be done, in ever fewer words."""
        due, courses = self.dues[0], [of.course for of in self.dues if of.course is not None]
        if not courses:
            return (due.text, due.short)
        return (shared_text(courses), brief_shared_text(courses), bare_shared_text(courses))

    @property
    def who(self) -> str:
        """The plant by code and name; how many there are of several."""
        status = self.status
        return f"{status.code}  {status.name}" if len(self.dues) == 1 else self.count_text

    @property
    def brief_who(self) -> str:
        """The code of the plant; how many there are of several."""
        return self.status.code if len(self.dues) == 1 else self.count_text

    @property
    def count_text(self) -> str:
        """How many plants: 20 plants."""
        return plants_text(len(self.dues))


def plants_text(count: int) -> str:
    """So many plants, of which there are several."""
    return words.say("agenda.round.plants", count=count)


def due_lines(due: Sequence[Due]) -> list[DueLine]:
    """The lines of what there is to do, in its order; a step stands where its first plant does."""
    found: dict[object, list[Due]] = {}
    for number, of in enumerate(due):
        found.setdefault(same_step(of.course) if of.course else number, []).append(of)
    return [
        DueLine(tuple(dues), key if isinstance(key, SameStep) else None)
        for key, dues in found.items()
    ]

"""Plants and places as they were on each day: facts are dated, so no change rewrites the past."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from rounds.core.log.courses import CourseBegun, CourseMark, PlantCourse, effective_courses

Standing = Literal["quarantine", "watch", "collection", "gone"]

BARE = re.compile(r"[0-9]+")
WORD_AND_NUMBER = re.compile(r"[^\W\d_]{2,} ([0-9]+)")
"""A spot that is a number alone, and one of a word and its number."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing said about a plant or a place, true from a day on."""

    id: int
    owner_id: int
    from_day: date
    what: str
    value: str


def fact_on(facts: Iterable[Fact], what: str, day: date) -> str | None:
    """The value said last about `what` up to `day`; before the first fact, that of the first."""
    said = [fact for fact in facts if fact.what == what]
    if not said:
        return None
    past = [fact for fact in said if fact.from_day <= day]
    if past:
        return max(past, key=lambda fact: (fact.from_day, fact.id)).value
    return min(said, key=lambda fact: (fact.from_day, fact.id)).value


CLEANED = "cleaned"
"""The fact that a place was cleaned; its value is the spot, or nothing for all of the place."""


def same_spot(one: str | None, other: str | None) -> bool:
    """Whether two spots are written alike, but for case and blanks; none is a spot too.

    A number alone is the spot of that number: 6 is spot 6, and neither A6 nor row 2 spot 6.
    """
    here, there = _folded(one), _folded(other)
    return here == there or _is_number_of(here, there) or _is_number_of(there, here)


def _is_number_of(number: str, named: str) -> bool:
    of = WORD_AND_NUMBER.fullmatch(named)
    return of is not None and BARE.fullmatch(number) is not None and int(of[1]) == int(number)


def _folded(spot: str | None) -> str:
    return " ".join((spot or "").casefold().split())


@dataclass(frozen=True, slots=True)
class Place:
    """A place where plants stand."""

    id: int
    name: str
    facts: tuple[Fact, ...] = ()

    def apart(self, day: date) -> bool:
        """Whether new and infested plants stand here."""
        return fact_on(self.facts, "apart", day) == "yes"

    def outdoors(self, day: date) -> bool:
        """Whether it lies outside."""
        return fact_on(self.facts, "outdoors", day) == "yes"

    def room(self, day: date) -> str | None:
        """The room it is in."""
        return fact_on(self.facts, "room", day) or None

    def bench(self, day: date) -> str | None:
        """The bench it is part of."""
        return fact_on(self.facts, "bench", day) or None

    def usual_c(self, day: date) -> float | None:
        """The usual temperature there, degC, if one was entered."""
        said = fact_on(self.facts, "usual_c", day)
        return float(said) if said else None

    def cleaned_on(self, spot: str | None, first: date, last: date) -> date | None:
        """The last day from `first` to `last` on which a spot, or all of the place, was cleaned."""
        return max(
            (
                fact.from_day
                for fact in self.facts
                if fact.what == CLEANED and first <= fact.from_day <= last
                if not fact.value or same_spot(fact.value, spot)
            ),
            default=None,
        )


@dataclass(frozen=True, slots=True)
class Move:
    """A plant was put somewhere."""

    id: int
    plant_id: int
    day: date
    place_id: int
    spot: str | None


START, INSECTS_SEEN, NO_INSECTS_SEEN = "start", "insects-seen", "none-seen"
"""The fact of what was seen on a plant when it came, before any look, and its values."""

FOUND, FOUND_CANNOT_MOVE = "found", "found-cannot-move"
"""Reasons why a quarantine began other than an arrival or a move."""

CAME_IN = "came-in"
"""The reason of a quarantine that began as a plant came in from outdoors."""

TOUCHED, STOOD_NEAR = "touched", "near"
"""Reasons of a watch, each before the code of the plant with insects."""


@dataclass(frozen=True, slots=True)
class Period:
    """A time a plant stood apart, or was watched. `ended_on` is the day judged at its end.

    `began_because`: arrived, moved-apart, came-in, divided, found, found-cannot-move, or of a watch
    `touched CODE` or `near CODE`.
    A watch ends by itself, when one further generation has passed.
    """

    id: int
    plant_id: int
    began_on: date
    kind: str
    began_because: str
    ended_on: date | None = None
    reason: str | None = None
    early: bool = False
    end_id: int | None = None

    @property
    def is_put_apart(self) -> bool:
        """Whether somebody put the plant apart for a find, while it stood among the others."""
        return self.began_because in (FOUND, FOUND_CANNOT_MOVE)

    @property
    def came_in(self) -> bool:
        """Whether it began as the plant came in from outdoors, which is as if it had come new."""
        return self.began_because == CAME_IN

    @property
    def is_watch_near(self) -> bool:
        """Whether somebody put it on watch as it had stood near a find."""
        return self.kind == "watch" and self.began_because.partition(" ")[0] == STOOD_NEAR

    def is_open(self, on: date) -> bool:
        """Begun and not yet ended at the end of `on`."""
        return self.began_on <= on and (self.ended_on is None or self.ended_on > on)


@dataclass(frozen=True, slots=True)
class Plant:
    """A plant with all that was said of it."""

    id: int
    code: str
    first_day: date
    facts: tuple[Fact, ...] = ()
    moves: tuple[Move, ...] = ()
    periods: tuple[Period, ...] = ()
    courses: tuple[CourseBegun, ...] = ()
    marks: tuple[CourseMark, ...] = ()
    """what was entered about its courses after they were begun"""

    @property
    def entered_on(self) -> date | None:
        """The day of the fact entered first; facts entered later may be about earlier days."""
        first = min(self.facts, key=lambda fact: fact.id, default=None)
        return first.from_day if first else None

    def fact(self, what: str, day: date) -> str | None:
        """The value of a fact on a day; None where it is unknown or empty.

        Facts said when the plant was entered hold for earlier days too; later changes do not.
        """
        until = max(day, self.entered_on or day)
        known = [fact for fact in self.facts if fact.from_day <= until]
        return fact_on(known, what, day) or None

    def pests_followed(self, day: date, usual: str) -> dict[str, date]:
        """The pests it is said to be followed for at the end of a day, each from which day on.

        Args:
            day: the day.
            usual: the pest followed where none is said.
        """
        said = {fact.from_day for fact in self.facts if fact.what == "pests"}
        later = sorted(from_day for from_day in said if self.first_day < from_day <= day)
        followed: dict[str, date] = {}
        for since in (self.first_day, *later):
            pests = (self.fact("pests", since) or usual).split()
            followed = {pest: followed.get(pest, since) for pest in pests}
        return followed

    def insects_seen(self, day: date) -> bool:
        """Whether insects were seen on it when it came, which nobody counted."""
        return self.fact(START, day) == INSECTS_SEEN

    def touching(self, day: date) -> tuple[int, ...]:
        """The ids of the plants it touched at the end of a day; none before the first entry."""
        said = [f for f in self.facts if f.what == "touching" and f.from_day <= day]
        newest = max(said, key=lambda fact: (fact.from_day, fact.id), default=None)
        return tuple(int(other) for other in newest.value.split()) if newest else ()

    def gone(self, day: date) -> str | None:
        """How it left for good, if it had by the end of `day`."""
        said = [f for f in self.facts if f.what == "gone" and f.from_day <= day]
        return said[-1].value if said else None

    def move_on(self, day: date) -> Move | None:
        """The move that put it where it stood at the end of `day`."""
        past = [move for move in self.moves if move.day <= day]
        if past:
            return max(past, key=lambda move: (move.day, move.id))
        return min(self.moves, key=lambda move: (move.day, move.id), default=None)

    def quarantine(self, day: date) -> Period | None:
        """The quarantine it is in at the end of `day`; the one that began first, if several."""
        opened = [p for p in self.periods if p.kind == "quarantine" and p.is_open(day)]
        return min(opened, key=lambda p: (p.began_on, p.id), default=None)

    def courses_on(self, day: date) -> tuple[PlantCourse, ...]:
        """Its courses of treatment as they stand at the end of a day, oldest first."""
        return effective_courses(self.courses, self.marks, day)

    def watched_from(self, day: date) -> date | None:
        """When it was last put on watch up to `day`: it rejoined the others, or touched a find."""
        began = [p.began_on for p in self.periods if p.kind == "watch" and p.began_on <= day]
        released = self.released_on(day)
        return max([*began, *([released] if released else [])], default=None)

    def watched_for(self, day: date) -> tuple[str, str] | None:
        """Why it is watched, touched or near, and the code of the plant with insects.

        None where it only rejoined the others.
        """
        began = [p for p in self.periods if p.kind == "watch" and p.began_on <= day]
        newest = max(began, key=lambda p: (p.began_on, p.id), default=None)
        released = self.released_on(day)
        if newest is None or (released is not None and released > newest.began_on):
            return None
        how, _, code = newest.began_because.partition(" ")
        return (how, code) if code else None

    def released_on(self, day: date) -> date | None:
        """When its latest quarantine ended, up to `day`."""
        ended = [
            p.ended_on
            for p in self.periods
            if p.kind == "quarantine" and p.ended_on is not None and p.ended_on <= day
        ]
        return max(ended, default=None)


@dataclass(frozen=True, slots=True)
class WeatherDay:
    """The least and greatest temperature of a place on a day, degC."""

    id: int
    place_id: int
    day: date
    min_c: float
    max_c: float

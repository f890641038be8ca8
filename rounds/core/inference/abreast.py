"""Several courses run back as one: the same dates and finds, under chances that differ.

A small run spends its time on the number of steps, not on their size: the refits of a band, or the
grid of a rate, take little longer together than one of them.
"""

from collections.abc import Generator, Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise

import numpy as np

from rounds.core.biology.day import Day, Values, values_before
from rounds.core.inference.backward import Arrived, Backward, Course, Event, Seen, of_finds
from rounds.core.inference.observed import Look
from rounds.core.inference.prior import value_infested, with_chance
from rounds.core.inference.scale import scales
from rounds.core.inference.series import Array


class Abreast(Backward):
    """One run for several courses, each with the same values of one insect at its end.

    Args:
        courses: of the same pooling; those that share their days stand side by side.
        ends: values at the end, the same for all types: 0 nothing left, 1 any number.
        scale: of the variables, as in `Backward`.
    """

    def __init__(self, courses: Sequence[Course], ends: Sequence[float], scale: float) -> None:
        self.courses, self.each = tuple(courses), len(ends)
        self._infested: dict[int, Array] = {}
        """by course, the value of its start if the plant is infested, once the run is at its end"""
        self._steps = [[event for event in c.events if isinstance(event, Day)] for c in courses]
        self._day_number = len(self._steps[0])
        events = tuple(self._one(same) for same in zip(*(c.events for c in courses), strict=True))
        types = len(courses[0].landing)
        terminals = np.tile(np.asarray(ends, dtype=float)[:, None], (types, len(courses), 1))
        super().__init__(replace(courses[0], events=events), terminals, scale, in_parts=True)
        landing = np.stack([course.landing for course in courses], axis=1)
        self._landed = np.flatnonzero(landing.any(axis=1))
        self._landing = landing[self._landed].repeat(self.each, axis=1)[:, :, None]

    def chances_of(
        self, number: int, infested: float | None = None, arrivals: float = 1.0
    ) -> Array:
        """(E,): what `values` of a run of that course alone would be.

        Args:
            number: of the course.
            infested: another chance that the plant is infested at its start.
            arrivals: as if so many times as many had come.
        """
        own, caps = slice(number * self.each, (number + 1) * self.each), self.frame.caps
        known = self.courses[number].known
        if number not in self._infested:
            self._infested[number] = value_infested(known, self.state[:, own], caps)
        chance = known.infested if infested is None else infested
        value = with_chance(chance, self._infested[number])
        return of_finds(value, self.exponent[own], caps, arrivals)

    def _one(self, same: tuple[Event, ...]) -> Event:
        """One event for those of all courses."""
        if isinstance(same[0], Seen):
            return self._seen([seen for seen in same if isinstance(seen, Seen)])
        if isinstance(same[0], Arrived):
            return Arrived(self._by_terminal([np.array([e.mean]) for e in same
                                              if isinstance(e, Arrived)]))  # fmt: skip
        return same[0]

    def _seen(self, same: Sequence[Seen]) -> Seen:
        looks = [seen.look for seen in same]
        finds = tuple(
            (replace(find, found=self._by_terminal([s.finds[at][0].found for s in same])), variable)
            for at, (find, variable) in enumerate(same[0].finds)
        )
        kills = [look.kills for look in looks if look.kills is not None]
        gone = [seen.gone for seen in same if seen.gone is not None]
        unseen = self._by_terminal([look.unseen for look in looks])
        read = Look(unseen, kills=self._by_terminal(kills) if kills else None)
        return Seen(read, finds, self._by_terminal(gone) if gone else None)

    def _by_terminal(self, several: Sequence[Values]) -> Values:
        """(T,) of each course to (T, V)."""
        return np.stack(several, axis=1).repeat(self.each, axis=1)

    def _before(self, day: Day, after: Values, out: Values | None) -> Values:
        """As of one course, each part of the terminals by its own day."""
        self._day_number -= 1
        result = np.empty_like(after) if out is None else out
        width = after.shape[1] // len(self.courses)
        for own, first, last in _parts_of([steps[self._day_number] for steps in self._steps]):
            part = slice(first * width, last * width)
            values_before(own, after[:, part], result[:, part])
        return result

    def _arrivals(self, mean: float | Values) -> None:
        came = (self._landing * self.state[self._landed]).sum(axis=0)
        came[:, 0] -= self.constant
        self.exponent = self.exponent + np.reshape(mean, (-1, 1)) * came


def _parts_of(days: Sequence[Day]) -> Iterator[tuple[Day, int, int]]:
    """Each day with the number of the first course it is of, and of the first after these."""
    firsts = [next(same)[0] for _, same in groupby(enumerate(days), lambda each: id(each[1]))]
    for first, last in pairwise([*firsts, len(days)]):
        yield days[first], first, last


def run_abreast(courses: Sequence[Course], ends: Sequence[float]) -> Generator[None, None, Abreast]:
    """A run at a scale that serves the first course; the others may lie out of range.

    It yields some 15 ms apart.
    """
    tries = scales(sum(courses[0].pooling.caps))
    scale = next(tries)
    while True:
        run = Abreast(courses, ends, scale)
        yield from run.quiet_parts()
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            chance = float(run.chances_of(0)[-1])
        try:
            scale = tries.send(chance)
        except StopIteration:
            return run

"""The chance clean on days to come, supposing that their looks find nothing.

The value of an insect at the end of the log, under the looks to come, is cheap and worked out for
every day. The log behind it is not, but does not have to be: let F(u) be the chance of the log for
values u at its end, a power series without a negative coefficient. A line that is gone without
having been seen stays so, and each further look shows more, so that from day to day F rises for
nothing left and falls for anything left. Their ratio g only rises; what may have come since then is
a factor q that is known for every day. A day worked out thus says something of all days before and
after it.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import exp

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.answer import is_possible
from rounds.core.inference.backward import Backward, prepare
from rounds.core.inference.batch import clean_day_back
from rounds.core.inference.observed import Log, LoggedDay
from rounds.core.inference.scale import fault_of, scales
from rounds.core.inference.series import size

AHEAD_BUDGET = 256
"""coefficients of the finds up to now: every day ahead is a run of its own"""
LEAST_LIKELY = 1e-200
"""chance of clean looks up to a date, beside that up to the likeliest: below it, none is told"""
AT_ONCE = 16_384
"""coefficients of all days worked on together, for memory"""
BLOCK = 30
"""days whose values at the end of the log are worked out together"""

DayAhead = Callable[[int], LoggedDay]
"""the day so many after the end of the log, without finds; counted from 1"""


@dataclass(frozen=True, slots=True, eq=False)
class _Ends:
    """Values at the end of the log, for nothing left and anything left so many days later."""

    state: Values
    """(T, 2, days)"""
    exponent: Values
    """(2, days): of what arrives after the log"""


class DaysAhead:
    """The days ahead, 0 being the end of the log. A day costs something only once worked out.

    Args:
        log: up to now.
        day: the days after it.
        last: the number of the last of them.
        budget: coefficients of the finds up to now.

    Raises:
        ImpossibleEntry: something was found at the start where nothing can be.
    """

    def __init__(self, log: Log, day: DayAhead, last: int, budget: int = AHEAD_BUDGET) -> None:
        self._log, self._day, self.last = log, day, last
        self._course = prepare(log, budget)
        self.at_once = max(1, AT_ONCE // (2 * size(self._course.pooling.caps)))
        """days that fit into one run"""
        self._blocks: dict[int, _Ends] = {}
        self._scale = 1.0
        self.worked_out: dict[int, tuple[float, float]] = {}
        """by day: chances of the log with nothing left and with anything left, nothing arriving"""

    def work_out(self, numbers: Iterable[int]) -> Iterator[None]:
        """Work out some days, with a pause wherever a hand would notice.

        Raises:
            ImpossibleEntry: something in the log cannot happen.
            ChanceOutOfRange: it can, but is too rare for any sum.
        """
        if not self.worked_out:
            yield from self._now()
        wanted = sorted(set(numbers) - self.worked_out.keys())
        for begin in range(0, len(wanted), self.at_once):
            some = wanted[begin : begin + self.at_once]
            run = self._run(some)
            yield from run.parts()
            nothing, anything = run.values().reshape(2, -1)
            for number, *chances in zip(some, nothing, anything, strict=True):
                self.worked_out[number] = float(chances[0]), float(chances[1])
            yield

    def bounds(self, number: int) -> tuple[float, float]:
        """Least and greatest that the chance clean may be on a day; the same once worked out."""
        before = max((n for n in self.worked_out if n <= number), default=None)
        after = min((n for n in self.worked_out if n >= number), default=None)
        if before is None:
            return 0.0, 1.0
        nothing, anything = self.worked_out[before]
        least_later = 0.0 if after is None else self.worked_out[after][1]
        arrived, unseen = self._arrived(number)
        told_from = LEAST_LIKELY * self.worked_out[0][1] / unseen
        if anything < told_from:
            return 0.0, 0.0
        # what is gone by then is not seen: so likely is it at least that none is
        is_told = max(least_later, nothing) >= told_from
        least = arrived * self.cleared(before) if is_told else 0.0
        if before == after:
            return least, least
        is_near = after is not None and least_later >= told_from
        return least, arrived * self.cleared(after) if after is not None and is_near else 1.0

    def cleared(self, number: int) -> float:
        """g of a day that was worked out."""
        nothing, anything = self.worked_out[number]
        return nothing / anything if anything else 0.0

    def arrived(self, number: int) -> float:
        """q of any day."""
        return self._arrived(number)[0]

    def _arrived(self, number: int) -> tuple[float, float]:
        """q, and the chance that of what came since nothing was seen."""
        nothing, anything = self._ends(number).exponent[:, number % BLOCK]
        return exp(nothing - anything), exp(anything)

    def _now(self) -> Iterator[None]:
        """The end of the log, at a scale that leaves room for what is so much less likely."""
        tries = scales(sum(self._course.pooling.caps))
        self._scale = next(tries)
        while True:
            run = self._run([0])
            parts = run.parts()
            while self._goes_on(parts):
                yield
            with np.errstate(over="ignore", invalid="ignore", under="ignore"):
                nothing, anything = run.values()
            try:
                self._scale = tries.send(float(anything) * LEAST_LIKELY)
            except StopIteration as end:
                if end.value[0] is None:
                    raise fault_of(self._log, is_possible) from None
                self.worked_out[0] = float(nothing), float(anything)
                return

    @staticmethod
    def _goes_on(parts: Iterator[None]) -> bool:
        # not around the pause: whoever comes in between keeps their own way with such numbers
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            return next(parts, parts) is None

    def _run(self, numbers: Sequence[int]) -> Backward:
        ends = [self._ends(n).state[:, :, n % BLOCK] for n in numbers]
        terminals = np.stack(ends, axis=2).reshape(len(ends[0]), -1, 1)
        return Backward(self._course, terminals, self._scale, in_parts=True)

    def _ends(self, number: int) -> _Ends:
        block = number // BLOCK
        if block not in self._blocks:
            last = min((block + 1) * BLOCK - 1, self.last)
            self._blocks[block] = self._ends_of(block * BLOCK, last)
        return self._blocks[block]

    def _ends_of(self, first: int, last: int) -> _Ends:
        """For the days from `first` to `last`: each joins when the way back comes by it."""
        landing = self._log.landing
        count = last + 1 - first
        # the last day first
        state = np.zeros((len(landing), 2, count))
        state[:, 1] = 1.0
        exponent = np.zeros((2, count))
        for number in range(last, 0, -1):
            day, known = self._day(number), min(last + 1 - number, count)
            flat = state[..., :known].reshape(len(state), -1)
            for look in reversed(day.looks):
                flat = flat * look.unseen[:, None]
            exponent[:, :known] += day.arrivals * ((landing @ flat).reshape(2, -1) - 1)
            if day.step is not None:
                flat = clean_day_back(day.step, flat)
            state[..., :known] = flat.reshape(len(state), 2, -1)
        return _Ends(state[..., ::-1], exponent[:, ::-1])

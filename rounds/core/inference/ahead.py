"""The chance clean on days to come, supposing that their looks find nothing.

The values of one insect at the end of the log, under the looks to come, are cheap and worked out
for every day. Running the log back from them is not, so it is done for few days only. Let F(u) be
the chance of the log for values u at its end, a power series without a negative coefficient. From
day to day F rises for nothing left, as a line extinct and unseen stays so, and falls for any number
left, as each further look may show some of them; a treatment after the looks of a day leaves both
so. So their ratio g never falls. What arrives after the log is a factor q that is known for every
day. A day worked out therefore bounds the chance clean on all days before and after it.
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

AHEAD_BUDGET = 1024
"""most coefficients of the finds up to now, as for the figure itself: a day named agrees with it"""
LEAST_LIKELY = 1e-200
"""least chance of the looks up to a day, relative to that of the log, with bounds above 0"""
AT_ONCE = 16_384
"""most coefficients of all days run together, to bound memory"""
BLOCK = 30
"""days whose values at the end of the log are worked out together"""

DayAhead = Callable[[int], LoggedDay]
"""from n, counted from 1, to the day n days after the end of the log, without finds"""


@dataclass(frozen=True, slots=True, eq=False)
class _Ends:
    """Values of one insect at the end of the log, for nothing and any number left by day ahead."""

    state: Values
    """(T, 2, days)"""
    exponent: Values
    """(2, days): log of the generating function of what arrives after the log"""


class DaysAhead:
    """The chance clean on days ahead, 0 being the end of the log; each is worked out on demand.

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
        self.is_exact = self._course.pooling.is_exact
        """no finds are taken together"""
        self._blocks: dict[int, _Ends] = {}
        self._scale = 1.0
        self.worked_out: dict[int, tuple[float, float]] = {}
        """by day: chances of the log with nothing and with any number left, arrivals left out"""

    def work_out(self, numbers: Iterable[int]) -> Iterator[None]:
        """Work out some days, yielding often enough that no key press waits.

        Raises:
            ImpossibleEntry: something in the log cannot happen.
            ChanceOutOfRange: it can, but its chance fits no floating-point scale.
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
        """Lower and upper bound of the chance clean on a day; equal once it is worked out."""
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
        # insects gone before are not seen later: the looks are at least as likely as `nothing`
        is_told = max(least_later, nothing) >= told_from
        least = arrived * self.cleared(before) if is_told else 0.0
        if before == after:
            return least, least
        is_near = after is not None and least_later >= told_from
        return least, arrived * self.cleared(after) if after is not None and is_near else 1.0

    def cleared(self, number: int) -> float:
        """The ratio g of a day worked out: chance with nothing left over that with any number."""
        nothing, anything = self.worked_out[number]
        return nothing / anything if anything else 0.0

    def arrived(self, number: int) -> float:
        """The factor q of any day: chance that nothing is left of what arrived after the log."""
        return self._arrived(number)[0]

    def _arrived(self, number: int) -> tuple[float, float]:
        """q, and the chance that nothing was seen of what arrived after the log."""
        nothing, anything = self._ends(number).exponent[:, number % BLOCK]
        return exp(nothing - anything), exp(anything)

    def _now(self) -> Iterator[None]:
        """Work out the end of the log, at a scale that keeps far less likely days in range too."""
        tries = scales(sum(self._course.pooling.caps))
        self._scale = next(tries)
        while True:
            run = self._run([0])
            yield from run.quiet_parts()
            with np.errstate(over="ignore", invalid="ignore", under="ignore"):
                nothing, anything = run.values()
            try:
                self._scale = tries.send(float(anything) * LEAST_LIKELY)
            except StopIteration as end:
                if end.value[0] is None:
                    raise fault_of(self._log, is_possible) from None
                self.worked_out[0] = float(nothing), float(anything)
                return

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
        """Run back once from day `last`; each day down to `first` joins in at its own date."""
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
                if look.kills is not None:
                    flat = look.kills[:, None] + (1 - look.kills)[:, None] * flat
                flat = flat * look.unseen[:, None]
            exponent[:, :known] += day.arrivals * ((landing @ flat).reshape(2, -1) - 1)
            if day.step is not None:
                flat = clean_day_back(day.step, flat)
            state[..., :known] = flat.reshape(len(state), 2, -1)
        return _Ends(state[..., ::-1], exponent[:, ::-1])

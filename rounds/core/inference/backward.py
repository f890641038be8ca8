"""Run a log from its last event to its first: generating function of a branching process.

The state holds the value of one insect of each type: the chance, as a power series with one
variable for each find, that all its descendants show what was entered and end as asked. Winner &
Sheldon 2016 (NIPS 29:2640-2648); Winner, Sujono & Sheldon 2017 (ICML).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from math import prod

import numpy as np

from rounds.core.biology.day import Day, Values, values_before
from rounds.core.inference import series
from rounds.core.inference.observed import Find, Log, Look
from rounds.core.inference.pairing import Placed
from rounds.core.inference.pool import Pooling, Span, pool
from rounds.core.inference.prior import Known, absorb, start_value
from rounds.core.inference.series import Array, Caps

PART = 20_000
"""coefficients of all terminals, summed over events, between two yields: some 15 ms, measured"""


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """A look with the variable of each of its finds."""

    look: Look
    finds: tuple[tuple[Find, int], ...]
    gone: Values | None = None
    """(T,): chance that an insect is shown and taken away uncounted; None where all count"""


@dataclass(frozen=True, slots=True)
class Arrived:
    """A mean number of insects came."""

    mean: float | Values
    """(V,) where each terminal has its own"""


Event = Day | Arrived | Seen


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """A log prepared for runs: its start, events in order of time, and caps of its variables."""

    known: Known
    landing: Values
    events: tuple[Event, ...]
    pooling: Pooling


@dataclass(frozen=True, slots=True)
class Frame:
    """The variables of a state, greatest cap first, so that equal caps share memoised tables."""

    variables: tuple[int, ...]
    caps: Caps

    def with_variable(self, variable: int, cap: int) -> "Frame":
        """The frame with one more variable, after those of caps as great."""
        at = sum(known >= cap for known in self.caps)
        return Frame(
            (*self.variables[:at], variable, *self.variables[at:]),
            (*self.caps[:at], cap, *self.caps[at:]),
        )

    def without(self, variable: int) -> "Frame":
        """The frame without one of its variables."""
        at = self.variables.index(variable)
        return Frame(
            (*self.variables[:at], *self.variables[at + 1 :]),
            (*self.caps[:at], *self.caps[at + 1 :]),
        )

    def place(self, variable: int) -> tuple[int, int, int]:
        """Sizes (slower, own, quicker) that split the axis of coefficients at a variable."""
        at = self.variables.index(variable)
        slower = prod(cap + 1 for cap in self.caps[:at])
        return slower, self.caps[at] + 1, prod(cap + 1 for cap in self.caps[at + 1 :])


@dataclass(slots=True, eq=False)
class DayPassed:
    """What the adjoint sweep needs of an event: `frame` is the one that holds after it.

    Of a day, (L, C) for its laying types: `exp` the factor of their eggs, `laid` their values.
    """

    frame: Frame
    exp: Array | None = None
    laid: Array | None = None


class Backward:
    """One run from the end of a log to its start; `values` then gives its chances.

    `state` (T, V, C): types, terminals, coefficients. `exponent` (V, C): log of the factor of what
    arrived.

    Args:
        course: the log.
        terminals: (T, V, C) values of one insect at the end.
        scale: of the variables: the coefficient of x^k is scale^k times too great.
        keep: the number of the terminal for which an adjoint sweep will follow.
        frame: the variables of the terminals; none by default.
        exponent: (V, C) the exponent to begin with; 0 by default.
        in_parts: whether the caller runs it by `parts`; else it is run at once.
    """

    constant = 1.0
    """weight of what does not depend on the values; 0 for a derivative"""

    def __init__(
        self,
        course: Course,
        terminals: Array,
        scale: float,
        *,
        keep: int | None = None,
        frame: Frame | None = None,
        exponent: Array | None = None,
        in_parts: bool = False,
    ) -> None:
        self.course = course
        self.scale = scale
        self.state: Array = np.array(terminals)
        self.exponent: Array = np.zeros_like(self.state[0]) if exponent is None else exponent
        self.frame = frame or Frame((), ())
        self.keep = keep
        self.passed: list[DayPassed] | None = None if keep is None else []
        self._landed = np.flatnonzero(course.landing)
        self._spare: Array | None = None
        if not in_parts:
            for _ in self.parts():
                pass

    def parts(self) -> Iterator[None]:
        """Run it, yielding after about every `PART` coefficients."""
        done = 0
        for event in reversed(self.course.events):
            self._back(event)
            done += self.state[0].size
            if done >= PART:
                done = 0
                yield

    def quiet_parts(self) -> Iterator[None]:
        """The same, without a word on numbers that a scale drives out of range."""
        parts = self.parts()
        while True:
            # not around the yield: code that runs meanwhile keeps its own numpy error settings
            with np.errstate(over="ignore", invalid="ignore", under="ignore"):
                if next(parts, parts) is not None:
                    return
            yield

    def after(self, other: "Backward") -> "Backward":
        """This one, with the terminals of another run of the course before its own."""
        self.state = np.concatenate([other.state, self.state], axis=1)
        self.exponent = np.concatenate([other.exponent, self.exponent])
        if self.keep is not None:
            self.keep += len(other.exponent)
        return self

    def total(self) -> Array:
        """(V, C): the chance of the whole log as a series."""
        value = start_value(self.course.known, self.state, self.frame.caps)
        return series.product(series.exp(self.exponent, self.frame.caps), value, self.frame.caps)

    def values(self, known: Known | None = None) -> Array:
        """(V,): the coefficient of the finds, without `log_factor` and with powers of the scale.

        Args:
            known: another start than that of the log.
        """
        value = start_value(known or self.course.known, self.state, self.frame.caps)
        return of_finds(value, self.exponent, self.frame.caps)

    def _back(self, event: Event) -> None:
        before = DayPassed(self.frame)
        if isinstance(event, Day):
            self._day(event, before)
        elif isinstance(event, Arrived):
            self._arrivals(event.mean)
        else:
            self._look(event)
        if self.passed is not None:
            self.passed.append(before)

    def _day(self, day: Day, before: DayPassed) -> None:
        state, caps = self.state, self.frame.caps
        after, spare = _as_real(state).reshape(day.size, -1), self._spare
        # asking for as much memory each day takes as long as the product itself
        out = spare if spare is not None and spare.shape == after.shape else None
        result: Array = self._before(day, after, out).view(state.dtype).reshape(state.shape)
        self._spare = after
        if day.eggs_laid > 0:
            exponent = day.eggs_laid * state[day.eggs]
            exponent[..., 0] -= day.eggs_laid
            exp, laid = series.exp_and_product(exponent, result[day.laying], caps)
            result[day.laying] = laid
            if self.keep is not None:
                before.exp, before.laid = exp[:, self.keep].copy(), laid[:, self.keep].copy()
        result[..., 0] += day.gone[:, None]
        self.state = result

    def _before(self, day: Day, after: Values, out: Values | None) -> Values:
        return values_before(day, after, out)

    def _arrivals(self, mean: float | Values) -> None:
        landed, landing = self.state[self._landed], self.course.landing[self._landed]
        came = (landing @ landed.reshape(len(landed), -1)).reshape(landed.shape[1:])
        came[:, 0] -= self.constant
        self.exponent = self.exponent + np.reshape(mean, (-1, 1)) * came

    def _look(self, seen: Seen) -> None:
        look = seen.look
        if look.kills is not None:
            kills = _by_terminal(look.kills)
            self.state *= 1 - kills
            self.state[..., 0] += self.constant * kills[..., 0]
        for _, variable in seen.finds:
            if variable not in self.frame.variables:
                self._widen(variable)
        if not seen.finds and seen.gone is None:
            self.state *= _by_terminal(look.unseen)
            return
        there = self.state
        self.state = there * _by_terminal(look.unseen)
        for find, variable in seen.finds:
            place = self.frame.place(variable)
            add_found(self.state, there, find, place, self.scale)
            if place[1] > 1:
                taken = find.found * ((1 - find.stays) * self.scale * self.constant)
                self.state[..., place[2]] += _by_terminal(taken)[..., 0]
        if seen.gone is not None:
            self.state[..., 0] += self.constant * _by_terminal(seen.gone)[..., 0]

    def _widen(self, variable: int) -> None:
        self.frame = self.frame.with_variable(variable, self.course.pooling.caps[variable])
        place = self.frame.place(variable)
        self.state = _widened(self.state, place)
        self.exponent = _widened(self.exponent, place)


def of_finds(value: Array, exponent: Array, caps: Caps, arrivals: float = 1.0) -> Array:
    """(V,): the coefficient of the finds, from the value and exponent (V, C) at a start.

    With `arrivals` as if so many times as many had come, whose factor is an exponential.
    """
    arrived = series.exp(arrivals * exponent, caps)
    found: Array = (arrived * value[:, ::-1]).sum(axis=1)
    return found


def _by_terminal(values: Values) -> Values:
    """(T, 1, 1) of what holds for all terminals, (T,); (T, V, 1) of what each has of its own."""
    return values.reshape(len(values), -1, 1)


def add_found(
    result: Array, there: Array, find: Find, place: tuple[int, int, int], scale: float
) -> None:
    """Add found * stays * x * there to `result`: an insect found and left alive, x its variable."""
    if not find.stays:
        return
    rows = np.flatnonzero(find.found.reshape(len(find.found), -1).any(axis=1))
    shape = (*there.shape[:-1], *place)
    found = find.found[rows]
    weights = (found * (find.stays * scale)).reshape(found.shape + (1,) * (len(shape) - found.ndim))
    more, source = result.reshape(shape), there.reshape(shape)
    more[rows, ..., 1:, :] += weights * source[rows, ..., :-1, :]


def prepare(log: Log, budget: int) -> Course:
    """Prepare a log for runs: absorb its first looks into the start, give finds their variables.

    Raises:
        ImpossibleEntry: something was found at the start where nothing can be.
    """
    known, rest = known_at_first(log)
    looks = [(0, look) for look in rest]
    looks += [(at, look) for at, day in enumerate(log.days[1:], 1) for look in day.looks]
    finds = [(at, find) for at, look in looks for find in look.finds if find.count]
    placed = [Placed(at, find.count, find.zone, find.stage) for at, find in finds]
    pooling = pool(placed, budget, len(log.days) - 1)
    left = {span: _stays([find for at, find in finds if span.holds(at)]) for span in pooling.spans}
    return Course(known, log.landing, tuple(_events(log, rest, pooling, left)), pooling)


def known_at_first(log: Log) -> tuple[Known, Sequence[Look]]:
    """The start given what was seen before anything moved, and the looks of that date left over.

    Raises:
        ImpossibleEntry: something was found at the start where nothing can be.
    """
    first = log.days[0]
    known, rest = absorb(log.start, first.looks if not first.arrivals else ())
    return known, first.looks if first.arrivals else rest


def _events(
    log: Log, first: Sequence[Look], pooling: Pooling, left: Mapping[Span, float]
) -> Iterator[Event]:
    variables = iter(pooling.shared) if pooling.shared else count()
    for at, day in enumerate(log.days):
        if day.step is not None:
            yield day.step
        if day.arrivals:
            yield Arrived(day.arrivals)
        span = pooling.span_of(at)
        for look in day.looks if at else first:
            if span is None:
                finds = [(find, next(variables)) for find in look.finds if find.count]
                yield Seen(look, tuple(finds))
            else:
                yield _summed(look, span, left[span])


def _summed(look: Look, span: Span, usually_stays: float) -> Seen:
    """A look of which only what it adds to a sum is known, whatever it found."""
    finds = [find for find in look.finds if find.count]
    stays = _stays(finds) if finds else usually_stays
    shown = 1 - look.unseen
    uncounted = shown * (1 - span.counted)
    counted = Find(shown * span.counted, 1, stays)
    read = Look(look.unseen + uncounted * stays, kills=look.kills)
    return Seen(read, ((counted, span.variable),), uncounted * (1 - stays))


def _stays(finds: Sequence[Find]) -> float:
    """Chance that one of the insects found is still there."""
    return sum(find.count * find.stays for find in finds) / sum(find.count for find in finds)


def _as_real(state: Array) -> Values:
    return np.ascontiguousarray(state).view(np.float64)


def _widened(old: Array, place: tuple[int, int, int]) -> Array:
    slower, own, quicker = place
    new = np.zeros((*old.shape[:-1], slower, own, quicker), dtype=old.dtype)
    new[..., 0, :] = old.reshape(*old.shape[:-1], slower, quicker)
    return new.reshape(*old.shape[:-1], -1)

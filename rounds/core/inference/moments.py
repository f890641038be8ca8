"""The first two moments of the number left, from one run, one along it, and one adjoint sweep.

Let u = 1 + z for the value of every insect at the end. The chance of the log is then a series in z,
whose coefficients are E N and E N (N - 1) / 2 times that chance. The values are followed to the
first order; the second order arises only where eggs are laid, at the start and with what arrived.
What arises with eggs counts by the adjoint, as all after it is linear in it.
"""

from dataclasses import dataclass, replace

import numpy as np

from rounds.core.biology.day import Day, Values, values_before
from rounds.core.inference import series
from rounds.core.inference.backward import Backward, DayPassed, Event, Frame
from rounds.core.inference.left import Down
from rounds.core.inference.series import Array

SECOND = 2
"""order in z to which the start is worked out"""


@dataclass(frozen=True, slots=True, eq=False)
class Moments:
    """Of the number left at the end of a log."""

    by_type: Values
    """(T,): expected number of every type"""
    mean: float
    pairs: float
    """E N (N - 1) / 2"""


def moments_of(run: Backward) -> Moments:
    """Both moments, from a run that kept the terminal of any number left."""
    along = _Along(run)
    down = Down(run)
    chance = float(down.total[-1])
    bent = 0.0
    for event, passed in zip(run.course.events, reversed(run.passed or []), strict=True):
        if isinstance(event, Day) and (bend := along.bends.pop()) is not None:
            # the last coefficient of the product of adjoint and second order
            bent += float((down.slope[event.laying, ::-1] * bend).sum())
        down.pass_event(event, passed)
    first, second = _at_start(run, along)
    return Moments(down.slope[:, 0] / chance, first / chance, (second + bent) / chance)


class _Along(Backward):
    """How the state of a run moves with the values at its end: its derivative by z.

    `bends`: for each day, what its eggs add in second order, (L, C) for its laying types.
    """

    constant = 0.0

    def __init__(self, run: Backward) -> None:
        self._passed = iter(run.passed or [])
        self.bends: list[Array | None] = []
        super().__init__(run.course, np.ones((len(run.state), 1, 1)), run.scale)

    def _back(self, event: Event) -> None:
        self._of_run = next(self._passed)
        super()._back(event)

    def _day(self, day: Day, before: DayPassed) -> None:
        state, caps, of_run = self.state, self.frame.caps, self._of_run
        after, spare = state.reshape(day.size, -1), self._spare
        out = spare if spare is not None and spare.shape == after.shape else None
        result = values_before(day, after, out)
        if of_run.exp is None or of_run.laid is None:
            self.bends.append(None)
        else:
            eggs = day.eggs_laid * state[day.eggs, 0]
            stayed = series.product(result[day.laying], of_run.exp, caps)
            laid = series.product(of_run.laid, eggs, caps)
            self.bends.append(series.product(stayed + laid / 2, eggs, caps))
            result[day.laying] = stayed + laid
        self.state, self._spare = result.reshape(state.shape), after


def _at_start(run: Backward, along: _Along) -> tuple[float, float]:
    """Coefficients of z and z^2 in the chance, for values of first order."""
    of, mark = run.keep or 0, len(run.course.pooling.caps)
    frame = run.frame.with_variable(mark, SECOND)
    marked = Backward(
        replace(run.course, events=()),
        _marked(run.state[:, of : of + 1], along.state, frame, mark),
        run.scale,
        frame=frame,
        exponent=_marked(run.exponent[of : of + 1], along.exponent, frame, mark),
    )
    by_power = marked.total().reshape(frame.place(mark))[-1, :, -1]
    return float(by_power[1]), float(by_power[2])


def _marked(value: Array, slope: Array, frame: Frame, mark: int) -> Array:
    """value + slope z, with z as one more variable."""
    slower, own, quicker = frame.place(mark)
    found = np.zeros((*value.shape[:-1], slower, own, quicker))
    for power, part in enumerate((value, slope)):
        found[..., power, :] = part.reshape(*part.shape[:-1], slower, quicker)
    return found.reshape(*value.shape[:-1], -1)

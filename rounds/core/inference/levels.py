"""Find out whether the chance clean reaches a level on a day ahead, working out few days.

Days worked out bound all others. Where the bounds leave it open, a root search guesses the day on
which the level is reached and works it out with the day before: if it holds, the two settle it.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, log

from rounds.core.inference.ahead import DaysAhead

USUAL_SLOPE = 0.12
"""daily rise of the logit of the chance, on trial logs; used while only one day is worked out"""
SURE = 1e-12
"""distance from 0 and 1 to which chances are clipped before their logit is taken"""
TRIES = 3
"""one guess in so many bisects, so that the search ends however bad the others are"""


@dataclass(frozen=True, slots=True)
class Looks:
    """On which days ahead there is a look, and on which of them at the roots too."""

    usual: Callable[[int], bool]
    roots: Sequence[int]
    """in order"""


def settle(days: DaysAhead, number: int, levels: Sequence[float], looks: Looks) -> Iterator[None]:
    """Work out days until it is known of each level whether the chance reaches it on a day.

    It yields often enough that no key press waits. Both `days.bounds` then lie on the same side of
    each level.

    Args:
        days: ahead.
        number: the day asked about.
        levels: of the chance clean.
        looks: the days with looks, on which the chance rises most; at the roots most of all.

    Raises:
        ImpossibleEntry: something in the log cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    yield from days.work_out([0])
    tries = 0
    while (level := _untold(days, number, levels)) is not None:
        tries += 1
        yield from days.work_out(_guessed(days, number, level, looks, tries))


def _untold(days: DaysAhead, number: int, levels: Sequence[float]) -> float | None:
    least, greatest = days.bounds(number)
    return next((level for level in levels if least < level <= greatest), None)


def _guessed(
    days: DaysAhead, number: int, level: float, looks: Looks, tries: int
) -> tuple[int, int]:
    """The guess of the first day on which the level is reached, after the day before it."""
    before = max(n for n in days.worked_out if n < number)
    after = min((n for n in days.worked_out if n > number), default=days.last + 1)
    guess = _where_reached(days, level / days.arrived(number), before, after, looks)
    if tries % TRIES == 0 and after in days.worked_out:
        guess = (before + after) // 2
    guess = max(before + 1, min(guess, after - 1))
    # a look at the roots raises the chance by a step, which interpolation misses
    steps = [n for n in looks.roots if (before + guess) / 2 <= n <= guess and n > before]
    if steps:
        guess = steps[-1]
    looked = next((n for n in range(guess, after) if looks.usual(n)), guess)
    return max(before + 1, looked - 1), looked


def _where_reached(days: DaysAhead, level: float, before: int, after: int, looks: Looks) -> int:
    """The day on which a line through the logits of the two nearest days reaches a level of g."""
    wanted = _logit(level)
    # days before a look are left out: from them to it the line would be too steep
    points = [n for n in days.worked_out if n in (0, before, after) or looks.usual(n)]
    near = sorted(points, key=lambda n: (abs(_logit(days.cleared(n)) - wanted), n))
    day = _on_line(days, near[0], near[1:2], wanted)
    if before < day <= after or after not in days.worked_out:
        return ceil(day)
    return ceil(_on_line(days, before, [after], wanted))


def _on_line(days: DaysAhead, one: int, others: Sequence[int], wanted: float) -> float:
    here = _logit(days.cleared(one))
    slope = USUAL_SLOPE
    for other in others:
        slope = (_logit(days.cleared(other)) - here) / (other - one) or slope
    return one + (wanted - here) / slope


def _logit(chance: float) -> float:
    within = min(max(chance, SURE), 1 - SURE)
    return log(within / (1 - within))

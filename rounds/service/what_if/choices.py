"""What a page offers to suppose of each thing, one value after the other."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from rounds.service.what_if.supposing import ALL_STAY, NONE_COMES, Usual, WhatIf
from rounds.service.what_if.text import COURSE, LOOKS, NEIGHBOURS, ROOTS, SECONDS, WARMTH

FIELDS = {
    LOOKS: "looks_a_week",
    SECONDS: "seconds",
    WARMTH: "celsius",
    COURSE: "course",
    ROOTS: "roots",
    NEIGHBOURS: "neighbours",
}
"""What is supposed of each line."""

TIMES = (0.5, 0.75, 1.5, 2.0, 3.0)
"""as long as usual"""
GRAIN = 5
"""seconds to which a look is rounded"""
COLDER, WARMER, STEP_C = -6, 10, 2


def lines_of(usual: Usual) -> tuple[str, ...]:
    """What can be supposed: of neighbours only where any is reckoned to send crawlers."""
    lines = (LOOKS, SECONDS, WARMTH, COURSE, ROOTS)
    return (*lines, NEIGHBOURS) if usual.neighbours else lines


def values_of(usual: Usual, line: str) -> Sequence[Any]:
    """The values of a line in their order, the one as it goes first."""
    if line == LOOKS:
        return (None, *(float(looks) for looks in range(1, 8)))
    if line == SECONDS:
        rounded = (GRAIN * max(1, round(times * usual.seconds / GRAIN)) for times in TIMES)
        return (None, *map(float, rounded))
    if line == WARMTH:
        middle = round(usual.celsius)
        others = (middle + by for by in range(COLDER, WARMER + 1, STEP_C) if by)
        return (None, *(float(celsius) for celsius in others if celsius >= 0))
    if line == COURSE:
        return (None, *(code for code, _ in usual.courses))
    if line == ROOTS:
        return (False, True)
    return (NONE_COMES, ALL_STAY, *usual.neighbours)


def changed(what: WhatIf, usual: Usual, line: str, by: int) -> WhatIf:
    """With the value of a line so many further on; after the last one comes the first."""
    values, field = values_of(usual, line), FIELDS[line]
    at = values.index(getattr(what, field))
    fields: dict[str, Any] = {field: values[(at + by) % len(values)]}
    return replace(what, **fields)

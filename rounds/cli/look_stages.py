"""Counts and stages of a look as they are typed: each stage with the counts that follow it."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from rounds.errors import BadInput
from rounds.service.entries.looks import KINDS, StageCounts

STAGE = "stage"


def counts_by_stage(
    typed: Sequence[str], given: Mapping[str, Sequence[Any]]
) -> tuple[StageCounts, ...]:
    """What was counted, stage by stage.

    With one stage, or none, the order does not matter. With several each stands before its counts.

    Args:
        typed: the names of all options in their order.
        given: the values of each of them, in the order they were typed.

    Raises:
        BadInput: a count stands before the first of several stages, or twice for one stage.
    """
    one_by_one = [(name, value) for name, value in _in_order(typed, given)]
    stages = [value for name, value in one_by_one if name == STAGE]
    if len(stages) <= 1:
        return (StageCounts(_counts(one_by_one), next(iter(stages), None)),)
    if one_by_one[0][0] != STAGE:
        raise BadInput("counts-before-stage", field=one_by_one[0][0], stage=stages[0])
    begins = [n for n, (name, _) in enumerate(one_by_one) if name == STAGE]
    return tuple(
        StageCounts(_counts(one_by_one[first + 1 : until]), one_by_one[first][1])
        for first, until in zip(begins, [*begins[1:], len(one_by_one)], strict=True)
    )


def _in_order(
    typed: Sequence[str], given: Mapping[str, Sequence[Any]]
) -> Iterator[tuple[str, Any]]:
    values = {name: iter(given[name]) for name in (*KINDS, STAGE)}
    for name in typed:
        if name in values:
            yield name, next(values[name])


def _counts(one_by_one: Sequence[tuple[str, Any]]) -> dict[str, int]:
    """Each kind with its count, 0 where none was given."""
    counts = dict.fromkeys(KINDS, 0)
    given = [name for name, _ in one_by_one if name != STAGE]
    for name, value in one_by_one:
        if given.count(name) > 1:
            raise BadInput("count-twice", field=name, kind=name)
        if name != STAGE:
            counts[name] = value
    return counts

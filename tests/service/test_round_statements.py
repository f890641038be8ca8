"""What a press asks of the file while a hand waits."""

from collections.abc import Callable
from itertools import groupby

import pytest

from rounds.core.collection import Plant
from rounds.service.round import RoundView, RoundWalk


@pytest.mark.parametrize(
    ("press", "most"),
    [
        (lambda walk: walk.count("removed"), 19),
        (lambda walk: walk.give_stage("adult"), 17),
        (lambda walk: walk.go_on(), 30),
    ],
    ids=["count", "stage", "next"],
)
def test_a_press_takes_no_more_statements_than_it_needs(
    add: Callable[..., Plant],
    walk: Callable[[], RoundWalk],
    press: Callable[[RoundWalk], RoundView],
    most: int,
) -> None:
    add("G02")
    begun = walk()
    # the first count reads what each next one finds read
    begun.count("removed")
    begun.answer("not-now")
    statements: list[str] = []
    begun.logbook.file.connection.set_trace_callback(statements.append)
    press(begun)
    # a trigger is told of as the statement that set it off, once more
    asked = [statement for statement, _ in groupby(statements)]
    assert 0 < len(asked) <= most, asked


def test_a_count_is_one_transaction(
    add: Callable[..., Plant], walk: Callable[[], RoundWalk]
) -> None:
    add("G02")
    begun = walk()
    statements: list[str] = []
    begun.logbook.file.connection.set_trace_callback(statements.append)
    begun.count("removed")
    begins = [n for n, statement in enumerate(statements) if statement.startswith("BEGIN")]
    commits = [n for n, statement in enumerate(statements) if statement == "COMMIT"]
    writes = [n for n, statement in enumerate(statements)
              if statement.startswith(("INSERT", "UPDATE", "DELETE"))]  # fmt: skip
    assert len(begins) == len(commits) == 1
    assert begins[0] < min(writes)
    assert max(writes) < commits[0]

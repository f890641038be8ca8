"""The bench runs, each measure measures, and every column is filled. No time is asserted."""

import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
TITLES = ["measure", "n", "ours", "p99", "against", "p99", "unit", "figure", "goal"]
NAMES = [
    "key", "key-p99", "key-textual", "first-paint", "first-plan", "cold-key",
    "plant-page", "today-page", "statements", "today",
    *(
        f"{age}-{row}"
        for age in ("two-years", "a-million")
        for row in ("today-first", "today", "plant-first", "plant", "memory")
    ),
    "thousand-today-first", "thousand-today", "thousand-rank-first", "thousand-rank",
    "split-10000",
    "clean-96", "clean-1000", "clean-10000", "chance-of-key", "forecast", "particles",
    "cold-day", "rank-fresh", "rank-fresh-cpu", "figure-median", "figure-worst", "figure-late",
    "bytes", "bytes-with-plan", "import", "import-peak",
]  # fmt: skip
LOOKS = "1500"

Rows = dict[str, list[str]]


def bench(*arguments: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "tests.bench", *arguments],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=False,
    )


def rows_of(done: "subprocess.CompletedProcess[str]") -> Rows:
    assert (done.returncode, done.stderr) == (0, "")
    titles, *rows = [line.split() for line in done.stdout.splitlines()]
    assert titles == TITLES
    return {row[0]: row[1:] for row in rows}


@pytest.fixture(scope="module")
def rows() -> Rows:
    """All measures, each as briefly as it can be taken."""
    return rows_of(bench("--repeats", "3", "--looks", LOOKS))


def test_all_measures_are_taken_where_none_is_named(rows: Rows) -> None:
    assert list(rows) == NAMES


@pytest.mark.parametrize("name", ["key", "first-paint", "today"])
def test_a_measure_of_time_fills_every_column(rows: Rows, name: str) -> None:
    n, ours, ours_p99, against, against_p99, unit, figure, goal, *verdict = rows[name]
    assert (n, unit) == ("3", "ms")
    assert 0 < float(ours) <= float(ours_p99)
    assert 0 < float(against) <= float(against_p99)
    assert float(figure) == pytest.approx(float(ours) / float(against), rel=0.05)
    assert verdict == (["above"] if float(figure) > float(goal) else [])


@pytest.mark.parametrize(
    ("name", "of_unit"),
    [
        ("clean-96", "us"), ("clean-1000", "us"), ("chance-of-key", "ms"), ("cold-day", "ms"),
         ("forecast", "ms"),
    ],
)  # fmt: skip
def test_a_measure_of_the_sums_has_no_goal(rows: Rows, name: str, of_unit: str) -> None:
    n, ours, _, against, _, unit, figure, *goal = rows[name]
    assert (n, unit, goal) == ("3", of_unit, ["-"])
    assert float(ours) > float(against) > 0
    assert float(figure) == pytest.approx(float(ours) / float(against), rel=0.1)


def test_the_plan_is_seen_after_the_first_paint(rows: Rows) -> None:
    assert float(rows["first-plan"][1]) > float(rows["first-paint"][1])


def test_bytes_are_those_of_whole_rows_and_the_same_each_time(rows: Rows) -> None:
    again = rows_of(bench("bytes", "--looks", LOOKS))
    assert again == {name: rows[name] for name in again}
    log, with_plan = (float(rows[name][6]) for name in ("bytes", "bytes-with-plan"))
    # the integers of a look alone come to 25 bytes; a plan adds a row to each
    assert 25 < log < with_plan


def test_an_import_is_set_beside_the_bare_rows_and_a_smaller_file(rows: Rows) -> None:
    for name, times, of_unit in (("import", "3", "ms"), ("import-peak", "1", "MB")):
        n, ours, _, against, _, unit, figure, *_ = rows[name]
        assert (n, unit) == (times, of_unit)
        assert float(figure) == pytest.approx(float(ours) / float(against), rel=0.05)
    assert float(rows["import"][1]) > float(rows["import"][3]) > 0
    assert float(rows["import-peak"][1]) > 5


@pytest.mark.parametrize("arguments", [("speed",), ("key", "--repeats", "0")])
def test_what_cannot_be_measured_is_a_usage_error(arguments: tuple[str, ...]) -> None:
    done = bench(*arguments)
    assert done.returncode == 2
    assert "usage:" in done.stderr

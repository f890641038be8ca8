"""import of courses of treatment: what `treat` enters, row by row; the whole file or nothing."""

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

Ask = Callable[..., Any]

HEADER = "plant,course,at,step,done,stopped,product,interval_days,most_uses,gear,who,key\n"
SEASON = (
    "S03,root-clean-out,2026-05-01 09:00,,yes,,,,,,Mo,\n"
    "S03,contact-spray,2026-05-02,,,,,,,,,\n"
    "S03,contact-spray,2026-05-02,,yes,,,,,,,\n"
    "S03,contact-spray,2026-05-09,2,yes,,,,,,,\n"
    "g02,Lifting,2026-05-02T08:15,,,,,,,,,\n"
    "G02,lifting,2026-05-04,,,yes,,,,,,\n"
    "G02,labelled-product,2026-05-04,,,,Leaf Rinse,10,2,gloves,,\n"
)


@pytest.fixture(autouse=True)
def _porch(porch: None) -> None:
    """Two plants: G02 on the porch shelf, S03 in quarantine since 28 April."""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "courses.csv"


def put(file: Path, rows: str) -> Path:
    file.write_text(HEADER + rows, encoding="utf-8")
    return file


def courses(ask: Ask, code: str) -> dict[str, Any]:
    found = ask("plant", code, "--on", "2026-05-20")["courses"]
    return {course["course"]: course for course in found}


def done(course: Any) -> list[str | None]:
    return [step["done_on"] for step in course["steps"]]


def test_courses_are_begun_done_and_stopped_by_rows(ask: Ask, file: Path) -> None:
    read = ask("import", put(file, SEASON))
    assert (read["kind"], read["rows"], read["written"], read["already_known"]) == (
        "courses", 7, 7, 0,
    )  # fmt: skip
    of_s03, of_g02 = courses(ask, "S03"), courses(ask, "G02")
    assert done(of_s03["root-clean-out"]) == ["2026-05-01"]
    assert done(of_s03["contact-spray"]) == ["2026-05-02", "2026-05-09", None, None]
    assert of_g02["lifting"]["stopped_on"] == "2026-05-04"
    label = of_g02["labelled-product"]["label"]
    assert (label["product"], label["interval_days"], label["gear"]) == ("Leaf Rinse", 10, "gloves")


def test_a_file_of_courses_read_twice_writes_nothing_the_second_time(ask: Ask, file: Path) -> None:
    ask("import", put(file, SEASON))
    before = ask("plant", "S03", "--on", "2026-05-20")
    again = ask("import", file)
    assert (again["written"], again["already_known"]) == (0, 7)
    assert ask("plant", "S03", "--on", "2026-05-20") == before
    more = SEASON + "S03,contact-spray,2026-05-16,,yes,,,,,,,\n"
    grown = ask("import", put(file, more))
    assert (grown["written"], grown["already_known"]) == (1, 7)
    assert done(courses(ask, "S03")["contact-spray"])[2] == "2026-05-16"


def test_what_was_entered_by_hand_is_known_and_stays_known_once_withdrawn(
    ask: Ask, file: Path
) -> None:
    entered = ask("treat", "S03", "contact-spray", "--done", "--at", "2026-05-02T07:00")
    row = "S03,contact-spray,2026-05-02,,yes,,,,,,,\n"
    assert ask("import", put(file, row))["written"] == 0
    ask("withdraw", entered["steps"][0]["done_id"])
    assert ask("import", file)["written"] == 0
    assert done(courses(ask, "S03")["contact-spray"])[0] is None


def test_a_row_that_names_its_step_is_known_by_it(ask: Ask, file: Path) -> None:
    ask("treat", "S03", "contact-spray", "--done", "--step", "2", "--at", "2026-05-02T07:00")
    rows = "S03,contact-spray,2026-05-02,,yes,,,,,,,\nS03,contact-spray,2026-05-02,2,yes,,,,,,,\n"
    # the row that names no step is the one that is new
    assert ask("import", put(file, rows))["written"] == 1
    assert done(courses(ask, "S03")["contact-spray"])[:2] == ["2026-05-02", "2026-05-02"]


def test_a_row_with_a_key_is_written_once_under_it(ask: Ask, refused: Ask, file: Path) -> None:
    row = "S03,lifting,2026-05-02,,,,,,,,,first\n"
    assert ask("import", put(file, row))["written"] == 1
    assert ask("import", file)["already_known"] == 1
    error = refused(2, "import", put(file, row.replace("05-02", "05-03")))
    assert (error["code"], error["places"][0]["column"]) == ("key-reused", "key")


@pytest.mark.parametrize(
    ("row", "code", "column"),
    [
        ("S33,lifting,2026-05-02,,,,,,,,,", "unknown-plant", "plant"),
        ("S03,liftin,2026-05-02,,,,,,,,,", "unknown-course", "course"),
        ("S03,lifting,2 May,,,,,,,,,", "not-an-instant", "at"),
        ("S03,lifting,2026-05-02,x,yes,,,,,,,", "not-a-count", "step"),
        ("S03,lifting,2026-05-02,99,yes,,,,,,,", "unknown-step", "step"),
        ("S03,lifting,2026-05-02,2,,,,,,,,", "step-not-done", "step"),
        ("S03,lifting,2026-05-02,,maybe,,,,,,,", "not-yes-or-no", "done"),
        ("S03,lifting,2026-05-02,,yes,yes,,,,,,", "stop-and-done", "stopped"),
        ("S03,labelled-product,2026-05-02,,,,Rinse,,2,,,", "label-needed", "interval_days"),
        ("S03,lifting,2026-05-02,,,,Rinse,,,,,", "course-without-label", "product"),
        ("S03,lifting,2026-05-02,,,yes,,,,,,", "course-not-running", "course"),
        ("S03,contact-spray,2026-05-03,,,,,,,,,", "course-running", "course"),
    ],
)
def test_a_fault_is_told_by_line_and_column_and_nothing_is_written(
    ask: Ask, refused: Ask, file: Path, row: str, code: str, column: str
) -> None:
    first = "S03,contact-spray,2026-05-02,,,,,,,,,\n"
    error = refused(2, "import", put(file, first + row + "\n"))
    place = error["places"][0]
    assert (error["code"], place["line"], place["column"]) == (code, 3, column)
    assert ask("plant", "S03", "--on", "2026-05-20")["courses"] == []


@pytest.mark.usefixtures("berlin")
def test_days_of_steps_are_right_across_a_change_of_the_clocks(ask: Ask, file: Path) -> None:
    """Clocks go back in Berlin on 25 October."""
    first = date(2026, 10, 22)
    rows = (f"G02,contact-spray,{first + timedelta(7 * n)} 23:30,,yes,,,,,,,\n" for n in range(2))
    ask("import", put(file, "".join(rows)))
    (course,) = ask("plant", "G02", "--on", str(first + timedelta(8)))["courses"]
    assert [s["due_on"] for s in course["steps"]] == [
        str(first + timedelta(7 * n)) for n in range(4)
    ]
    assert done(course)[:2] == [str(first), str(first + timedelta(7))]

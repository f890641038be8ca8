"""Today on a narrow page: plants apart with how likely each is clean, and the day expected."""

import pytest

from rounds import words
from rounds.tui.page import Page
from rounds.tui.pages.apart_narrow import ApartRow, put_narrow_heads, put_narrow_row
from rounds.words.forms import in_100_in_column
from tests.tui.reading import NAMES, complaints

DAYS = ("today", "2 June", "10 December", "20 September", "20 September 2027", "2027-09-20",
        "calculating", "not in sight")  # fmt: skip

APART = words.say("screens.today.apart")
CLEAN = words.say("screens.today.column-clean")


def shown(width: int, *rows: ApartRow) -> tuple[list[str], list[str]]:
    """The rows, heads first, and what is wrong with them."""
    page = Page(width, len(rows) + 1)
    put_narrow_heads(page, 0, rows)
    for number, row in enumerate(rows, 1):
        put_narrow_row(page, number, row, rows)
    return page.text().splitlines(), complaints(page, plain=False)


def test_at_forty_columns_both_stand_beside_the_name() -> None:
    rows = [
        ApartRow("S05", "Becket", in_100_in_column(0.815), "2 June"),
        ApartRow("S03", "Pintle", in_100_in_column(0.04), "10 July"),
    ]
    lines, wrong = shown(40, *rows)
    assert wrong == []
    heads = [APART, CLEAN, words.say("screens.today.column-earliest")]
    assert [line.split() for line in lines] == [
        " ".join(heads).split(),
        ["S05", "Becket", "81", "in", "100", "2", "June"],
        ["S03", "Pintle", "4", "in", "100", "10", "July"],
    ]
    ends = {line.index("n 100") for line in lines[1:]}
    assert len(ends) == 1


def test_a_name_that_does_not_fit_ends_in_two_points() -> None:
    lines, _ = shown(
        40, ApartRow("S05", "Becket of the long stair", in_100_in_column(0.5), "2 June")
    )
    assert lines[1] == "     S05  Becket.. 50 in 100     2 June"


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize("width", [40, 47, 60, 79])
def test_figures_days_and_codes_are_never_cut(width: int, day: str) -> None:
    rows = [
        ApartRow("BENCH-12", "Becket", in_100_in_column(0.991), day),
        ApartRow("S3", "x" * 90, in_100_in_column(0.0), "2 June"),
    ]
    lines, wrong = shown(width, *rows)
    assert wrong == []
    assert lines[1].endswith(day)
    assert "BENCH-12" in lines[1]
    assert APART in lines[0]
    if CLEAN in lines[0]:
        assert "over 99" in lines[1]
        assert "under 1" in lines[2]
    else:
        # with a year the day takes the room of the chance
        assert width < 60
        assert len(day) > 12


@pytest.mark.parametrize(("code", "name"), NAMES)
def test_names_made_to_break_a_page_do_not(code: str, name: str) -> None:
    _, wrong = shown(40, ApartRow(code, name, in_100_in_column(0.5), "20 September"))
    assert wrong == []

"""Where rows are spare what is counted is shown large; where they are not, it is not."""

from collections.abc import Iterable
from pathlib import Path

import pytest

from rounds import words
from rounds.tui.page import Page
from rounds.tui.pages.large import BLOCK, STROKES, Large, drawn, put_large
from tests.tui.conftest import Opens


def read(page: Page, row: int, column: int, width: int) -> str:
    """The large number under a word, read back from its strokes."""
    rows = [line.ljust(page.width)[column : column + width] for line in page.text().splitlines()]
    shown = [line.replace(BLOCK, "#").ljust(width) for line in rows[row + 1 : row + 6]]
    said, at = "", 0
    while at < width:
        found = [
            digit
            for digit, strokes in STROKES.items()
            if [line[at : at + len(strokes[0])] for line in shown] == list(strokes)
        ]
        if not found:
            break
        said += found[0]
        at += len(STROKES[found[0]][0]) + 1
    return said


def row_of(page: Page, word: str) -> int:
    """The last row that begins with a word: that of the large numbers."""
    return max(
        n for n, line in enumerate(page.text().splitlines()) if line.strip().startswith(word)
    )


def test_no_two_characters_look_alike_and_all_are_five_rows_high() -> None:
    assert set(STROKES) == set("0123456789:")
    assert len(set(STROKES.values())) == len(STROKES)
    for strokes in STROKES.values():
        assert len(strokes) == 5
        assert len({len(line) for line in strokes}) == 1
    assert [len(line) for line in drawn("12:34")] == [17] * 5


def test_a_number_is_read_back_with_its_word_above() -> None:
    page = Page(120, 40)
    put_large(page, 3, (2, 28), [Large("off", "9075"), Large("axils", "1:23")])
    assert page.text().splitlines()[3].split() == ["off", "axils"]
    assert read(page, 3, 2, 20) == "9075"
    assert read(page, 3, 28, 20) == "1:23"


@pytest.mark.parametrize(("size", "columns"), [((120, 40), (28, 54, 80, 106)), ((80, 40), (28,)),
                                               ((40, 36), (22,)), ((60, 36), (22,))])  # fmt: skip
async def test_a_count_is_seen_large_at_once(
    few: Path, opened: Opens, size: tuple[int, int], columns: Iterable[int]
) -> None:
    async with opened(few, size=size) as driver:
        await driver.press("enter")
        await driver.shows("plant 1 of ")
        await driver.press("1", "2")
        word = row_of(driver.page, words.say("sight.large.pending"))
        first = 2 if driver.page.is_wide else 3
        assert read(driver.page, word, first, 15) == "12"
        await driver.press("f")
        word = row_of(driver.page, words.say("sight.large.time"))
        assert read(driver.page, word, first, 15) == "0:00"
        # what was not counted is not shown
        await driver.press("w")
        shown = [read(driver.page, word, column, 12) for column in columns]
        assert shown == ["12", "1", "", ""][: len(shown)]


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 24)])
async def test_where_rows_are_wanted_nothing_is_large(
    few: Path, opened: Opens, size: tuple[int, int]
) -> None:
    async with opened(few, size=size) as driver:
        await driver.press("enter")
        await driver.shows("plant 1 of ")
        assert BLOCK not in driver.text

"""What the grower's finds say on the screen: told with its interval, used and undone by a key."""

from dataclasses import replace
from datetime import date

import pytest

from rounds.core.changes import ValueChange
from rounds.service.learned.season import LearnedSource, LearnedValue, Season
from rounds.service.logbook.parameter_rows import ValueRow
from rounds.tui.pages.season import SeasonView, season_page
from tests.tui.reading import SIZES, complaints

TODAY = date(2026, 5, 4)


def value(code: str, default: float) -> ValueRow:
    return ValueRow(code, default, default, "share", 0.01, 0.9, "assumption", "no source", None)


ZONES = tuple(
    LearnedValue(value(f"forms.weight.{zone}", default), mean, low, high)
    for zone, default, mean, low, high in (
        ("axils", 0.35, 0.61, 0.48, 0.72),
        ("undersides", 0.25, 0.18, 0.09, 0.28),
        ("sheaths", 0.1, 0.1, 0.04, 0.19),
    )
)
NEW = LearnedValue(value("infestation.before.arrival.chance", 0.25), 0.44, 0.3, 0.58)
FERRY = LearnedSource("the ferry", 9, 4, 0.51, 0.31, 0.7)
TOLD = Season(61, 34, 30, 18, ZONES, NEW, (FERRY,))


def text(season: Season | None, mark: int = 0, size: tuple[int, int] = (80, 24)) -> str:
    return season_page(SeasonView(season, mark, "", TODAY), *size).text()


def test_each_line_stands_beside_what_is_assumed() -> None:
    said = text(TOLD)
    assert "axils" in said
    assert "61 in 100 (48 to 72)" in said
    assert "assumed 35" in said
    assert "61 finds on 34 plants" in said
    assert "from the ferry" in said
    assert "use it" in said


def test_what_is_in_use_says_since_when_and_how_it_is_undone() -> None:
    change = ValueChange(
        7, date(2026, 4, 28), 0, "forms.weight.axils", 0.61, "learned from 61 finds"
    )
    used = replace(ZONES[0], row=replace(ZONES[0].row, value=0.61, change=change))
    said = text(replace(TOLD, zones=(used, *ZONES[1:])))
    assert "in use" in said
    assert "28 April" in said.replace("\n  ", " ")
    assert "undo" in said


def test_a_source_is_told_only() -> None:
    said = text(TOLD, mark=4)
    assert "4 of 9 plants" in said
    assert "use it" not in said


def test_before_there_are_finds_enough_it_says_how_many_it_takes() -> None:
    assert "1 find on 1 plant" in text(Season(1, 1, 30, 4))
    assert "From 30 finds on" in text(Season(12, 7, 30, 4))
    assert "calculating" in text(None)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("mark", range(5))
def test_every_size_holds_it(size: tuple[int, int], mark: int) -> None:
    for season in (TOLD, None, Season(1, 1, 30, 4)):
        page = season_page(SeasonView(season, 0 if season is not TOLD else mark, "", TODAY), *size)
        assert complaints(page, plain=True) == []

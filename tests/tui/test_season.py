"""What the grower's finds say on the screen: told with its interval, used and undone by a key."""

from datetime import date

from rounds.service.learned.season import LearnedSource, LearnedValue, Season
from rounds.service.learned.text import about_line, about_season, beside_learned, said_of_100
from rounds.service.logbook.parameter_rows import ValueRow

TODAY = date(2026, 5, 4)
ROW = ValueRow("forms.weight.axils", 0.35, 0.35, "share", 0.1, 0.7, "assumption", "none", None)
AXILS = LearnedValue(ROW, 0.61, 0.48, 0.72)
FERRY = LearnedSource("the ferry", 9, 4, 0.51, 0.31, 0.7)
TOLD = Season(61, 34, 30, 18, (AXILS,), None, (FERRY,))


def test_each_share_is_told_with_its_interval_beside_what_is_assumed() -> None:
    assert said_of_100(AXILS) == "61 in 100 (48 to 72)"
    assert beside_learned(AXILS) == "assumed 35"
    assert about_season(TOLD) == "61 finds on 34 plants in a year."
    assert "4 of 9 plants" in about_line(TOLD, FERRY, TODAY)


def test_before_there_are_finds_enough_it_says_how_many_it_takes() -> None:
    assert about_season(Season(1, 1, 30, 4)).startswith("1 find on 1 plant in a year. From 30")

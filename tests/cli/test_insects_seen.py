"""A plant on which insects were seen when it came, and nobody counted them."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Ask = Callable[..., Any]

NONE_OF_INFESTED = 7**-0.5
"""of plants supposed infested (M 3, a .5) so many hold no insect at all"""
NEW = ("--name", "Lanyard", "--place", "stair foot")

pytestmark = pytest.mark.usefixtures("porch")


def chance(found: Any) -> float:
    return float(found["plant"]["chance_clean"]["value"])


def test_it_is_infested_for_certain_with_more_or_fewer(ask: Ask) -> None:
    found = ask("add", "G07", *NEW, "--insects-seen")
    plant = found["plant"]
    assert chance(found) == pytest.approx(0, abs=1e-9)
    assert plant["probably_left"]["mean"] == pytest.approx(3 / (1 - NONE_OF_INFESTED))
    assert plant["probably_left"]["low"] >= 1
    assert (plant["insects_seen_on"], plant["last_find_on"]) == ("2026-05-04", "2026-05-04")
    unknown = ask("add", "G08", *NEW, "--source", "a fair")
    assert chance(unknown) == pytest.approx(1 - 0.25 * (1 - NONE_OF_INFESTED))
    assert unknown["plant"]["insects_seen_on"] is None


def test_one_that_stood_here_is_asked_for_as_a_find_is(ask: Ask) -> None:
    found = ask("add", "G07", *NEW[:3], "porch shelf", "--already-here", "--insects-seen")
    assert found["plant"]["standing"] == "collection"
    today = ask("today")
    assert [due["kind"] for due in today["due"]] == ["set-apart"]
    reasons = next(p["reasons"] for p in today["plan"] if p["code"] == "G07")
    assert reasons[0]["code"] == "found-lately"


def test_clean_looks_clear_it_slower_than_one_of_which_nothing_is_known(ask: Ask) -> None:
    ask("add", "G07", *NEW, "--source", "one", "--insects-seen", "--on", "2026-04-20")
    ask("add", "G08", *NEW, "--source", "two", "--on", "2026-04-20")
    for day in ("2026-04-24", "2026-04-28", "2026-05-02"):
        for code in ("G07", "G08"):
            ask("look", code, "--whole-plant", "--seconds", "180", "--on", day)
    infested, new = (ask("plant", code) for code in ("G07", "G08"))
    assert 0 < chance(infested) < chance(new) - 0.1


def test_what_was_seen_is_put_right_afterwards_as_of_the_day_it_came(ask: Ask) -> None:
    before = chance(ask("add", "G07", *NEW, "--on", "2026-04-20"))
    ask("look", "G07", "--whole-plant", "--seconds", "90", "--on", "2026-04-22")
    clean = chance(ask("plant", "G07"))
    seen = ask("add", "G07", "--change", "--insects-seen")
    assert seen["plant"]["insects_seen_on"] == "2026-04-20"
    # what was kept of earlier sums is not taken for the new ones
    assert chance(seen) < clean - 0.1
    assert chance(ask("plant", "G07", "--on", "2026-04-20")) == pytest.approx(0, abs=1e-9)
    again = ask("add", "G07", "--change", "--no-insects-seen")
    assert again["plant"]["insects_seen_on"] is None
    assert chance(again) == clean
    assert chance(ask("plant", "G07", "--on", "2026-04-20")) == before


def test_those_that_came_with_it_are_told(ask: Ask) -> None:
    alone = chance(ask("add", "G07", *NEW, "--source", "a fair"))
    ask("add", "G08", *NEW, "--source", "a fair", "--insects-seen")
    assert chance(ask("plant", "G07")) == pytest.approx(1 - 0.4 * (1 - NONE_OF_INFESTED))
    ask("add", "G08", "--change", "--no-insects-seen")
    assert chance(ask("plant", "G07")) == alone


def test_the_warmth_of_a_generation_is_never_waived_for_it(ask: Ask) -> None:
    ask("add", "G07", *NEW, "--insects-seen", "--on", "2025-06-01")
    ask("add", "G08", *NEW, "--source", "else", "--on", "2025-06-01")

    def warmth(code: str) -> Any:
        criteria = ask("plant", code, "--on", "2025-07-01")["plant"]["release"]["criteria"]
        return next(c["need"] for c in criteria if c["code"] == "degree_days")

    for number in range(1, 31):
        for code in ("G07", "G08"):
            day = f"2025-06-{number:02}"
            ask("look", code, "--whole-plant", "--seconds", "300", "--on", day)
    ask("look", "G08", "roots", "--unpotted", "--seconds", "200", "--on", "2025-06-29")
    assert warmth("G07") == 485


def test_it_is_remembered_however_long_ago(ask: Ask) -> None:
    ask("add", "G07", *NEW, "--insects-seen", "--on", "2025-06-01")
    assert chance(ask("plant", "G07")) < 0.3
    ask("add", "G07", "--change", "--no-insects-seen")
    assert chance(ask("plant", "G07")) > 0.8


def test_of_a_part_it_is_said_of_the_plant_divided(ask: Ask, refused: Ask) -> None:
    ask("add", "G07", *NEW, "--insects-seen", "--on", "2026-05-01")
    ask("divide", "G07", "--into", "2", "--code", "G08", "--on", "2026-05-02")
    assert ask("plant", "G08")["plant"]["insects_seen_on"] == "2026-05-01"
    error = refused(2, "add", "G08", "--change", "--no-insects-seen")
    assert error["code"] == "start-of-part"
    ask("add", "G07", "--change", "--no-insects-seen")
    # the part goes on with what was known of the whole when it was divided
    assert ask("plant", "G07")["plant"]["insects_seen_on"] is None


def test_a_column_of_a_file_says_it_and_a_second_import_writes_nothing(
    ask: Ask, refused: Ask, tmp_path: Path
) -> None:
    file = tmp_path / "plants.csv"
    rows = "code,name,place,insects_seen\nG07,Lanyard,stair foot,yes\nG08,Bollard,stair foot,no\n"
    file.write_text(rows)
    assert (ask("import", file)["written"], ask("import", file)["already_known"]) == (2, 2)
    seen = [ask("plant", code)["plant"]["insects_seen_on"] for code in ("G07", "G08")]
    assert seen == ["2026-05-04", None]
    file.write_text(rows.replace("yes", "no"))
    error = refused(2, "import", file)
    assert (error["places"][0]["column"], error["places"][0]["line"]) == ("insects_seen", 2)
    file.write_text(rows.replace("yes", "perhaps"))
    assert refused(2, "import", file)["places"][0]["column"] == "insects_seen"

"""import of plants and of temperatures."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rounds.service.logbook.book import Logbook

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")

PLANTS = (
    "code,name,place,form,size,arrived,already_here,botanical_name,source,spot,touches,value,"
    "dislikes,clear_pot,pest,note\n"
    "G07,Lanyard,stair FOOT,rosette,small,2026-05-01,,Rosula ficta,a neighbour,3,G11;g02,2.5,"
    'alcohol; wet-leaves,yes,mealybug,"two\nlines"\n'
    "G11,Bollard,porch shelf,,,,yes,,,,,,,,,\n"
)


@pytest.fixture
def bring(ask: Ask, tmp_path: Path) -> Callable[..., tuple[int, int]]:
    """Import a text; how many rows were written, how many known."""

    def run(text: str, *options: str) -> tuple[int, int]:
        file = tmp_path / "rows.csv"
        file.write_text(text, encoding="utf-8")
        found = ask("import", file, *options)
        return found["written"], found["already_known"]

    return run


Bring = Callable[..., tuple[int, int]]


def test_a_row_is_a_plant_with_all_its_columns(ask: Ask, bring: Bring, logbook_file: Path) -> None:
    assert bring(PLANTS) == (2, 0)
    plant = ask("plant", "G07")["plant"]
    assert (plant["name"], plant["place"], plant["spot"]) == ("Lanyard", "stair foot", "3")
    assert (plant["form"], plant["size"]) == ("rosette", "small")
    assert plant["botanical_name"] == "Rosula ficta"
    assert (plant["standing"], plant["standing_since"]) == ("quarantine", "2026-05-01")
    other = ask("plant", "G11")["plant"]
    assert (other["standing"], other["form"], other["size"]) == (
        "collection", "leafy-plant", "medium",
    )  # fmt: skip
    with Logbook(logbook_file) as logbook:
        plants = {p.code: p for p in logbook.collection().plants.values()}
        on = logbook.clock.today()
        facts = {what: plants["G07"].fact(what, on) for what in ("value", "dislikes", "note")}
        beside = {
            code: {other for other in plants if plants[other].id in plant.touching(on)}
            for code, plant in plants.items()
        }
    assert facts == {"value": "2.5", "dislikes": "alcohol wet-leaves", "note": "two\nlines"}
    assert beside == {"G07": {"G02", "G11"}, "G11": {"G07"}, "G02": {"G07"}, "S03": set()}


def test_plants_read_twice_write_nothing_the_second_time(ask: Ask, bring: Bring) -> None:
    bring(PLANTS)
    before = ask("rank")
    assert bring(PLANTS) == (0, 2)
    assert bring(PLANTS, "--on", "2026-06-01") == (0, 2)
    assert ask("rank") == before


def test_plants_are_known_by_what_was_ever_said_of_them(ask: Ask, bring: Bring) -> None:
    bring(PLANTS)
    ask("move", "G07", "porch shelf", "--spot", "9")
    ask("add", "G07", "--change", "--size", "large", "--name", "Lanyard II")
    assert bring(PLANTS) == (0, 2)
    assert bring("code,name,place\ng07,Lanyard II,porch shelf\n") == (0, 1)


def test_identical_rows_of_one_plant_are_one_plant(ask: Ask, bring: Bring) -> None:
    assert bring("code,name,place\nG04,Cuddy,porch shelf\nG04,Cuddy,porch shelf\n") == (1, 1)


def test_arrival_without_a_day_is_the_day_written_about(ask: Ask, bring: Bring) -> None:
    bring("code,name,place\nG04,Cuddy,porch shelf\n", "--on", "2026-05-02")
    assert ask("plant", "G04")["plant"]["standing_since"] == "2026-05-02"


def test_a_new_plant_is_added_to_whom_a_known_one_touches(
    bring: Bring, ask: Ask, logbook_file: Path
) -> None:
    ask("add", "G02", "--change", "--touches", "S03")
    bring("code,name,place,touches\nG04,Cuddy,porch shelf,G02\n")
    with Logbook(logbook_file) as logbook:
        plants = {p.code: p for p in logbook.collection().plants.values()}
        beside = plants["G02"].touching(logbook.clock.today())
    assert set(beside) == {plants["S03"].id, plants["G04"].id}


WEATHER = "place,day,min_c,max_c\nporch shelf,2026-05-01,9,20\nStair foot,2026-05-01,9.5,14\n"


def test_temperatures_are_kept_and_known_the_second_time(ask: Ask, bring: Bring) -> None:
    assert bring(WEATHER) == (2, 0)
    assert bring(WEATHER) == (0, 2)
    assert bring(WEATHER + "porch shelf,2026-05-01,9,20\n") == (0, 3)
    criteria = ask("plant", "S03", "--on", "2026-05-02")["plant"]["release"]["criteria"]
    # three days at 22 degC, one between 9.5 and 14, over a threshold of 8
    assert criteria[1]["have"] == pytest.approx(3 * 14 + 3.75)


def test_temperatures_corrected_or_taken_back_since_are_still_known(ask: Ask, bring: Bring) -> None:
    bring(WEATHER)
    ask("weather", "porch shelf", "2026-05-01", "--min", "3", "--max", "9", "--change")
    kept = ask("weather", "stair foot", "2026-05-01", "--min", "3", "--max", "9", "--change")
    ask("withdraw", kept["weather"]["id"])
    assert bring(WEATHER) == (0, 2)
    assert bring(WEATHER.replace("9.5", "8.5")) == (1, 1)


def test_a_person_reads_what_came_of_a_file(call: Ask, tmp_path: Path) -> None:
    file = tmp_path / "weather.csv"
    file.write_text(WEATHER)
    assert call("import", file).out == f"{file}: weather, 2 rows; 2 written, 0 known already.\n"
    assert call("import", file).out == f"{file}: weather, 2 rows; 0 written, 2 known already.\n"

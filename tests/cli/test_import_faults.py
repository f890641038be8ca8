"""import: the whole file or nothing, faults by line and column."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")

LOOKS = "plant,zone,at,seconds,removed,stage,unpotted,outcome,pest,note\n"
PLANTS = "code,name,place,form,value,arrived,already_here,touches,dislikes,clear_pot\n"
WEATHER = "place,day,min_c,max_c\n"


@pytest.mark.parametrize(
    ("text", "line", "column", "code"),
    [
        (LOOKS + "S04,axils,2026-05-01,9,,,,,,\n", 2, "plant", "unknown-plant"),
        (LOOKS + "S03,axlis,2026-05-01,9,,,,,,\n", 2, "zone", "unknown-zone"),
        (LOOKS + "S03,axils,1 May,9,,,,,,\n", 2, "at", "not-an-instant"),
        (LOOKS + "S03,axils,2026-02-30,9,,,,,,\n", 2, "at", "not-a-date"),
        (LOOKS + "S03,axils,2026-04-01,9,,,,,,\n", 2, "plant", "plant-not-yet"),
        (LOOKS + "S03,axils,2026-05-01,x,,,,,,\n", 2, "seconds", "not-a-number"),
        (LOOKS + "S03,axils,2026-05-01,nan,,,,,,\n", 2, "seconds", "not-a-number"),
        (LOOKS + "S03,axils,2026-05-01,-1,,,,,,\n", 2, "seconds", "bad-seconds"),
        (LOOKS + "S03,axils,2026-05-01,,,,,,,\n", 2, "seconds", "cell-empty"),
        (LOOKS + ",axils,2026-05-01,9,,,,,,\n", 2, "plant", "cell-empty"),
        (LOOKS + "S03,,2026-05-01,9,,,,,,\n", 2, "zone", "cell-empty"),
        (LOOKS + "S03,axils,,9,,,,,,\n", 2, "at", "cell-empty"),
        (LOOKS + "S03,axils,2026-05-01,9,two,,,,,\n", 2, "removed", "not-a-count"),
        (LOOKS + "S03,axils,2026-05-01,9,-2,,,,,\n", 2, "removed", "bad-count"),
        (LOOKS + "S03,axils,2026-05-01,9,2,old,,,,\n", 2, "stage", "not-one-of"),
        (LOOKS + "S03,axils,2026-05-01,9,,adult,,,,\n", 2, "stage", "stage-without-count"),
        (LOOKS + "S03,axils,2026-05-01,9,,,maybe,,,\n", 2, "unpotted", "not-yes-or-no"),
        (LOOKS + "S03,axils,2026-05-01,9,,,yes,,,\n", 2, "unpotted", "unpotted-needs-roots"),
        (LOOKS + "S03,axils,2026-05-01,9,,,,seen,,\n", 2, "outcome", "not-one-of"),
        (LOOKS + "S03,axils,2026-05-01,9,,,,cannot-see,,\n", 2, "outcome",
         "cannot-see-with-looking"),
        (LOOKS + "S03,axils,2026-05-01,9,,,,,thripp,\n", 2, "pest", "unknown-pest"),
        (LOOKS + "S03,axils,2026-05-01,9,,,,,,\x1b[2J\n", 2, "note", "not-text"),
        (LOOKS + '\n"S03",axils,2026-05-01,9,,,,,,"a\nb"\nS03,axils,x,9,,,,,,\n', 5, "at",
         "not-an-instant"),
        (LOOKS + "S03,axils,2026-05-01,9\n", 2, None, "row-length"),
        (LOOKS + 'S03,"axils\n', 2, None, "file-not-csv"),
        ("plant,zone,at,second\nS03,axils,2026-05-01,9\n", 1, "second", "unknown-column"),
        ("plant,zone,at\nS03,axils,2026-05-01\n", 1, "seconds", "column-missing"),
        ("plant,zone,at,seconds,zone\nS03,axils,2026-05-01,9,axils\n", 1, "zone", "column-twice"),
        ("a;b\n1;2\n", 1, None, "file-kind-unknown"),
        (PLANTS + "G 4,Cuddy,porch shelf,,,,,,,\n", 2, "code", "bad-code"),
        (PLANTS + "G04,,porch shelf,,,,,,,\n", 2, "name", "cell-empty"),
        (PLANTS + "G04,Cuddy,porch,,,,,,,\n", 2, "place", "unknown-place"),
        (PLANTS + "G04,Cuddy,porch shelf,fen,,,,,,\n", 2, "form", "unknown-form"),
        (PLANTS + "G04,Cuddy,porch shelf,,0,,,,,\n", 2, "value", "value-not-positive"),
        (PLANTS + "G04,Cuddy,porch shelf,,,May,,,,\n", 2, "arrived", "not-a-date"),
        (PLANTS + "G04,Cuddy,porch shelf,,,2026-05-01,yes,,,\n", 2, "arrived", "arrived-or-here"),
        (PLANTS + "G04,Cuddy,porch shelf,,,,,G05,,\n", 2, "touches", "unknown-plant"),
        (PLANTS + "G04,Cuddy,porch shelf,,,,,g04,,\n", 2, "touches", "touches-itself"),
        (PLANTS + "G04,Cuddy,porch shelf,,,,,,wind,\n", 2, "dislikes", "not-one-of"),
        (PLANTS + "G04,Cuddy,porch shelf,,,,,,,clear\n", 2, "clear_pot", "not-yes-or-no"),
        (PLANTS + "G04,Cuddy,porch shelf,,,,,,,\ng04,Cuddy,stair foot,,,,,,,\n", 3, "code",
         "plant-twice"),
        (PLANTS + "G02,Thole,stair foot,,,,,,,\n", 2, "place", "plant-differs"),
        (PLANTS + "G02,Cuddy,porch shelf,,,,,,,\n", 2, "name", "plant-differs"),
        (PLANTS + "G02,Thole,porch shelf,fern,,,,,,\n", 2, "form", "plant-differs"),
        (PLANTS + "G02,Thole,porch shelf,,,2026-01-01,,,,\n", 2, "arrived", "plant-differs"),
        (PLANTS + "S03,Pintle,stair foot,,,,yes,,,\n", 2, "already_here", "plant-differs"),
        (PLANTS + "S03,Pintle,stair foot,,,,,G02,,\n", 2, "touches", "plant-differs"),
        (WEATHER + "porch,2026-05-01,9,20\n", 2, "place", "unknown-place"),
        (WEATHER + "porch shelf,May,9,20\n", 2, "day", "not-a-date"),
        (WEATHER + "porch shelf,2026-05-01,,20\n", 2, "min_c", "cell-empty"),
        (WEATHER + "porch shelf,2026-05-01,9,inf\n", 2, "max_c", "not-a-number"),
        (WEATHER + "porch shelf,2026-05-01,9,99\n", 2, "max_c", "no-such-temperature"),
        (WEATHER + "porch shelf,2026-05-01,9,8\n", 2, "max_c", "max-below-min"),
        (WEATHER + "porch shelf,2026-05-01,9,20\nporch shelf,2026-05-01,9,21\n", 3, "day",
         "weather-known"),
    ],
)  # fmt: skip
def test_a_fault_is_told_by_line_and_column_and_nothing_is_written(
    ask: Ask, refused: Ask, tmp_path: Path, text: str, line: int, column: str | None, code: str
) -> None:
    file = tmp_path / "bad.csv"
    file.write_text(text, encoding="utf-8")
    before = ask("rank")
    error = refused(2, "import", file)
    assert error["code"] == code
    place = {"file": str(file), "line": line, "column": column, "argument": None}
    assert error["places"][0] == place
    assert error["message"].startswith(f"{file}, line {line}")
    assert ask("rank") == before
    assert ask("plant", "S03")["looks"] == []


def test_good_rows_beside_a_bad_one_are_not_written(ask: Ask, refused: Ask, tmp_path: Path) -> None:
    file = tmp_path / "half.csv"
    file.write_text(PLANTS + "G04,Cuddy,porch shelf,,,,,,,\nG05,Halyard,porch shelf,,,,,G99,,\n")
    assert refused(2, "import", file)["places"][0]["line"] == 3
    assert [plant["code"] for plant in ask("rank")["plants"]] == ["G02", "S03"]


def test_the_first_20_faults_are_told_at_once(refused: Ask, call: Ask, tmp_path: Path) -> None:
    file = tmp_path / "many.csv"
    file.write_text(LOOKS + "S03,axlis,2026-05-01,9,,,,,,\n" * 30)
    error = refused(2, "import", file)
    assert [place["line"] for place in error["places"]] == list(range(2, 22))
    said = call("import", file).err.splitlines()
    assert len(said) == 20
    assert said[1] == f"{file}, line 3, column zone"


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "file-empty"),
        (b"\n\n", "file-empty"),
        (b"place,day,min_c,max_c\n", "file-without-rows"),
        (b"place,day,min_c,max_c\nporch shelf,2026-05-01,9,\xff\n", "file-not-utf8"),
        ("place,day,min_c,max_c\n".encode("utf-16"), "file-not-utf8"),
        (b"place,day,min_c,max_c\nporch\x00 shelf,2026-05-01,9,20\n", "not-text"),
    ],
)
def test_a_file_that_is_no_table_is_refused(
    refused: Ask, tmp_path: Path, content: bytes, code: str
) -> None:
    file = tmp_path / "odd.csv"
    file.write_bytes(content)
    error = refused(2, "import", file)
    assert error["code"] == code
    assert error["places"][0]["file"] == str(file)


def test_a_file_that_cannot_be_read_is_bad_input(refused: Ask, tmp_path: Path) -> None:
    assert refused(2, "import", tmp_path)["code"] == "file-unreadable"
    assert refused(2, "import", tmp_path / "none.csv")["code"] == "file-unreadable"


def test_a_look_at_a_plant_that_is_gone_is_a_fault_of_the_file(
    ask: Ask, refused: Ask, tmp_path: Path
) -> None:
    ask("gone", "S03", "died")
    file = tmp_path / "gone.csv"
    file.write_text("plant,zone,at,seconds\nS03,axils,2026-05-05,9\n")
    error = refused(2, "import", file)
    assert (error["code"], error["places"][0]["line"]) == ("plant-gone", 2)

"""import of looks: known rows, keys, and every row a look as it would be typed in."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")

HEAD = "plant,zone,at,seconds,removed,killed,left,doubtful,stage,unpotted,outcome,who,note,pest\n"


@pytest.fixture
def bring(ask: Ask, tmp_path: Path) -> Callable[[str], tuple[int, int]]:
    """Import a text; how many rows were written, how many known."""

    def run(text: str | bytes, *options: str) -> tuple[int, int]:
        file = tmp_path / "looks.csv"
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
        found = ask("import", file, *options)
        assert found["file"] == str(file)
        assert found["kind"] == "looks"
        assert found["rows"] == found["written"] + found["already_known"]
        return found["written"], found["already_known"]

    return run


Bring = Callable[..., tuple[int, int]]


def test_a_row_is_a_look_with_all_its_columns(ask: Ask, bring: Bring) -> None:
    assert bring(
        HEAD + "s03,Roots,2026-05-01 07:30,120,2,1,3,4,adult,yes,,Ada,two words,Mealybug\n"
        "S03,medium,2026-05-02,0,,,,,,,cannot-see,,,\n"
        "S03,axils,2026-05-03T08:00:30,12,,,,,,no,partial,,,\n"
    ) == (3, 0)
    first, second, third = ask("plant", "S03")["looks"]
    assert (first["day"], first["zone"], first["seconds"]) == ("2026-05-01", "roots", 120)
    assert [first[kind] for kind in ("removed", "killed", "left", "doubtful")] == [2, 1, 3, 4]
    assert (first["unpotted"], first["who"]) == (True, "Ada")
    assert {tally["stage"] for tally in first["tallies"]} == {"adult"}
    assert (second["outcome"], second["credited_seconds"]) == ("cannot-see", 0)
    assert (third["outcome"], third["seconds"], third["credited_seconds"]) == ("partial", 12, 0)


def test_columns_come_in_any_order_and_case(ask: Ask, bring: Bring) -> None:
    assert bring("Seconds, at ,ZONE,plant\n30,2026-05-01,axils,S03\n") == (1, 0)
    assert ask("plant", "S03")["looks"][0]["seconds"] == 30


@pytest.mark.parametrize(
    "text",
    [
        b"\xef\xbb\xbfplant,zone,at,seconds,note\r\nS03,axils,2026-05-01,30,\r\n",
        b'"plant","zone","at","seconds","note"\n"S03","axils","2026-05-01","30",""\n',
        b"plant,zone,at,seconds,note\n\nS03,axils,2026-05-01,30,\n,,,,\n\n",
        b"plant,zone,at,seconds,note\nS03,axils,2026-05-01,30,",
        b"plant,zone,at,seconds,note\nS03,axils,2026-05-01 12:00,30.0,\n",
    ],
    ids=["mark and CRLF", "quoted", "empty lines", "no last line end", "noon spelled out"],
)
def test_the_same_look_is_known_however_it_is_written(bring: Bring, text: bytes) -> None:
    assert bring("plant,zone,at,seconds\nS03,axils,2026-05-01,30\n") == (1, 0)
    assert bring(text) == (0, 1)


def test_a_note_keeps_commas_quotes_and_lines(bring: Bring, ask: Ask) -> None:
    text = 'plant,zone,at,seconds,note\nS03,axils,2026-05-01,30,"a ""b"", c\nd"\n'
    assert bring(text + "S03,medium,2026-05-01,30,\n") == (2, 0)
    assert bring(text) == (0, 1)
    assert bring(text.replace('""b""', "b")) == (1, 0)


def test_a_file_read_twice_writes_nothing_the_second_time(ask: Ask, bring: Bring) -> None:
    text = HEAD + "".join(
        f"S03,axils,2026-05-0{day} 07:30,{30 + day},{day},,,1,young,,,Ada,n{day},\n"
        for day in range(1, 5)
    )
    assert bring(text) == (4, 0)
    before = ask("plant", "S03")
    assert bring(text) == (0, 4)
    assert ask("plant", "S03") == before


def test_two_identical_rows_are_two_looks(ask: Ask, bring: Bring) -> None:
    row = "S03,axils,2026-05-01,30\n"
    head = "plant,zone,at,seconds\n"
    assert bring(head + row + row) == (2, 0)
    assert bring(head + row + row) == (0, 2)
    assert bring(head + row) == (0, 1)
    assert bring(head + row + row + row) == (1, 2)
    assert len(ask("plant", "S03")["looks"]) == 3


@pytest.mark.parametrize(
    ("column", "other"),
    [
        (0, "G02"), (1, "medium"), (2, "2026-05-02 07:30"), (2, "2026-05-01 07:31"), (3, "31"),
        (4, "2"), (5, "1"), (6, "1"), (7, "1"), (8, "young"), (8, ""), (11, "Bert"), (11, ""),
        (12, "other"), (12, ""), (10, "partial"),
    ],
)  # fmt: skip
def test_a_row_that_differs_anywhere_is_another_look(bring: Bring, column: int, other: str) -> None:
    cells = ["S03", "axils", "2026-05-01 07:30", "30", "1", "", "", "", "adult", "", "", "Ada",
             "note", ""]  # fmt: skip
    assert bring(HEAD + ",".join(cells) + "\n") == (1, 0)
    cells[column] = other
    assert bring(HEAD + ",".join(cells) + "\n") == (1, 0)


def test_a_row_of_a_whole_plant_is_a_look_at_each_zone(
    ask: Ask, bring: Bring, refused: Ask, tmp_path: Path
) -> None:
    text = HEAD + "S03,Whole-Plant,2026-05-01,90,,,,,,,,Ada,glance,\n"
    assert bring(text) == (1, 0)
    looks = ask("plant", "S03")["looks"]
    zones = [zone for zone in ask("plant", "S03")["zones"] if zone["zone"] != "roots"]
    assert [look["zone"] for look in looks] == [zone["zone"] for zone in zones]
    whole = sum(zone["reference_seconds"] for zone in zones)
    assert [look["seconds"] for look in looks] == pytest.approx(
        [90 * zone["reference_seconds"] / whole for zone in zones], abs=1e-3
    )
    # known again, also where it was typed in; a second one is another
    assert bring(text) == (0, 1)
    assert bring(text + text.removeprefix(HEAD)) == (1, 1)
    ask("look", "S03", "--whole-plant", "--seconds", 50, "--on", "2026-05-02")
    assert bring("plant,zone,at,seconds\nS03,whole-plant,2026-05-02,50\n") == (0, 1)
    assert bring("plant,zone,at,seconds\nS03,whole-plant,2026-05-02,51\n") == (1, 0)
    keyed = "plant,zone,at,seconds,key\nS03,whole-plant,2026-05-03,50,k1\n"
    assert bring(keyed) == (1, 0)
    assert bring(keyed) == (0, 1)
    # and to a row without the key
    assert bring("plant,zone,at,seconds\nS03,whole-plant,2026-05-03,50\n") == (0, 1)
    file = tmp_path / "counted.csv"
    file.write_text("plant,zone,at,seconds,removed\nS03,whole-plant,2026-05-01,90,2\n")
    assert refused(2, "import", file)["places"][0]["column"] == "zone"


def test_a_look_typed_in_is_known_to_the_file(ask: Ask, bring: Bring) -> None:
    ask("look", "S03", "axils", "--seconds", 30, "--removed", 2, "--on", "2026-05-01",
        "--who", "Ada")  # fmt: skip
    head = "plant,zone,at,seconds,removed,who\n"
    assert bring(head + "S03,axils,2026-05-01,30,2,Ada\n") == (0, 1)
    assert bring(head + "S03,axils,2026-05-01,30,2,\n", "--who", "Ada") == (0, 1)


def test_a_look_taken_back_does_not_come_back(ask: Ask, bring: Bring) -> None:
    text = "plant,zone,at,seconds,removed\nS03,axils,2026-05-01,30,2\n"
    bring(text)
    (look,) = ask("plant", "S03")["looks"]
    ask("withdraw", look["id"])
    assert bring(text) == (0, 1)
    assert ask("plant", "S03")["plant"]["last_find_on"] is None


def test_a_count_taken_back_does_not_come_back(ask: Ask, bring: Bring) -> None:
    text = "plant,zone,at,seconds,removed\nS03,axils,2026-05-01,30,2\n"
    bring(text)
    ask("withdraw", ask("plant", "S03")["looks"][0]["tallies"][0]["id"])
    assert bring(text) == (0, 1)


KEYED = "plant,zone,at,seconds,key\n"


def test_a_row_with_a_key_is_written_once_under_it(bring: Bring, refused: Ask, ask: Ask) -> None:
    same = "S03,axils,2026-05-01,30"
    assert bring(f"{KEYED}{same},k1\n{same},k2\n{same},k1\n") == (2, 1)
    assert bring(f"{KEYED}{same},k1\n{same},k2\n") == (0, 2)
    assert bring(f"{KEYED}{same},k3\n") == (1, 0)
    assert len(ask("plant", "S03")["looks"]) == 3


def test_rows_with_and_without_a_key_do_not_stand_for_each_other(bring: Bring) -> None:
    same = "S03,axils,2026-05-01,30"
    assert bring(f"{KEYED}{same},k1\n") == (1, 0)
    assert bring(f"{KEYED}{same},\n{same},k1\n") == (1, 1)
    assert bring(f"{KEYED}{same},\n{same},k1\n") == (0, 2)
    assert bring(f"{KEYED}{same},\n{same},k9\n") == (1, 1)


def test_a_key_used_for_another_look_is_refused_by_its_line(
    bring: Bring, refused: Ask, ask: Ask, tmp_path: Path
) -> None:
    bring(f"{KEYED}S03,axils,2026-05-01,30,k1\n")
    file = tmp_path / "other.csv"
    file.write_text(f"{KEYED}S03,medium,2026-05-01,30,k2\nS03,axils,2026-05-01,31,k1\n")
    error = refused(2, "import", file)
    assert error["code"] == "key-reused"
    assert error["places"] == [{"file": str(file), "line": 3, "column": "key", "argument": None}]
    assert len(ask("plant", "S03")["looks"]) == 1


def test_the_key_of_a_row_and_of_a_call_are_the_same_keys(
    bring: Bring, refused: Ask, ask: Ask, tmp_path: Path
) -> None:
    ask("place", "sill", "--key", "k1")
    file = tmp_path / "looks.csv"
    file.write_text(f"{KEYED}S03,axils,2026-05-01,30,k1\n")
    assert refused(2, "import", file)["code"] == "key-reused"


def test_a_file_under_a_key_is_read_once(ask: Ask, refused: Ask, tmp_path: Path) -> None:
    file = tmp_path / "looks.csv"
    file.write_text("plant,zone,at,seconds\nS03,axils,2026-05-01,30\n")
    assert ask("import", file, "--key", "k")["written"] == 1
    again = ask("import", file, "--key", "k")
    assert (again["written"], again["already_known"], again["rows"]) == (0, 1, 1)
    file.write_text("plant,zone,at,seconds\nS03,axils,2026-05-01,31\n")
    assert refused(2, "import", file, "--key", "k")["code"] == "key-reused"


def test_many_rows_are_read_in_one_go(ask: Ask, bring: Bring) -> None:
    """The logbook is asked once, not for each row: 4,000 rows twice take seconds, not minutes."""
    text = "plant,zone,at,seconds\n" + "".join(
        f"{('S03', 'G02')[n % 2]},axils,2026-05-0{1 + n % 4} 07:{n % 60:02},{n // 8 % 90}\n"
        for n in range(4000)
    )
    assert bring(text) == (4000, 0)
    assert bring(text) == (0, 4000)


STAGED = "plant,zone,at,seconds,removed,stage,key\n"


def test_rows_of_one_key_with_other_stages_are_one_look(ask: Ask, bring: Bring) -> None:
    text = STAGED + (
        "S03,axils,2026-05-01 08:00,60,2,adult,k1\n"
        "s03,Axils,2026-05-01T08:00,,3,young,k1\n"
        "S03,axils,2026-05-01 08:00,60,1,,k1\n"
        "S03,medium,2026-05-01 08:02,20,,,k2\n"
    )
    assert bring(text) == (4, 0)
    medium, axils = sorted(ask("plant", "S03")["looks"], key=lambda look: len(look["tallies"]))
    assert (medium["zone"], medium["tallies"]) == ("medium", [])
    assert [(t["stage"], t["count"]) for t in axils["tallies"]] == [
        ("adult", 2), ("young", 3), (None, 1)
    ]  # fmt: skip
    assert (axils["seconds"], axils["credited_seconds"]) == (60, 60 - 8 * 6)
    assert bring(text) == (0, 4)
    assert len(ask("plant", "S03")["looks"]) == 2
    added = ask("look", "S03", "axils", "--removed", 1, "--stage", "eggs", "--key", "k1",
                "--on", "2026-05-01")  # fmt: skip
    assert len(added["tally_ids"]) == 1
    assert len(ask("plant", "S03")["looks"]) == 2


@pytest.mark.parametrize(
    "row",
    [
        "S03,axils,2026-05-01,60,2,adult,k1\n",
        "S03,axils,2026-05-01,61,2,young,k1\n",
        "S03,medium,2026-05-01,60,2,young,k1\n",
        "S03,axils,2026-05-02,60,2,young,k1\n",
        "G02,axils,2026-05-01,60,2,young,k1\n",
        "S03,axils,2026-05-01,60,,,k1\n",
        "S03,medium,2026-05-01,60,2,young,k2\nS03,axils,2026-05-01,60,2,young,k1\n",
    ],
)
def test_a_row_that_is_no_further_stage_of_the_look_is_refused_by_its_line(
    refused: Ask, tmp_path: Path, row: str
) -> None:
    file = tmp_path / "looks.csv"
    file.write_text(STAGED + "S03,axils,2026-05-01,60,1,adult,k1\n" + row)
    error = refused(2, "import", file)
    assert error["code"] == "key-reused"
    assert error["places"][0]["line"] == 2 + row.count("\n")


def test_a_stage_more_in_a_file_read_before_is_refused(
    ask: Ask, bring: Bring, refused: Ask, tmp_path: Path
) -> None:
    first = STAGED + "S03,axils,2026-05-01,60,1,adult,k1\n"
    assert bring(first) == (1, 0)
    file = tmp_path / "more.csv"
    file.write_text(first + "S03,axils,2026-05-01,60,2,young,k1\n")
    assert refused(2, "import", file)["code"] == "key-reused"
    assert ask("plant", "S03")["looks"][0]["removed"] == 1

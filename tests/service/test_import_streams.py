"""import of looks: as if each row were entered by hand, in bounded memory and outside the lock."""

import csv
import hashlib
import json
import shutil
import tracemalloc
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from itertools import groupby, product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.clock import SetClock
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    plant_gone,
    put_place,
)
from rounds.service.entries.looks import (
    WHOLE,
    LookEntered,
    check_look,
    enter_look,
    round_of_entries,
    write_look,
)
from rounds.service.exchange import FileRead, read_file
from rounds.service.exchange.cells import moment as moment_of_cell
from rounds.service.exchange.trouble import InFile
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon, now
from rounds.service.logbook.named import find_plant
from rounds.store import desk, waiting

CLOCK = SetClock(datetime(2026, 5, 4, 10, tzinfo=UTC))
BEFORE = date(2026, 1, 1)
COLUMNS = ("plant", "zone", "at", "seconds", "removed", "doubtful", "stage", "who", "note")
HEAD = "plant,zone,at,seconds\n"

SINGLE = product(
    ("S03", "G02"), ("axils", "medium"), ("2026-05-01", "2026-05-02 07:30", "2026-05-02T07:30:15"),
    ("12.5", "30"), (("", "", ""), ("2", "1", "adult"), ("", "4", "")), ("", "Ada"),
    ("", "a, b"),
)  # fmt: skip
TOGETHER = product(("S03", "G02"), (WHOLE,), ("2026-05-01", "2026-05-03"), ("90",), ("", "glance"))
ROWS = [
    *((*row[:4], *row[4], *row[5:]) for row in SINGLE),
    *((*row[:4], "", "", "", "Ada", row[4]) for row in TOGETHER),
]
"""Rows that may be written, no two of them the same look."""

TABLES = ("round", "look", "tally", "entry_note", "pest", "log_head")


@pytest.fixture(scope="module")
def porch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A logbook of two plants, from which others are copied: their ids have one origin."""
    path = tmp_path_factory.mktemp("porch") / "logbook.db"
    with Logbook(path, CLOCK) as logbook:
        moment = local_noon(BEFORE)
        put_place(logbook, moment, "porch shelf", PlaceDetails())
        for code in ("S03", "G02"):
            about = PlantDetails(name="Pintle", place="porch shelf", already_here=True)
            add_plant(logbook, moment, code, about)
    return path


@pytest.fixture
def opened(porch: Path, tmp_path: Path) -> Iterator[Logbook]:
    """A copy of its own."""
    with Logbook(Path(shutil.copy(porch, tmp_path / "own.db")), CLOCK) as logbook:
        yield logbook


@pytest.fixture(scope="module", autouse=True)
def small_batches() -> Iterator[None]:
    """A file of a few rows is larger than a batch."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(waiting, "LOOKS_AT_A_TIME", 3)
        yield


@contextmanager
def reading(logbook: Logbook, file: Path, *, digest: bool = False) -> Iterator[FileRead]:
    """A file that was read."""
    with read_file(logbook, now(CLOCK), str(file), digest=digest) as read:
        yield read


def bring(logbook: Logbook, file: Path) -> int:
    """Import a file; how many rows were written."""
    with reading(logbook, file) as read:
        return read.write()


def written(
    folder: Path, rows: Sequence[tuple[str, ...]], columns: tuple[str, ...] = COLUMNS
) -> Path:
    """A file of rows."""
    file = folder / "looks.csv"
    with file.open("w", newline="", encoding="utf-8") as out:
        csv.writer(out).writerows([columns, *rows])
    return file


def many(folder: Path, rows: int) -> Path:
    """A file of looks, a thousand a day, each row another one."""
    file = folder / f"{rows}.csv"
    with file.open("w", encoding="utf-8") as out:
        out.write("plant,zone,at,seconds,removed,note\n")
        for number in range(rows):
            day, minute = divmod(number, 1000)
            at = datetime(2026, 1, 2) + timedelta(days=day, minutes=minute)
            zone = ("axils", "medium")[number % 2]
            plant = ("S03", "G02")[number // 2 % 2]
            counted, note = ("3", "seen") if number % 20 == 0 else ("", "")
            out.write(f"{plant},{zone},{at:%Y-%m-%d %H:%M},{number % 60},{counted},{note}\n")
    return file


def held(logbook: Logbook) -> dict[str, list[tuple[Any, ...]]]:
    """All that an import may write."""
    with logbook.file.reading() as connection:
        return {
            table: sorted(connection.execute(f"SELECT * FROM {table}"), key=repr)
            for table in TABLES
        }


def enter(logbook: Logbook, row: tuple[str, ...]) -> None:
    """One row, entered by itself into the round of what was imported."""
    code, zone, at, seconds, removed, doubtful, stage, who, note = row
    plant = find_plant(logbook, code)
    when = moment_of_cell(CLOCK, at, "at")
    moment = Moment(when.day, when.instant, who or None)
    entered = LookEntered(
        zones=() if zone == WHOLE else (zone,),
        seconds=float(seconds),
        counts={"removed": int(removed or 0), "doubtful": int(doubtful or 0)},
        stage=stage or None,
        note=note or None,
    )
    checked = check_look(logbook, plant, moment.day, entered)
    with logbook.file.writing():
        round_id = round_of_entries(logbook, moment, "imported")
        write_look(logbook, moment, plant, checked, round_id)


@settings(deadline=None, max_examples=25)
@given(rows=st.lists(st.sampled_from(ROWS), min_size=1, max_size=20))
def test_a_file_writes_what_its_rows_would_one_by_one(
    porch: Path, tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[str, ...]]
) -> None:
    folder = tmp_path_factory.mktemp("both")
    for name in ("file", "hand"):
        shutil.copy(porch, folder / name)
    with Logbook(folder / "file", CLOCK) as logbook:
        assert bring(logbook, written(folder, rows)) == len(rows)
        of_file = held(logbook)
    with Logbook(folder / "hand", CLOCK) as logbook:
        for row in rows:
            enter(logbook, row)
        assert of_file == held(logbook)


@settings(deadline=None, max_examples=25)
@given(
    before=st.lists(st.sampled_from(ROWS[::7]), min_size=1, max_size=20),
    rows=st.lists(st.sampled_from(ROWS[::7]), min_size=1, max_size=20),
)
def test_rows_are_known_as_often_as_they_are_held_wherever_they_stand(
    porch: Path,
    tmp_path_factory: pytest.TempPathFactory,
    before: list[tuple[str, ...]],
    rows: list[tuple[str, ...]],
) -> None:
    folder = tmp_path_factory.mktemp("known")
    new = Counter(rows) - Counter(before)
    for name in ("file", "hand"):
        shutil.copy(porch, folder / name)
    with Logbook(folder / "file", CLOCK) as logbook:
        bring(logbook, written(folder, before))
        assert bring(logbook, written(folder, rows)) == new.total()
        assert bring(logbook, written(folder, rows)) == 0
        of_file = contents(logbook)
    with Logbook(folder / "hand", CLOCK) as logbook:
        for row in (Counter(before) | Counter(rows)).elements():
            enter(logbook, row)
        assert of_file == contents(logbook)


def contents(logbook: Logbook) -> Counter[tuple[Any, ...]]:
    """The looks, without the ids."""
    with logbook.file.reading() as connection:
        return Counter(
            connection.execute(
                "SELECT look.day, look.plant_id, zone_id, look.began_at, milliseconds, who, text, "
                "(SELECT group_concat(kind || stage || count) FROM tally WHERE look_id = look.id) "
                "FROM look JOIN round ON round.id = round_id "
                "LEFT JOIN entry_note ON entry_id = look.id"
            )
        )


def test_an_error_in_the_last_line_leaves_nothing(opened: Logbook, tmp_path: Path) -> None:
    file = many(tmp_path, 50)
    file.write_text(file.read_text() + "S03,axlis,2026-05-01,9,,\n")
    before = held(opened)
    with reading(opened, file) as read, pytest.raises(InFile) as fault:
        read.write()
    assert [(place.line, place.column) for place in fault.value.places] == [(52, "zone")]
    assert held(opened) == before
    with opened.file.reading() as connection:
        assert connection.execute("SELECT * FROM temp.sqlite_schema").fetchall() == []


def test_others_may_write_until_the_whole_file_is_checked(opened: Logbook, tmp_path: Path) -> None:
    file = written(tmp_path, ROWS[:8])
    with Logbook(opened.file.path, CLOCK) as other, reading(opened, file) as read:
        enter_look(other, local_noon(BEFORE), "S03", LookEntered(("axils",), 30))
        assert read.write() == 8
    with opened.file.reading() as connection:
        assert connection.execute("SELECT count(*) FROM look").fetchone() == (9,)


def test_rows_that_another_program_wrote_meanwhile_are_known(
    opened: Logbook, tmp_path: Path
) -> None:
    file = written(tmp_path, ROWS[:8])
    bring(opened, written(tmp_path, ROWS[:2]))
    file = written(tmp_path, ROWS[:8])
    with Logbook(opened.file.path, CLOCK) as other, reading(opened, file) as read:
        for row in ROWS[4:6]:
            enter(other, row)
        assert read.write() == 4
    assert bring(opened, file) == 0


def test_a_plant_that_went_while_the_file_was_read_is_a_fault(
    opened: Logbook, tmp_path: Path
) -> None:
    file = written(tmp_path, [("S03", "axils", "2026-05-03", "9")], COLUMNS[:4])
    with Logbook(opened.file.path, CLOCK) as other, reading(opened, file) as read:
        plant_gone(other, local_noon(date(2026, 5, 2)), "S03", "died", None)
        with pytest.raises(InFile) as fault:
            read.write()
    assert fault.value.code == "plant-gone"


def test_rows_are_checked_by_what_was_said_of_the_plant_by_their_day(
    opened: Logbook, tmp_path: Path
) -> None:
    other_form = PlantDetails(form="bulb")
    add_plant(opened, local_noon(date(2026, 3, 1)), "S03", other_form, change=True)
    days = ("2026-02-01", "2026-03-01")
    rows = [(code, "sheaths", day, "9") for day in days for code in ("S03", "G02")]
    for order in (rows, rows[::-1]):
        with (
            reading(opened, written(tmp_path, order, COLUMNS[:4])) as read,
            pytest.raises(InFile) as fault,
        ):
            read.write()
        line = order.index(("S03", "sheaths", "2026-03-01", "9")) + 2
        assert [(place.line, place.column) for place in fault.value.places] == [(line, "zone")]


@pytest.mark.parametrize(("few", "known"), [(20_000, False), (5_000, True)])
def test_memory_does_not_grow_with_the_file(
    porch: Path, tmp_path: Path, few: int, known: bool
) -> None:
    def most_bytes(rows: int) -> int:
        file = many(tmp_path, rows)
        copy = Path(shutil.copy(porch, tmp_path / f"{rows}.db"))
        with Logbook(copy, CLOCK) as logbook:
            if known:
                bring(logbook, file)
            tracemalloc.start()
            try:
                assert bring(logbook, file) == (0 if known else rows)
                return tracemalloc.get_traced_memory()[1]
            finally:
                tracemalloc.stop()

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(waiting, "LOOKS_AT_A_TIME", 1000)
        growth = most_bytes(4 * few) - most_bytes(few)
    # 15,000 rows kept in a list would take two million at the least
    assert growth < 500_000


def test_each_row_takes_the_same_number_of_statements(porch: Path, tmp_path: Path) -> None:
    def statements(rows: int) -> int:
        asked: list[str] = []
        copy = Path(shutil.copy(porch, tmp_path / f"{rows}.db"))
        with Logbook(copy, CLOCK) as logbook, logbook.file.reading() as connection:
            file = many(tmp_path, rows)
            connection.set_trace_callback(asked.append)
            bring(logbook, file)
            connection.set_trace_callback(None)
        # a trigger is told of as the statement that set it off, once more
        return sum(1 for _ in groupby(asked))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(waiting, "LOOKS_AT_A_TIME", 1000)
        one, two, three = (statements(rows) for rows in (5_000, 10_000, 15_000))
    assert two - one == three - two
    # one look, and now and then a count and a note; a batch is begun, filled and kept
    assert (two - one) / 5_000 < 1.2


def test_a_row_that_is_not_utf8_is_told_by_its_line_with_those_above(
    opened: Logbook, tmp_path: Path
) -> None:
    file = tmp_path / "latin.csv"
    good = "S03,axils,2026-05-01,9\r\n"
    text = "\ufeff" + HEAD + "S03,axlis,2026-05-01,9\r\n" + good * 3000
    file.write_bytes(text.encode() + "S03,axils,2026-05-01,é\r\n".encode("latin-1"))
    with pytest.raises(InFile) as fault, reading(opened, file):
        pass
    assert [place.line for place in fault.value.places] == [2, 3003]
    assert fault.value.code == "unknown-zone"


def test_the_digest_of_a_file_is_that_of_its_rows(opened: Logbook, tmp_path: Path) -> None:
    """Kept under the keys of calls by earlier versions, it has to stay what it was."""
    rows = [
        "CsvRow(line=2, cells={'plant': 'S03', 'zone': 'axils', 'at': '2026-05-01', "
        "'seconds': '9'})",
        "CsvRow(line=4, cells={'plant': 'S03', 'zone': 'axils', 'at': '2026-05-01', "
        "'seconds': '9'})",
    ]
    file = tmp_path / "looks.csv"
    for text, told in (
        ("S03, axils ,2026-05-01,9\n", f"({rows[0]},)"),
        ("S03,axils,2026-05-01,9\n\nS03,axils,2026-05-01,9\n", f"({rows[0]}, {rows[1]})"),
    ):
        file.write_text(HEAD + text)
        with reading(opened, file, digest=True) as read:
            assert read.digest == hashlib.sha256(told.encode()).hexdigest()


def test_what_is_kept_under_the_key_of_a_row_stays_what_it_was(
    opened: Logbook, tmp_path: Path
) -> None:
    columns = (*COLUMNS, "key")
    single = ("S03", "axils", "2026-05-01 12:00:30", "9.5", "2", "1", "adult", "Ada", "n", "k1")
    together = ("G02", WHOLE, "2026-05-01", "90", "", "", "", "", "", "k2")
    assert bring(opened, written(tmp_path, [single, together], columns)) == 2
    asked, answer = desk.answer_to(opened.file, "k1") or ("", "")
    look = {
        "plant_id": find_plant(opened, "S03").id,
        "zone": "axils",
        "day": "2026-05-01",
        "at_seconds": moment_of_cell(CLOCK, single[2], "at").seconds,
        "looked_ms": 9500,
        "counts": [["doubtful", "adult", "mealybug", 1], ["removed", "adult", "mealybug", 2]],
        "unpotted": False,
        "outcome": "looked",
        "who": "Ada",
        "note": "n",
    }
    text = json.dumps({"command": "import", "look": look}, sort_keys=True, ensure_ascii=False)
    assert asked == hashlib.sha256(text.encode()).hexdigest()
    with opened.file.reading() as connection:
        looks = connection.execute("SELECT id, plant_id FROM look ORDER BY id").fetchall()
        tallies = connection.execute("SELECT id FROM tally ORDER BY id").fetchall()
    names = [f"look-20260501-{plant}-{look_id}" for look_id, plant in looks]
    assert json.loads(answer) == {
        "look_ids": names[:1],
        "tally_ids": [f"tally-20260501-{looks[0][1]}-{tally}" for (tally,) in tallies],
        "found": 2,
    }
    assert json.loads((desk.answer_to(opened.file, "k2") or ("", ""))[1])["look_ids"] == names[1:]


def test_a_key_used_for_two_looks_of_one_file_is_a_fault_of_the_lower(
    opened: Logbook, tmp_path: Path
) -> None:
    rows = [("S03", "axils", "2026-05-01", seconds, "k1") for seconds in ("9", "8", "9")]
    with (
        reading(opened, written(tmp_path, rows, (*COLUMNS[:4], "key"))) as read,
        pytest.raises(InFile) as fault,
    ):
        read.write()
    assert [(place.line, place.column) for place in fault.value.places] == [(3, "key")]
    assert fault.value.code == "key-reused"

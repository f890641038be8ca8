"""`import` of a season of looks: against an executemany of the rows it wrote, and in memory."""

import random
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.exchange import read_file
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon, now
from tests.bench.process import CHECKOUT, NotMeasured, environment, in_turns
from tests.bench.season import COUNTED, PLANTS, PLANTS_A_ROUND, ZONES
from tests.bench.table import Row, ratio_of_medians

REPEATS = 3
SEED = 20260504
FIRST_DAY = datetime(2014, 1, 1, 8)
CLOCK = SetClock(datetime(2034, 1, 1, 12, tzinfo=UTC))
FEW = 10
"""The memory is compared with that of a file of one row in so many."""

TABLES = ("zone", "pest", "round", "look", "tally")
"""What a row may become, in the order in which one needs the other."""

PEAK = """
import sys
from rounds.cli.main import main
status = main(["import", sys.argv[1]])
print(*(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")))
sys.exit(status)
"""


def measure(looks: int, repeats: int) -> list[Row]:
    """The time of an import of so many looks, and the most memory that one took."""
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        whole, part = (_write(Path(folder), n) for n in (looks, max(1, looks // FEW)))
        ours, against = in_turns(
            repeats, lambda: _import(Path(folder), whole), lambda: _insert(Path(folder))
        )
        most, most_of_part = [_peak(Path(folder), whole)], [_peak(Path(folder), part)]
    return [
        Row("import", "ms", ours, against, ratio_of_medians(ours, against), 3.0),
        Row("import-peak", "MB", most, most_of_part, ratio_of_medians(most, most_of_part), 1.2),
    ]


def _write(folder: Path, looks: int) -> Path:
    """A file of looks as another program would export them."""
    file = folder / f"looks-{looks}.csv"
    with file.open("w", encoding="utf-8") as out:
        out.write("plant,zone,at,seconds,removed,stage,who,note\n")
        rows = _rows(random.Random(SEED))
        out.writelines(next(rows) for _ in range(looks))
    return file


def _rows(chance: random.Random) -> Iterator[str]:
    """Every day some plants, in walking order."""
    day = FIRST_DAY
    while True:
        at = day
        for plant in chance.sample(range(PLANTS), PLANTS_A_ROUND):
            for zone in ZONES:
                seconds = chance.lognormvariate(2.9, 0.6)
                counted = "1,adult" if chance.random() < COUNTED else ","
                yield f"G{plant:03},{zone},{at:%Y-%m-%d %H:%M:%S},{seconds:.1f},{counted},,\n"
                at += timedelta(seconds=seconds)
        day += timedelta(days=1)


def _logbook(path: Path) -> Logbook:
    """The one that lies there, or a new one with the plants of the files."""
    logbook = Logbook(path, CLOCK)
    if logbook.collection().plants:
        return logbook
    moment = local_noon(date(2013, 1, 1))
    with logbook.file.writing():
        put_place(logbook, moment, "shelf", PlaceDetails())
        for number in range(PLANTS):
            about = PlantDetails(name=f"Plant {number}", place="shelf", already_here=True)
            add_plant(logbook, moment, f"G{number:03}", about)
    return logbook


def _import(folder: Path, file: Path) -> float:
    (folder / "imported.db").unlink(missing_ok=True)
    with _logbook(folder / "imported.db") as logbook:
        started = time.perf_counter()
        with read_file(logbook, now(CLOCK), str(file)) as read:
            read.write()
        return (time.perf_counter() - started) * 1000


def _insert(folder: Path) -> float:
    """The rows that were imported, put into the same tables of another logbook."""
    with _logbook(folder / "imported.db") as imported:
        rows = {table: _all(imported, table) for table in TABLES}
    (folder / "inserted.db").unlink(missing_ok=True)
    with _logbook(folder / "inserted.db") as inserted:
        started = time.perf_counter()
        with inserted.file.writing() as connection:
            for table, (columns, values) in rows.items():
                marks = ",".join("?" * len(columns))
                connection.executemany(
                    f"INSERT INTO {table} ({','.join(columns)}) VALUES ({marks})", values
                )
        return (time.perf_counter() - started) * 1000


def _all(logbook: Logbook, table: str) -> tuple[list[str], list[tuple[object, ...]]]:
    """The columns of a table that are stored, and its rows as the file has them."""
    with logbook.file.reading() as connection:
        columns = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
        rows = connection.execute(f"SELECT {','.join(columns)} FROM {table} ORDER BY id")
        return columns, rows.fetchall()


def _peak(folder: Path, file: Path) -> float:
    """The most memory of a process that imports a file into a logbook of its own, MB."""
    logbook = folder / f"{file.stem}.db"
    _logbook(logbook).close()
    done = subprocess.run(
        [sys.executable, "-c", PEAK, str(file)],
        cwd=CHECKOUT,
        env=environment(logbook),
        capture_output=True,
        check=False,
    )
    if done.returncode:
        raise NotMeasured(done.stderr.decode(errors="replace")[-400:])
    return int(done.stdout.split()[-1]) / 1024

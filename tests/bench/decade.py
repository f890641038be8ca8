"""What no grower has: ten years of a thousand plants, every zone daily; and ten thousand plants.

Taken only where it is named: the larger file has 29 million looks and 2.3 GB. Each morning is
worked out once before anything is timed, and that first time is told by itself; of ten years it
is the first time that any of it is read, which is kept and never done again.
"""

import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from rounds.clock import Clock
from rounds.service.demo import make_demo
from tests.bench.decade_file import Span, write_span
from tests.bench.first_paint import paints
from tests.bench.process import in_turns
from tests.bench.table import Row, ratio_of_medians
from tests.bench.years import memory, timed

REPEATS = 3
TODAY, RANK, PLANT = ("today", "--json"), ("rank", "--json"), ("plant", "W00007", "--json")

TEN_YEARS = Span("ten-years", plants=1000, days=3652)
A_TENTH = Span("ten-years-100", plants=100, days=3652)
"""What can be measured whole within minutes: a tenth of the plants, all of the years."""

MANY = Span("many", plants=10_000, days=42, every=7, apart=20)


def measure(repeats: int, spans: tuple[Span, ...] = (TEN_YEARS, MANY)) -> list[Row]:
    """Each beside the demo, beside the least program, and beside what SQLite alone takes."""
    rows: list[Row] = []
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        demo = make_demo(Path(folder) / "demo.db", Clock()).path
        for span in spans:
            path = Path(folder) / f"{span.name}.db"
            write_span(path, span, Clock())
            rows += _of_span(span, path, demo, repeats)
            path.unlink()
    return rows


def _of_span(span: Span, path: Path, demo: Path, repeats: int) -> Iterator[Row]:
    ours, least = in_turns(repeats, *paints(path, demo))
    yield Row(f"{span.name}-paint", "ms", ours, least, ratio_of_medians(ours, least), 1.15)
    started = time.perf_counter()
    most = memory(TODAY, path)
    first = (time.perf_counter() - started) * 1000
    yield Row(f"{span.name}-first", "ms", [first], [], first, None)
    yield Row(f"{span.name}-first-memory", "MB", [most], [], most, None)
    for asked, against in ((TODAY, TODAY), (RANK, RANK), (PLANT, ("plant", "S03", "--json"))):
        name = f"{span.name}-{asked[0]}"
        ours, theirs = in_turns(repeats, timed(asked, path), timed(against, demo))
        yield Row(name, "ms", ours, theirs, ratio_of_medians(ours, theirs), None)
        later = memory(asked, path)
        yield Row(f"{name}-memory", "MB", [later], [], later, None)
    for name, bare in (("check", _quick_check(path)), ("backup", _copied(path))):
        ours, alone = in_turns(1, timed((name, "--json"), path), bare)
        yield Row(f"{span.name}-{name}", "ms", ours, alone, ratio_of_medians(ours, alone), None)
    backups = path.with_name("backups")
    for copy in backups.iterdir():
        copy.unlink()


def _quick_check(path: Path) -> Callable[[], float]:
    def run() -> float:
        started = time.perf_counter()
        with closing(sqlite3.connect(path)) as file:
            file.execute("PRAGMA quick_check").fetchall()
        return (time.perf_counter() - started) * 1000

    return run


def _copied(path: Path) -> Callable[[], float]:
    """A copy by SQLite that nobody reads back."""

    def run() -> float:
        target = path.with_name("bare.db")
        started = time.perf_counter()
        with closing(sqlite3.connect(path)) as file, closing(sqlite3.connect(target)) as copy:
            file.backup(copy)
        taken = (time.perf_counter() - started) * 1000
        target.unlink()
        return taken

    return run

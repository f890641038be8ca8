"""Bytes on disk for each look: looks, counts and corrections, as the store itself writes them."""

from pathlib import Path
from tempfile import TemporaryDirectory

from rounds.store.connect import LogbookFile
from tests.bench.season import add_looks, add_plants
from tests.bench.table import Row

LOOKS = 200_000
SEED = 20260504


def measure(looks: int) -> list[Row]:
    """The growth of the file; without the plans of the rounds, then with them, which have no goal.

    The same each time, on every machine: once is enough.
    """
    log = _growth(looks, with_plan=False)
    whole = _growth(looks, with_plan=True)
    return [
        Row("bytes", "B", (log,), (), log, 45.0),
        Row("bytes-with-plan", "B", (whole,), (), whole, None),
    ]


def _growth(looks: int, *, with_plan: bool) -> float:
    """Bytes for each look."""
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        path = Path(folder) / "season.db"
        file = LogbookFile(path)
        add_plants(file)
        before = _closed_size(file)
        file = LogbookFile(path)
        add_looks(file, looks, SEED, with_plan=with_plan)
        return (_closed_size(file) - before) / looks


def _closed_size(file: LogbookFile) -> int:
    """The last to close a file also empties its write-ahead log into it."""
    file.close()
    return file.path.stat().st_size

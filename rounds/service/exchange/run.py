"""Read a file of any kind into the logbook: the whole file or nothing.

A file is read and checked before the logbook is locked for it, as that may take longer than
another program waits; what is new in it is then written in one transaction.
"""

import hashlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager

from rounds.errors import BadInput, Place, RoundsError
from rounds.service.exchange.csv_arrivals import ArrivalsOfFile
from rounds.service.exchange.csv_courses import CoursesOfFile
from rounds.service.exchange.csv_file import CsvFile, Record, open_csv
from rounds.service.exchange.csv_looks import LooksOfFile
from rounds.service.exchange.csv_plants import PlantsOfFile
from rounds.service.exchange.csv_weather import WeatherOfFile
from rounds.service.exchange.rows import RowsOfFile
from rounds.service.exchange.trouble import InFile, Troubles
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment

_KINDS: Mapping[str, Callable[[Logbook, Moment, CsvFile], RowsOfFile]] = {
    "looks": LooksOfFile,
    "plants": PlantsOfFile,
    "weather": WeatherOfFile,
    "arrivals": ArrivalsOfFile,
    "courses": CoursesOfFile,
}


@contextmanager
def read_file(
    logbook: Logbook, moment: Moment, name: str, *, digest: bool = False
) -> Iterator["FileRead"]:
    """A file whose rows were read and checked; nothing is written yet.

    Args:
        logbook: what its rows are checked against.
        moment: when it is read, and who reads it.
        name: where it lies.
        digest: whether the digest of its rows is wanted.

    Raises:
        BadInput: it cannot be read, is not CSV in UTF-8, holds no row, or its columns are none
            of ours.
    """
    read = FileRead(logbook, moment, name, digest=digest)
    try:
        read.read()
        yield read
    finally:
        read.close()


class FileRead:
    """The rows of a file, and what is wrong with them."""

    kind: str
    rows: int
    digest: str | None = None
    """of all cells, where it is wanted"""

    def __init__(self, logbook: Logbook, moment: Moment, name: str, *, digest: bool) -> None:
        self._logbook = logbook
        self._moment = moment
        self._name = name
        self._wants_digest = digest
        self._taken: RowsOfFile | None = None

    def write(self) -> int:
        """Write what the logbook does not hold yet; how many rows.

        Raises:
            InFile: something in the file is wrong; nothing was written.
        """
        with self._logbook.file.writing():
            if self._logbook.collection() != self._collection:
                # another program changed plants or places meanwhile; now it has to wait
                self.read()
            self._troubles.raise_any()
            return self._taken.write(self._troubles) if self._taken else 0

    def read(self) -> None:
        """Take the rows, each checked against the plants and places there are now."""
        self.close()
        with open_csv(self._name) as file:
            self.kind = file.kind
            self._collection = self._logbook.collection()
            self._taken = _KINDS[file.kind](self._logbook, self._moment, file)
            self._troubles = Troubles(self._name, self._taken.columns)
            try:
                self._take_rows(file, self._taken)
            except InFile as broken:
                raise self._troubles.and_then(broken) from None
            if self._troubles.none:
                self._taken.all_taken()

    def close(self) -> None:
        """Let go of the rows."""
        if self._taken is not None:
            self._taken.close()
            self._taken = None

    def _take_rows(self, file: CsvFile, taken: RowsOfFile) -> None:
        digest = _RowsDigest(file) if self._wants_digest else None
        rows = 0
        enough = False
        for rows, record in enumerate(file.records, 1):  # noqa: B007 (their number)
            if digest is not None:
                digest.add(record)
            elif enough:
                break
            try:
                if not enough:
                    taken.take(record)
            except RoundsError as fault:
                self._troubles.add(record[0], fault)
                enough = self._troubles.enough
        self.rows = rows
        if not rows:
            raise BadInput("file-without-rows", file=file.name, places=[Place(file=file.name)])
        self.digest = digest.value if digest else None


class _RowsDigest:
    """The digest of the rows of a file, as far as they were added."""

    def __init__(self, file: CsvFile) -> None:
        self._file = file
        self._rows = 0
        self._sum = hashlib.sha256()

    def add(self, record: Record) -> None:
        """One more row."""
        whole = len(record[1]) == len(self._file.columns)
        row = repr(self._file.row(record) if whole else record)
        self._sum.update(f"{', ' if self._rows else '('}{row}".encode())
        self._rows += 1

    @property
    def value(self) -> str:
        """The digest of all rows as a tuple in text, as keys of earlier versions were made."""
        whole = self._sum.copy()
        whole.update(b",)" if self._rows == 1 else b")")
        return whole.hexdigest()

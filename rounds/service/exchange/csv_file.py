"""A CSV file, read row by row as named cells; its kind is told from its first line."""

import csv
import difflib
import os
import stat
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, NamedTuple, TextIO

from rounds.errors import BadInput
from rounds.errors import Place as Where
from rounds.service.exchange.trouble import InFile, Trouble

NEEDED: Mapping[str, tuple[str, ...]] = {
    "looks": ("plant", "zone", "at", "seconds"),
    "plants": ("code", "name", "place"),
    "weather": ("place", "day", "min_c", "max_c"),
    "arrivals": ("source", "arrived", "units"),
    "courses": ("plant", "course", "at"),
}
"""Columns without which a file is not of that kind."""

ALLOWED: Mapping[str, tuple[str, ...]] = {
    "looks": (
        *NEEDED["looks"], "removed", "killed", "left", "doubtful", "stage", "unpotted",
        "outcome", "who", "note", "pest", "key",
    ),
    "plants": (
        *NEEDED["plants"], "form", "size", "arrived", "already_here", "botanical_name", "source",
        "spot", "touches", "value", "dislikes", "clear_pot", "insects_seen", "pest", "note",
    ),
    "weather": NEEDED["weather"],
    "arrivals": (
        *NEEDED["arrivals"], "opened", "seconds", "found", "code", "name", "botanical_name",
        "place", "form", "size", "value", "pest", "note", "who",
    ),
    "courses": (
        *NEEDED["courses"], "step", "done", "stopped", "product", "interval_days", "most_uses",
        "reentry_hours", "gear", "kills", "who", "key",
    ),
}  # fmt: skip


class CsvRow(NamedTuple):
    """One row: the line it begins on, and its cells by column, without blanks around them."""

    line: int
    cells: Mapping[str, str]

    def cell(self, column: str) -> str | None:
        """A cell; None where it is empty or the file has no such column."""
        return self.cells.get(column) or None

    def needed(self, column: str) -> str:
        """A cell that has to be filled. BadInput where it is not."""
        text = self.cell(column)
        if text is None:
            raise BadInput("cell-empty", column=column, field=column)
        return text


Record = tuple[int, list[str]]
"""The line a row begins on, and its cells as they stand there, however many there are."""


@dataclass(frozen=True, slots=True)
class CsvFile:
    """An open file whose columns are known; `kind` is one of NEEDED."""

    name: str
    kind: str
    columns: tuple[str, ...]
    records: Iterator[Record]
    """read from the file one by one, once; InFile where it is not CSV in UTF-8"""

    def row(self, record: Record) -> CsvRow:
        """The cells by column. BadInput where there are more or fewer than columns."""
        line, cells = record
        if len(cells) != len(self.columns):
            raise BadInput("row-length", cells=len(cells), columns=len(self.columns))
        stripped = map(str.strip, cells)
        return CsvRow(line, dict(zip(self.columns, stripped, strict=True)))


@contextmanager
def open_csv(name: str) -> Iterator[CsvFile]:
    """A file, its first line read.

    Raises:
        BadInput: it cannot be read, or its columns are none of ours.
    """
    try:
        mode = os.stat(name).st_mode
        if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
            # reading it may never end
            raise BadInput("file-without-end", file=name, places=[Where(file=name)])
        text = open(name, encoding="utf-8-sig", newline="")  # noqa: SIM115 (closed below)
    except OSError as fault:
        raise _unreadable(name, fault) from None
    with text:
        records = _records(name, text)
        first = next(records, None)
        if first is None:
            raise BadInput("file-empty", file=name, places=[Where(file=name)])
        columns = tuple(column.strip().casefold() for column in first[1])
        yield CsvFile(name, _kind(name, columns), columns, records)


def _records(name: str, text: TextIO) -> Iterator[Record]:
    """Records that are not empty."""
    reader = csv.reader(text, strict=True)
    line = 1
    try:
        for cells in reader:
            if cells and (cells[0].strip() or any(map(str.strip, cells))):
                yield line, cells
            line = reader.line_num + 1
    except csv.Error as fault:
        broken = BadInput("file-not-csv", reason=str(fault))
        raise InFile(name, [Trouble(line, None, broken)]) from None
    except UnicodeDecodeError as fault:
        # the undecodable chunk begins after the lines read so far
        line = reader.line_num + fault.object.count(b"\n", 0, fault.start) + 1
        raise InFile(name, [Trouble(line, None, BadInput("file-not-utf8"))]) from None
    except OSError as fault:
        raise _unreadable(name, fault) from None


def _unreadable(name: str, fault: OSError) -> BadInput:
    reason = fault.strerror or str(fault)
    return BadInput("file-unreadable", file=name, reason=reason, places=[Where(file=name)])


def _kind(name: str, header: Sequence[str]) -> str:
    """The kind whose columns these are, or nearly are. BadInput for what does not belong."""
    given = set(header)
    kind = max(ALLOWED, key=lambda k: (len(given & set(NEEDED[k])), len(given & set(ALLOWED[k]))))
    if not given & set(NEEDED[kind]):
        needed: dict[str, Any] = {kind: ", ".join(columns) for kind, columns in NEEDED.items()}
        fault = BadInput("file-kind-unknown", given=", ".join(header), **needed)
        raise InFile(name, [Trouble(1, None, fault)])
    troubles = [Trouble(1, column, fault) for column, fault in _wrong_columns(kind, header)]
    if troubles:
        raise InFile(name, troubles)
    return kind


def _wrong_columns(kind: str, header: Sequence[str]) -> Iterator[tuple[str, BadInput]]:
    for column in header:
        if column not in ALLOWED[kind]:
            nearest = difflib.get_close_matches(column, ALLOWED[kind], n=1, cutoff=0.0)[0]
            yield column, BadInput("unknown-column", kind=kind, given=column, nearest=nearest)
    for column in dict.fromkeys(header):
        if header.count(column) > 1:
            yield column, BadInput("column-twice", given=column)
    for column in NEEDED[kind]:
        if column not in header:
            yield column, BadInput("column-missing", kind=kind, given=column)

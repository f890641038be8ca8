"""A CSV file as rows of named cells, its kind told from its first line."""

import csv
import difflib
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rounds.errors import BadInput
from rounds.errors import Place as Where
from rounds.service.exchange.trouble import InFile, Trouble, Troubles

NEEDED: Mapping[str, tuple[str, ...]] = {
    "looks": ("plant", "zone", "at", "seconds"),
    "plants": ("code", "name", "place"),
    "weather": ("place", "day", "min_c", "max_c"),
}
"""Columns without which a file is not of that kind."""

ALLOWED: Mapping[str, tuple[str, ...]] = {
    "looks": (
        *NEEDED["looks"], "removed", "killed", "left", "doubtful", "stage", "unpotted",
        "outcome", "who", "note", "pest", "key",
    ),
    "plants": (
        *NEEDED["plants"], "form", "size", "arrived", "already_here", "botanical_name", "source",
        "spot", "touches", "value", "dislikes", "clear_pot", "pest", "note",
    ),
    "weather": NEEDED["weather"],
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class CsvRow:
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


@dataclass(frozen=True, slots=True)
class CsvFile:
    """A file whose columns are known; `kind` is one of looks, plants, weather."""

    name: str
    kind: str
    rows: tuple[CsvRow, ...]


def read_csv(name: str) -> CsvFile:
    """The rows of a file.

    Raises:
        BadInput: it cannot be read, is not CSV in UTF-8, holds no row, or its columns are none
            of ours.
    """
    lines = _records(name, _text(name))
    first = next(lines, None)
    if first is None:
        raise BadInput("file-empty", file=name, places=[Where(file=name)])
    header = [column.strip().casefold() for column in first[1]]
    kind = _kind(name, header)
    rows = _rows(name, header, lines)
    if not rows:
        raise BadInput("file-without-rows", file=name, places=[Where(file=name)])
    return CsvFile(name, kind, rows)


def _text(name: str) -> str:
    try:
        content = Path(name).read_bytes()
    except OSError as fault:
        reason = fault.strerror or str(fault)
        where = [Where(file=name)]
        raise BadInput("file-unreadable", file=name, reason=reason, places=where) from None
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = content.count(b"\n", 0, fault.start) + 1
        raise InFile(name, [Trouble(line, None, BadInput("file-not-utf8"))]) from None


def _records(name: str, text: str) -> Iterator[tuple[int, list[str]]]:
    """Records that are not empty, each with the line it begins on."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    line = 1
    while True:
        try:
            cells = next(reader, None)
        except csv.Error as fault:
            broken = BadInput("file-not-csv", reason=str(fault))
            raise InFile(name, [Trouble(line, None, broken)]) from None
        if cells is None:
            return
        if any(cell.strip() for cell in cells):
            yield line, cells
        line = reader.line_num + 1


def _rows(
    name: str, header: Sequence[str], lines: Iterator[tuple[int, list[str]]]
) -> tuple[CsvRow, ...]:
    troubles = Troubles(name)
    rows = []
    for line, cells in lines:
        with troubles.of_line(line):
            if len(cells) != len(header):
                raise BadInput("row-length", cells=len(cells), columns=len(header))
            stripped = (cell.strip() for cell in cells)
            rows.append(CsvRow(line, dict(zip(header, stripped, strict=True))))
        if troubles.enough:
            break
    troubles.raise_any()
    return tuple(rows)


def _kind(name: str, header: Sequence[str]) -> str:
    """The kind whose columns these are, or nearly are. BadInput for what does not belong."""
    given = set(header)
    kind = max(ALLOWED, key=lambda k: (len(given & set(NEEDED[k])), len(given & set(ALLOWED[k]))))
    if not given & set(NEEDED[kind]):
        fault = BadInput(
            "file-kind-unknown",
            given=", ".join(header),
            looks=", ".join(NEEDED["looks"]),
            plants=", ".join(NEEDED["plants"]),
            weather=", ".join(NEEDED["weather"]),
        )
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

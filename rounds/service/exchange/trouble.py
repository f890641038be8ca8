"""What is wrong in a file, by line and column."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from rounds import words
from rounds.errors import BadInput, Place, RoundsError

MOST = 20
"""Most troubles told at once."""

LOOK_COLUMNS: Mapping[str, str] = {"code": "plant"}
"""The columns of a file of looks that are not called as the field of the model is."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing wrong; `column` is None where it is the whole line."""

    line: int
    column: str | None
    fault: RoundsError


class InFile(BadInput):
    """The first of what is wrong in a file, in its own words; the places name them all."""

    def __init__(self, file: str, troubles: Sequence[Trouble]) -> None:
        self.troubles = tuple(troubles)
        first = troubles[0]
        super().__init__(
            first.fault.code,
            places=[Place(file=file, line=t.line, column=t.column) for t in troubles[:MOST]],
            **first.fault.values,
        )
        self._file = file
        self._first = first

    @property
    def message(self) -> str:
        """Where the first trouble is, and what it is."""
        return words.say(
            "errors.in-file.message" if self._first.column else "errors.in-file-line.message",
            file=self._file,
            line=self._first.line,
            column=self._first.column,
            message=self._first.fault.message,
        )

    @property
    def what_to_do(self) -> str:
        """What to do about it, and that nothing was written."""
        return words.say("errors.in-file.what_to_do", what_to_do=self._first.fault.what_to_do)


class Troubles:
    """Collects what is wrong, row by row; `columns` are those not called as their field is."""

    def __init__(self, file: str, columns: Mapping[str, str]) -> None:
        self._file = file
        self._columns = columns
        self._found: list[Trouble] = []

    @property
    def none(self) -> bool:
        """Whether there are none so far."""
        return not self._found

    @property
    def enough(self) -> bool:
        """Whether there are as many as are told at once."""
        return len(self._found) >= MOST

    @contextmanager
    def of_line(self, line: int) -> Iterator[None]:
        """Collect faults raised within the block as faults of a line, named by their column."""
        try:
            yield
        except RoundsError as fault:
            self.add(line, fault)

    def add(self, line: int, fault: RoundsError) -> None:
        """A fault of that line; one that is none of the file's is raised again."""
        if fault.exit_status not in (2, 3):
            raise fault
        if fault.field is not None:
            fault.argument = self._columns.get(fault.field, fault.field)
        self._found.append(Trouble(line, fault.argument, fault))

    def and_then(self, broken: InFile) -> InFile:
        """These, followed by the fault that stopped the reading of the file."""
        return InFile(self._file, [*self._found, *broken.troubles])

    def raise_any(self) -> None:
        """InFile, if there are any."""
        if self._found:
            raise InFile(self._file, self._found)

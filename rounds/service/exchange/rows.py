"""What each kind of file does with its rows."""

from abc import abstractmethod
from collections.abc import Mapping
from typing import ClassVar, Protocol

from rounds.service.exchange.csv_file import Record
from rounds.service.exchange.trouble import Troubles


class RowsOfFile(Protocol):
    """The rows of one file, taken one by one and written together."""

    columns: ClassVar[Mapping[str, str]] = {}
    """those that are not called as the field of the model is"""

    @abstractmethod
    def take(self, record: Record) -> None:
        """Keep a row. BadInput or Refused where it is known by now that it cannot be written."""

    def all_taken(self) -> None:
        """Do what can be done before the logbook is locked; there was no fault so far."""

    @abstractmethod
    def write(self, troubles: Troubles) -> int:
        """Write what is not held yet, inside a transaction; how many rows. InFile for faults."""

    def close(self) -> None:
        """Let go of the rows."""

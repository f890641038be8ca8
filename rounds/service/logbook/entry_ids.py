"""How an entry is named to the outside: its kind, its day and its plant lead to its row."""

from dataclasses import dataclass
from datetime import date

from rounds.errors import BadInput

SAID_OF_A_PLANT = ("apart", "ended", "gone", "repotted", "divided")
"""Kinds of entries of a plant's record: put apart, quarantine ended, gone, repotted, divided."""

OF_COURSES = ("course", "step", "done", "stopped")
"""A course of treatment, a step of it, that a step was done, that the course was stopped."""

ARRIVAL = "arrival"
"""Kind of the name of a delivery, by its first plant."""

KINDS = (
    "look", "tally", "sign", "move", "weather", "away", "value", "cleaned", ARRIVAL,
    *SAID_OF_A_PLANT, *OF_COURSES,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class EntryName:
    """`owner_id` is the plant, the place for weather and cleaned, 0 for away and value."""

    kind: str
    day: date
    owner_id: int
    entry_id: int

    def __str__(self) -> str:
        return f"{self.kind}-{self.day:%Y%m%d}-{self.owner_id}-{self.entry_id}"


def read_entry_name(text: str) -> EntryName:
    """The parts of an entry's name. BadInput where it is none."""
    parts = text.strip().split("-")
    try:
        kind, day, owner, entry = parts
        if kind not in KINDS:
            raise ValueError(kind)
        return EntryName(kind, date.fromisoformat(day), int(owner), int(entry))
    except ValueError:
        raise BadInput("unknown-entry", given=text, field="entry") from None

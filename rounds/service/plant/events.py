"""What happened to one plant: the one model that commands print and screens tell of."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from rounds.core.log.courses import CourseBegun, StepPlanned
from rounds.core.log.entries import LIVE_KINDS
from rounds.service.entries.walked import PutOff, put_off_by
from rounds.service.logbook.entry_ids import EntryName

State = Literal["stands", "open", "taken-back", "corrected", "reopened"]
"""`open`: a look still in progress, which its round corrects."""

GONE = "gone"
FACT = "fact"
"""What the entry of a fact is called; it cannot be taken back by that name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something that was entered about a plant, whether it stands, and why not."""

    name: EntryName
    state: State = "stands"
    at_seconds: float | None = None
    """since 1970, UTC; None where the log keeps no instant"""
    who: str | None = None

    @property
    def id(self) -> str:
        """The name it goes by outside."""
        return str(self.name)

    @property
    def day(self) -> date:
        """The local day it is about."""
        return self.name.day

    @property
    def number(self) -> int:
        """The later it was entered, the greater."""
        return self.name.entry_id

    @property
    def withdrawn(self) -> bool:
        """Taken back, or another stands in its place; of a count or sign also if its look was."""
        return self.state not in ("stands", "open")


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyEntered(Event):
    """One count, with the stage given last."""

    kind: str
    stage: str | None
    pest: str
    is_of_first_pest: bool
    """whether it is the pest that is counted there unless another is named"""
    count: int
    settled_as: str | None
    """of a doubt alone; None while it is open"""

    @property
    def counts_as(self) -> str | None:
        """A doubt that was alive counts as left there; one that was not counts as nothing."""
        if self.withdrawn:
            return None
        if self.kind in LIVE_KINDS or self.settled_as is None:
            return self.kind
        return "left" if self.settled_as == "alive" else None


@dataclass(frozen=True, slots=True, kw_only=True)
class SignMade(Event):
    """Ants, stickiness or soot."""

    sign: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LookMade(Event):
    """One look at one zone, with all counts and signs entered at it, by their number."""

    zone: str
    round_id: int
    seconds: float
    credited_seconds: float
    outcome: str
    reason: str | None
    unpotted: bool
    first_number: int
    """of the look entered first in whose place it stands: its own, mostly"""
    tallies: tuple[TallyEntered, ...]
    signs: tuple[SignMade, ...]

    def counted(self, kind: str) -> int:
        """The number of insects counted of one kind, by counts that stand."""
        if self.withdrawn:
            return 0
        return sum(tally.count for tally in self.tallies if tally.counts_as == kind)

    @property
    def found(self) -> int:
        """Taken off, killed, or left there."""
        return sum(self.counted(kind) for kind in LIVE_KINDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved(Event):
    """It was put somewhere."""

    place: str
    spot: str | None
    is_arrival: bool
    """the first place it was ever put"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended(Event):
    """A quarantine ended, at the end of the day."""

    reason: str | None
    early: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeApart(Event):
    """A quarantine or a watch began; `end` is None while it lasts."""

    kind: str
    because: str
    is_put_apart: bool
    """somebody decided so, and may take it back"""
    end: Ended | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FactSaid(Event):
    """One thing said of the plant from a day on; that it is gone is one of them."""

    what: str
    value: str
    at_entry: bool
    """said first, and on the day the plant was entered; never what was seen on it when it came"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repotted(Event):
    """It was put into fresh medium."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DividedInto(Event):
    """It was divided into so many, itself counted; `parts` are the codes of the new ones."""

    into: int
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DividedFrom(Event):
    """It came of the plant of a code, which was divided into so many."""

    code: str
    into: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseEntered(Event):
    """A course of treatment was begun, a step of it done, or it was stopped."""

    course: CourseBegun
    what: str
    """BEGUN, DONE or STOPPED"""
    step: StepPlanned | None
    """that was done"""


@dataclass(frozen=True, slots=True)
class PlantEvents:
    """What happened to a plant over some days, each kind oldest first."""

    looks: tuple[LookMade, ...]
    moves: tuple[Moved, ...]
    times: tuple[TimeApart, ...]
    facts: tuple[FactSaid, ...]
    """in the order in which they were said"""
    repotted: tuple[Repotted, ...]
    divided: tuple[DividedInto, ...]
    divided_from: DividedFrom | None
    courses: tuple[CourseEntered, ...]

    @property
    def gone(self) -> FactSaid | None:
        """The fact that it left for good, if it did."""
        return next((fact for fact in self.facts if fact.what == GONE), None)

    @property
    def put_off(self) -> tuple[tuple[LookMade, PutOff], ...]:
        """Every time it was put off in a round, with the look that was closed for it."""
        said = ((look, put_off_by(look)) for look in self.looks)
        return tuple((look, put_off) for look, put_off in said if put_off is not None)

    @property
    def quarantines(self) -> tuple[TimeApart, ...]:
        """The times apart that were no watch."""
        return tuple(time for time in self.times if time.kind == "quarantine")

    @property
    def signs(self) -> tuple[tuple[SignMade, LookMade], ...]:
        """Every sign, with the look it was seen at."""
        seen = [(sign, look) for look in self.looks for sign in look.signs]
        return tuple(sorted(seen, key=lambda made: (made[0].day, made[0].number)))

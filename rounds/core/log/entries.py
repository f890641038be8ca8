"""The entries of a logbook, as they were made.

Days are the local day an entry is about. Instants are UTC, in seconds or milliseconds since
1970 as the name says. Nothing here changes after it was written: a correction is a `Withdrawal`.
"""

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

Kind = Literal["removed", "killed", "left", "doubtful"]
Stage = Literal["young", "adult", "eggs", "egg-mass"]
Outcome = Literal["looked", "cannot-see", "partial"]
Verdict = Literal["remains", "not-an-insect", "alive"]

LIVE_KINDS: frozenset[str] = frozenset({"removed", "killed", "left"})
VERDICTS: frozenset[str] = frozenset({"remains", "not-an-insect", "alive"})

NOT_ANSWERED = "not-answered"
"""Reason of a closed look that does not say what became of insects left there before."""


@dataclass(frozen=True, slots=True)
class Look:
    """One look at one zone of one plant, written when it was closed.

    `seconds` is the time elapsed, pauses left out; what of it is credited is derived.
    `reason` says why a zone could not be seen, or how the look was closed.
    """

    id: int
    day: date
    plant_id: int
    zone: str
    round_id: int
    began_at: int
    seconds: float
    outcome: str
    reason: str | None = None
    unpotted: bool = False


@dataclass(frozen=True, slots=True)
class Tally:
    """One press of a counting key, or one count given to a command. `at_ms` in milliseconds."""

    id: int
    day: date
    plant_id: int
    look_id: int
    at_ms: int
    kind: str
    stage: str | None
    pest: str
    count: int


@dataclass(frozen=True, slots=True)
class StageGiven:
    """A stage given to a tally after it was counted; the newest that stands holds."""

    id: int
    day: date
    plant_id: int
    tally_id: int
    at_ms: int
    stage: str


@dataclass(frozen=True, slots=True)
class Sign:
    """What insects leave behind or draw, seen at a look without an insect: it is no find."""

    id: int
    day: date
    plant_id: int
    look_id: int
    at_ms: int
    kind: str


@dataclass(frozen=True, slots=True)
class SecondLook:
    """The look of `id` was made straight after that of `first_id`, at the same zone."""

    id: int
    day: date
    plant_id: int
    first_id: int


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """Takes an entry back, or settles a doubt (`why` is then a `Verdict`).

    `day` is the day of the target, so that a correction belongs to the day it corrects.
    `replaced_by` names the entry that stands in the target's place: the tallies of a look that
    was opened again belong to its replacement. A withdrawal can itself be withdrawn.
    """

    id: int
    day: date
    plant_id: int
    target_id: int
    at_ms: int
    why: str
    replaced_by: int | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class OpenLook:
    """The look in progress: its id is reserved, its row is written when it closes."""

    id: int
    day: date
    plant_id: int
    zone: str
    round_id: int
    began_at: int
    seconds: float
    unpotted: bool = False


@dataclass(frozen=True, slots=True)
class PlantEntries:
    """All looks, counts, signs and corrections of one plant, in any order."""

    looks: tuple[Look, ...] = ()
    tallies: tuple[Tally, ...] = ()
    stages: tuple[StageGiven, ...] = ()
    withdrawals: tuple[Withdrawal, ...] = ()
    open_looks: tuple[OpenLook, ...] = field(default=())
    signs: tuple[Sign, ...] = ()
    second_looks: tuple[SecondLook, ...] = ()

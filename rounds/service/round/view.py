"""What a round shows: frozen, with every sentence ready, so that a screen only lays it out."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from rounds.service.courses.cautions import Mind

Stage = Literal["zone", "hygiene", "end"]


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer to a question: the role of its key, and what it says."""

    role: str
    text: str


@dataclass(frozen=True, slots=True)
class Question:
    """A question that waits. `code` says which one, `about` the entry it is about."""

    code: str
    text: str
    answers: tuple[Answer, ...]
    about: int = 0
    minds: tuple[Mind, ...] = ()
    """cautions with what is asked about, those first that matter most"""

    def takes(self, role: str) -> bool:
        """Whether a key answers it."""
        return any(answer.role == role for answer in self.answers)


@dataclass(frozen=True, slots=True)
class ZoneLine:
    """One zone of the plant, and how it stands today."""

    zone: str
    name: str
    state: str
    is_here: bool


@dataclass(frozen=True, slots=True)
class Counts:
    """What was counted at a zone today."""

    removed: int = 0
    killed: int = 0
    left: int = 0
    doubtful: int = 0


OF_DELIVERY = "of-delivery"
"""In place of a standing: the plant is looked at before it is entered."""


@dataclass(frozen=True, slots=True)
class PlantView:
    """The plant in front of the grower."""

    code: str
    name: str
    form: str
    where: str
    standing: str
    standing_text: str
    why: str
    streak_text: str
    clean_text: str
    """chance clean 92 in 100, once the plant has been looked at as planned"""
    left_text: str
    """about 12 insects left, in the same case; empty where no sum serves"""
    left_brief: str
    """the same in few columns"""
    is_rough: bool
    """they and the risk take finds of this zone together: better ones follow in the next pause"""
    risk_text: str
    live_today: int
    number: int
    zones: tuple[ZoneLine, ...]


@dataclass(frozen=True, slots=True)
class ZoneView:
    """The zone that is being looked at."""

    zone: str
    """empty where some zones, or the whole plant, are looked at in one go"""
    name: str
    advice: str
    advice_narrow: str
    """the same in fewer words"""
    number: int
    of: int
    """zones of the plant, or of those looked at in one go"""
    is_whole_plant: bool
    seconds: float
    planned_seconds: float
    counts: Counts
    pest: str = ""
    """of which they are; empty while it is the plant's first"""


@dataclass(frozen=True, slots=True)
class SummaryLine:
    """A plant that changed in this round. `mark`: found, doubt or nothing."""

    code: str
    name: str
    text: str
    streak_text: str
    then: str
    """what follows from it: apart from today, asked next time"""
    mark: Literal["found", "doubt", "nothing"]
    is_loose: bool = False
    """infested, and still among the others"""


@dataclass(frozen=True, slots=True)
class Summary:
    """How a round came out."""

    found: int
    plants_found: int
    plants_clean: int
    plants_looked_at: int
    plants_checked: int
    """of these, fully checked today"""
    unsure: int
    """specks"""
    rising: str
    """on which plants finds rise beyond chance, in words; empty where on none"""
    changed: tuple[SummaryLine, ...]
    put_off: tuple[str, ...]
    """plants put off to tomorrow, each with the reason"""
    not_looked_at: tuple[str, ...]
    in_one_go: tuple[str, ...]
    """plants gone over whole, as planned: too short to count as seen whole"""
    short: tuple[str, ...]
    """zones left too soon, each with its plant; a plant with all of them once"""
    short_zones: int
    hidden: tuple[str, ...]
    """zones that could not be seen, in the same way"""
    hidden_zones: int


@dataclass(frozen=True, slots=True)
class RoundView:
    """A round after a press."""

    day: date
    stage: Stage
    plants: int
    elapsed_seconds: float
    planned_seconds: float
    plant: PlantView | None
    zone: ZoneView | None
    next_plant: str
    pending: str
    message: str
    question: Question | None
    paused: bool
    clock_stands: bool
    summary: Summary | None
    loose: str
    """between two plants and at the end: code of an infested one that a key quarantines now"""

"""A round as it was planned and walked."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Round:
    """One round. `how`: walked, entered (looks typed in one by one) or imported."""

    id: int
    day: date
    who: str | None
    began_at: int
    ended_at: int | None
    minutes: float | None
    how: str


@dataclass(frozen=True, slots=True)
class Step:
    """One zone of the plan, in walking order. `ended_as` is written when the round ends.

    The steps of a plant with `whole_plant` are walked in one go, until a find opens its zones.
    """

    position: int
    plant_id: int
    zone: str
    planned_seconds: float
    reason: str
    ended_as: str | None = None
    whole_plant: bool = False


@dataclass(frozen=True, slots=True)
class Walker:
    """The program a round is walked in. `token` is its own, `since` in seconds since 1970, UTC."""

    round_id: int
    token: str
    who: str | None
    since: int
    host: str
    process: int

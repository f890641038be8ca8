"""A round as it was planned and walked."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
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

    The steps of a plant with `whole_plant` are walked in one go, until a find opens its zones;
    those of a `group` but 0 are too, beside others of the plant.
    """

    position: int
    plant_id: int
    zone: str
    planned_seconds: float
    reason: str
    ended_as: str | None = None
    whole_plant: bool = False
    group: int = 0

    @property
    def together(self) -> tuple[bool, int] | None:
        """What the steps of its plant share that are walked in one go with it; None alone."""
        return (self.whole_plant, self.group) if self.whole_plant or self.group else None


def in_groups(
    steps: Sequence[Step],
    together: Sequence[Sequence[str]],
    *,
    whole: bool = False,
    first: int = 1,
) -> list[Step]:
    """The steps of one plant with the zones that are walked in one go; in that order.

    Args:
        steps: one for each zone.
        together: the zones, those in one go together.
        whole: all are.
        first: the number of the first group.
    """
    by_zone = {step.zone: step for step in steps}
    return [
        replace(by_zone[zone], whole_plant=whole, group=n if len(zones) > 1 and not whole else 0)
        for n, zones in enumerate(together, first)
        for zone in zones
    ]


@dataclass(frozen=True, slots=True)
class Walker:
    """The program a round is walked in. `token` is its own, `since` in seconds since 1970, UTC."""

    round_id: int
    token: str
    who: str | None
    since: int
    host: str
    process: int

"""What the world may be like; the tool supposes the first of these."""

from dataclasses import dataclass, replace

import numpy as np

from rounds.core.parameters import Parameters
from tests.proof.process import Process, Values
from tests.proof.values import plant_process


@dataclass(frozen=True, slots=True)
class Truth:
    """How a world differs from what the tool supposes."""

    says: str
    detection: float = 1.0
    """times the rate at which a second of looking finds"""
    exchange: float = 1.0
    """times the daily exchange between in reach and tucked away"""
    mean_c: float = 22.0
    delivery: int = 1
    """plants that come together, from one source that is infested or not"""
    away: range = range(0)
    """days nobody looks"""
    make_up: tuple[float, ...] | None = None
    """shares of the stages of a plant infested before it came, from egg to laying adult"""

    def process(self, parameters: Parameters, size: str) -> Process:
        """The life of the insects on a plant of a size."""
        known = plant_process(parameters, size=size)
        return replace(
            known,
            exchange=known.exchange * self.exchange,
            found_in_reach=1 - (1 - known.found_in_reach) ** self.detection,
            found_out_of_pot=1 - (1 - known.found_out_of_pot) ** self.detection,
            make_up=known.make_up if self.make_up is None else self._made_up(parameters),
        )

    def _made_up(self, parameters: Parameters) -> Values:
        stages = parameters.pests[parameters.default_pest].stages
        shares = zip(self.make_up or (), stages, strict=True)
        each = [np.full(stage.sub_stages, share / stage.sub_stages) for share, stage in shares]
        return np.concatenate(each)


TRUTHS = {
    "defaults": Truth("as the tool supposes"),
    "poor-eye": Truth("a second finds half as much", detection=0.5),
    "keen-eye": Truth("a second finds half as much again", detection=1.5),
    "cool": Truth("18 degC", mean_c=18.0),
    "warm": Truth("26 degC", mean_c=26.0),
    "sluggish": Truth("insects come out of hiding half as often", exchange=0.5),
    "deliveries": Truth("five plants come together every 75 days", delivery=5),
    "week-off": Truth("nobody looks on days 50 to 56", away=range(50, 57)),
    "egg-laden": Truth(
        "plants come with eggs and crawlers of few adults",
        make_up=(0.60, 0.20, 0.05, 0.05, 0.05, 0.05),
    ),
}
"""By name."""

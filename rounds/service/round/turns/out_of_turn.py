"""What does not go by the order of the steps, as the closed looks of a round say it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rounds.core.log.effective import EffectiveLook
from rounds.service.entries.walked import END, SET_ASIDE, put_off_by


@dataclass(frozen=True, slots=True)
class OutOfTurn:
    """Looks set aside while another plant is open, and plants that were put off."""

    aside: tuple[tuple[int, str], ...] = ()
    """plants and zones; the last one is gone back to first"""
    to_end: tuple[int, ...] = ()
    """plants put off to the end of the round, in the order in which they come then"""
    to_tomorrow: frozenset[int] = frozenset()
    """plants put off to tomorrow"""


IN_TURN = OutOfTurn()
"""All goes by the order of the steps."""


def out_of_turn(
    looks: Mapping[int, Iterable[EffectiveLook]], planned: Iterable[tuple[int, str]]
) -> OutOfTurn:
    """What stands out of its turn in a round.

    Args:
        looks: the closed looks of the round that stand, by plant.
        planned: plants and zones of its steps; a look moved elsewhere by a correction is passed
            over.
    """
    on_plan = set(planned)
    closed = sorted(
        (look.id, plant_id, look)
        for plant_id, found in looks.items()
        for look in found
        if (plant_id, look.zone) in on_plan
    )
    until: dict[int, str] = {}
    for _, plant_id, look in closed:
        put_off = put_off_by(look)
        if put_off is not None:
            # the newest says it, and comes last
            until.pop(plant_id, None)
            until[plant_id] = put_off.until
    return OutOfTurn(
        aside=tuple((plant, look.zone) for _, plant, look in closed if look.reason == SET_ASIDE),
        to_end=tuple(plant_id for plant_id, when in until.items() if when == END),
        to_tomorrow=frozenset(plant_id for plant_id, when in until.items() if when != END),
    )

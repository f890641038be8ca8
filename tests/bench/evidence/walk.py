"""A round on foot: what the minutes hold of it, the same for every habit."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rounds.core.parameters import Parameters
from tests.bench.evidence.records import APART, Look, Visit
from tests.bench.evidence.world import World

CLOSE = 1e-6
"""seconds"""


@dataclass(frozen=True, slots=True)
class Hands:
    """What a round costs besides looking, seconds."""

    walk: float
    clean: float
    """after a plant that stands apart or had a find lately"""
    find: float
    """each insect"""
    lately_days: int

    @classmethod
    def of(cls, parameters: Parameters) -> "Hands":
        """As the tool supposes."""
        planning, inspection = parameters.planning, parameters.inspection
        return cls(
            planning.walk_seconds,
            planning.hygiene_seconds,
            inspection.seconds_per_find,
            inspection.infested_days,
        )


@dataclass(frozen=True, slots=True)
class Walked:
    """What a round came to."""

    looks: tuple[Look, ...]
    seconds: float
    """in all"""


def walk(
    world: World,
    day: int,
    visits: Iterable[Visit],
    seconds: float,
    hands: Hands,
    found_on: Mapping[str, int],
) -> Walked:
    """Walk a round until it ends or the next zone no longer fits.

    Args:
        world: with the plants.
        day: of the round.
        visits: in walking order.
        seconds: there are.
        hands: what it costs besides looking.
        found_on: the last day of a find, by plant.
    """
    looks: list[Look] = []
    spent, stop = 0.0, 0.0
    for number, visit in enumerate(visits):
        if visit.code not in world.pots:
            continue
        way = (hands.walk if number else 0.0) + stop
        here = _at_plant(world, day, visit, seconds - spent - way, hands)
        if not here:
            break
        looks += here
        spent += way + sum(look.seconds + hands.find * look.count for look in here)
        found = any(look.count for look in here)
        stop = hands.clean if found or _needs_clean_hands(world, day, visit, hands, found_on) else 0
        if len(here) < len(visit.zones):
            break
    return Walked(tuple(looks), spent)


def within(visits: Iterable[Visit], seconds: float, hands: Hands) -> set[str]:
    """The plants that the seconds reach, if nothing is found and no hands are cleaned."""
    reached, spent = set(), -hands.walk
    for visit in visits:
        spent += hands.walk
        if spent + visit.zones[0][1] > seconds + CLOSE:
            break
        reached.add(visit.code)
        spent += sum(planned for _, planned in visit.zones)
    return reached


def _at_plant(world: World, day: int, visit: Visit, seconds: float, hands: Hands) -> list[Look]:
    looks: list[Look] = []
    for number, (zone, planned) in enumerate(visit.zones):
        if planned > seconds + CLOSE:
            break
        look = world.look(day, number, visit.code, zone, planned)
        seconds -= planned + hands.find * look.count
        looks.append(look)
    return looks


def _needs_clean_hands(
    world: World, day: int, visit: Visit, hands: Hands, found_on: Mapping[str, int]
) -> bool:
    last = found_on.get(visit.code)
    lately = last is not None and day - last <= hands.lately_days
    return lately or world.stands[visit.code].place == APART

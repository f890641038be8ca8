"""One season of one habit, day by day."""

from dataclasses import dataclass

from rounds.core.parameters import Parameters
from tests.bench.evidence.ledger import Ledger
from tests.bench.evidence.records import Habit
from tests.bench.evidence.walk import Hands, walk, within
from tests.bench.evidence.world import World


@dataclass(frozen=True, slots=True)
class Means:
    """What a grower has."""

    minutes: float
    """a day"""
    days: int


def live(habit: Habit, world: World, parameters: Parameters, means: Means) -> Ledger:
    """Live a season by a habit, which is closed afterwards."""
    ledger, hands = Ledger(world, means.days), Hands.of(parameters)
    try:
        for pot in world.begins():
            habit.comes(pot)
        for day in range(means.days):
            _live_day(habit, world, ledger, hands, means.minutes, day)
    finally:
        habit.close()
    return ledger


def _live_day(
    habit: Habit, world: World, ledger: Ledger, hands: Hands, minutes: float, day: int
) -> None:
    if day:
        world.live(day)
        for pot in world.bought(day):
            habit.comes(pot)
    ledger.morning(day)
    if day % habit.every == 0 and day not in world.truth.away:
        seconds = 60 * minutes * habit.every
        visits = habit.morning(day, seconds)
        ledger.planned(day, within(visits, seconds, hands))
        walked = walk(world, day, visits, seconds, hands, ledger.found_on)
        ledger.walked(day, walked.looks, walked.seconds)
        habit.saw(day, walked.looks)
    celsius = world.temperature(day)
    decided = habit.evening(day, celsius, celsius)
    ledger.evening(decided)
    for code in decided.apart:
        world.put(code, apart=True)
    for code in decided.back:
        world.put(code, apart=False)
    for code in world.lost():
        habit.goes(day, code)
        ledger.dead(day, code)

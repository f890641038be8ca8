"""Plants drawn at random for a round, and what more minutes must never do to them."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from rounds.core.plan.call import Shares, Turn
from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import Zones
from rounds.core.plan.split import Split, split

SHARES = Shares(
    credited_at_most=3.0,
    most_of_one=1 / 3,
    most_of_alive=0.5,
    ahead=0.5,
    least_seconds=4.0,
    later_seconds=600.0,
)
NO_LIMITS = replace(SHARES, most_of_one=1.0, credited_at_most=1.0)
"""one plant may take all, and no look is longer than usual"""
ALIVE, FIRST, DUE, GAIN = Turn.ALIVE, Turn.FIRST, Turn.DUE, Turn.GAIN
REFERENCE = np.array([40.0, 20.0, 10.0])
RATES = -np.log1p(-np.array([0.05, 0.35, 0.80])) / REFERENCE[:, None]


def calls_of(
    harm: np.ndarray, turns: Sequence[Turn], codes: list[str] | None = None, handling: float = 0.0
) -> Calls:
    """Plants of three zones; `harm` (P, 3, 3) by plant, zone and kind."""
    plants = len(turns)
    owner = np.repeat(np.arange(plants), 3)
    is_due = np.array(turns) < Turn.GAIN
    floors = np.tile(REFERENCE / 2, plants)
    return Calls(
        codes=codes or [f"P{number:02}" for number in range(plants)],
        turn=np.array(turns, dtype=np.intp),
        latest_in=np.where(is_due, 0, 99),
        turn_in=np.where(is_due, 9, 99),
        overhead=np.full(plants, 10.0),
        spared=np.zeros(plants),
        owner=owner,
        zones=Zones(
            harm.reshape(-1, 3), np.tile(RATES, (plants, 1)),
            np.where(is_due[owner], floors, 0.0), np.tile(3 * REFERENCE, plants),
            np.full(3 * plants, handling),
        ),
        floors=floors,
        counts=floors,
        unchecked=np.zeros(plants, dtype=np.intp),
        probable=np.zeros(plants, dtype=bool),
        wants_full=np.ones(plants, dtype=bool),
        waits=np.zeros(3 * plants, dtype=bool),
        shares=SHARES,
    )  # fmt: skip


def drawn(seed: int, plants: int = 6, due: int = 2) -> Calls:
    """Plants of equal sizes of which the first are due: the very first is alive."""
    rng = np.random.default_rng(seed)
    harm = rng.gamma(0.4, 1.0, (plants, 1, 1)) * rng.gamma(0.5, 1.0, (plants, 3, 3)) + 1e-6
    turns = [GAIN if number >= due else DUE if number else ALIVE for number in range(plants)]
    calls = calls_of(harm, turns)
    calls.overhead[rng.integers(plants)] += 40
    return calls


def used(calls: Calls, found: Split) -> float:
    """Seconds that looking, handling, walking and clean hands take."""
    return float(calls.zones.spent(found.seconds).sum()) + calls.overhead_of(
        np.flatnonzero(found.planned)
    )


def without_spare(found: Split) -> Split:
    """The same without what plants with insects get because nobody who is due could use it."""
    return replace(found, seconds=found.seconds - found.spare)


TURNS = (ALIVE, ALIVE, FIRST, DUE, DUE, GAIN, GAIN)
"""to be drawn from, each as often as it stands here"""


def outbreak(
    seed: int, turns: Sequence[Turn], later_seconds: float = 600.0, latest_in: int = 7
) -> Calls:
    """Plants of many sizes, with finds to be handled, clean hands after some.

    Args:
        seed: of all that is drawn.
        turns: of the plants, when each is given its seconds.
        later_seconds: of a usual round.
        latest_in: days until the last of those that are not due is.
    """
    rng = np.random.default_rng(seed)
    plants = len(turns)
    size = rng.choice([1.0, 3.0, 6.0], plants)
    harm = rng.gamma(0.3, 3.0, (plants, 1, 1)) * rng.gamma(0.5, 1.0, (plants, 3, 3)) + 1e-6
    usual = calls_of(harm, turns, handling=0.0)
    by_zone = size[usual.owner]
    zones = replace(
        usual.zones,
        rates=usual.zones.rates / by_zone[:, None],
        least=usual.zones.least * by_zone,
        most=usual.zones.most * by_zone,
        handling=rng.gamma(0.5, 2.0, len(by_zone)),
    )
    walks = rng.choice([5.0, 25.0], plants)
    latest = np.where(usual.turn == GAIN, rng.integers(1, latest_in + 1, plants), 0)
    turn_in = np.where(usual.turn == FIRST, 0, latest + rng.integers(1, 5, plants))
    return replace(
        usual, zones=zones, floors=usual.floors * by_zone, overhead=walks,
        counts=usual.floors * by_zone * rng.choice([1.0, 1.0, 1.5], plants)[usual.owner],
        unchecked=rng.integers(0, 4, plants), wants_full=rng.random(plants) < 0.5,
        spared=np.where(walks > 5, 25.0, 5.0), latest_in=latest, turn_in=turn_in,
        shares=replace(SHARES, later_seconds=later_seconds),
    )  # fmt: skip


def all_alive_fit(calls: Calls, seconds: float) -> bool:
    """Whether each plant with insects gets a look."""
    found = split(calls, seconds)
    return bool(found.planned[calls.turn == ALIVE].all())


def turns_served(calls: Calls, found: Split) -> list[bool]:
    """Who of those whose turn has come is looked at, in their order."""
    return [bool(found.planned[plant]) for plant in calls.owed if calls.turn[plant] == FIRST]


def prevents_less(calls: Calls, seconds: float, more: float) -> bool:
    """Whether `more` seconds than `seconds` leave a turn out, lack what is owed, or find less.

    A whole look at one whose turn has come is worth any loss of what is found. What is too little
    for the next look goes to plants with insects, and that look comes first once it fits: so as
    long as not all that is due fits, what is owed is compared, without what was too little.
    """
    few, many = split(calls, seconds), split(calls, more)
    served = turns_served(calls, few), turns_served(calls, many)
    if served[1] < served[0] or many.owed_is_met < few.owed_is_met:
        return True
    owed = [float(calls.zones.prevented(f.seconds - f.spare).sum()) for f in (few, many)]
    return served[0] == served[1] and owed[1] < owed[0] * (1 - 1e-6)

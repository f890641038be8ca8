"""How many there were on earlier days, given all that was found later: against enumeration."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from rounds.core.biology.day import Values
from rounds.core.inference.answer import answer
from rounds.core.inference.observed import Log, LoggedDay
from rounds.core.inference.through import means_through

from .enumeration import MOST, a_day, looked, started
from .trials import plant_day, plant_log, tiny_day, tiny_log

Shown = Sequence[Sequence[int | tuple[int, int]]]
START = (0.4, (0.3, 0.2), 0.9)
SURVIVAL, HATCH, EGGS = (0.9, 0.85), 0.3, 0.25
FOUND, ARRIVE = (0.3, 0.7), (0.02, 0.03)
NUMBERS = np.arange(MOST + 1)
PLANT = (0.3, 6.0, 0.8)
FINDS = {(0, 0): 2, (3, 1): 1, (9, 0): 1}


def onwards(joint: Values, days: Shown) -> Values:
    """Through the days that follow one, and their looks."""
    for of_day in days:
        joint = a_day(joint, SURVIVAL, HATCH, EGGS, ARRIVE)
        for shown in of_day:
            joint = looked(joint, FOUND, shown)
    return joint


def written_out(looks: Shown) -> Values:
    """(D - 1, 2): each number weighs as much as the rest of the log is likely from there."""
    joint = started(*START)
    for shown in looks[0]:
        joint = looked(joint, FOUND, shown)
    means = []
    for day in range(len(looks) - 1):
        rest = looks[day + 1 :]
        chance = onwards(joint, rest).sum()
        eggs = onwards(joint * NUMBERS[:, None], rest).sum()
        adults = onwards(joint * NUMBERS, rest).sum()
        means.append([eggs / chance, adults / chance])
        joint = onwards(joint, [rest[0]])
    return np.array(means)


@pytest.mark.parametrize(
    "looks", [[[1], [0], [2], [0]], [[0], [0], [(1, 1)], [1]], [[0], [(0, 1), (0, 1)], [0]]]
)
def test_numbers_of_every_day_but_the_last_are_those_written_out(looks: Shown) -> None:
    log = tiny_log(START, tiny_day(SURVIVAL, HATCH, EGGS), ARRIVE, FOUND, looks)
    assert means_through(log, 10**6) == pytest.approx(written_out(looks), abs=1e-8)


def test_what_is_found_later_tells_of_the_days_before() -> None:
    """An adult found on day 2 was there, as an egg or an adult, unless it came since."""
    step = tiny_day(SURVIVAL, HATCH, EGGS)
    found = means_through(tiny_log(START, step, ARRIVE, FOUND, [[0], [0], [(0, 2)]]))
    clean = means_through(tiny_log(START, step, ARRIVE, FOUND, [[0], [0], [0]]))
    assert (found.sum(axis=1) > 5 * clean.sum(axis=1)).all()


def with_a_day_more(log: Log) -> Log:
    """A day on which nobody looks: it tells nothing of those before it."""
    return replace(log, days=(*log.days, LoggedDay(plant_day(22), 0.01)))


def test_after_the_newest_looks_it_is_the_answer() -> None:
    log = plant_log(PLANT, 22, 16, FINDS, arrivals=0.01)
    said = answer(log, with_interval=False)
    assert means_through(with_a_day_more(log), 10**6)[-1] == pytest.approx(said.mean, rel=1e-9)


def test_a_log_of_one_date_has_no_earlier_day() -> None:
    assert means_through(plant_log(PLANT, 22, 0, {(0, 0): 2})).shape == (0, 108)

"""Worked out a second time, plainly: the package says the same, and whole insects do it."""

import math

import numpy as np
import pytest

from tests.proof.backwards import Life, caps_of, chances_clean, nothing_found
from tests.proof.calibrate import known_logs, plant
from tests.proof.crossings import crossed, lots
from tests.proof.exact_predict import BODY, exact
from tests.proof.logs import Lot
from tests.proof.records import PlantLog
from tests.proof.release import CLEAN_FOR
from tests.proof.values import ASSUMED

BEYOND = 3.3
PLANTS, LOTS = 4000, 6
ON = (42, 84)
"""days with looks of every grower"""


@pytest.fixture(scope="module")
def life() -> Life:
    """Of the plant of the random logs."""
    return Life(plant())


@pytest.fixture(scope="module")
def few() -> list[PlantLog]:
    """Random logs that need few coefficients."""
    return [one.log for one in known_logs(500, seed=77) if one.log.coefficients <= 4]


def test_the_package_says_the_same_of_random_logs(life: Life, few: list[PlantLog]) -> None:
    for log in few[:30]:
        plain = float(chances_clean(life, [log])[0])
        # degree-days by the hour here, in closed form there
        assert 1 - exact(log) == pytest.approx(1 - plain, rel=1e-7)


def test_the_package_says_the_same_where_a_short_look_found_something(
    life: Life, few: list[PlantLog]
) -> None:
    """A find is no reason to suppose that its zone was looked at longer than it was."""
    short = {zone.zone for zone in BODY.outside if zone.reference_seconds < 6}
    logs = [
        log
        for log in few
        if any(look.found and look.zone in short for day in log.days for look in day.looks)
    ]
    assert len(logs) > 5
    for log in logs[:10]:
        assert exact(log) == pytest.approx(float(chances_clean(life, [log])[0]), abs=1e-7)


def test_plants_side_by_side_are_as_each_by_itself(life: Life, few: list[PlantLog]) -> None:
    log = next(log for log in few if len(caps_of(log)) == 2)
    both = chances_clean(life, [log, log])
    assert both == pytest.approx(chances_clean(life, [log])[[0, 0]], rel=1e-12)


@pytest.fixture(scope="module")
def many() -> list[Lot]:
    """Lots of many plants."""
    return list(lots(PLANTS, LOTS, seed=31))


def test_of_plants_clean_for_a_fortnight_as_many_are_infested_as_the_process_says(
    life: Life, many: list[Lot]
) -> None:
    """Found on before, then not for two weeks: how many there are, and how many hold something."""
    off: list[tuple[float, float]] = []
    for lot in many:
        for day in ON:
            clean, infested = since_clean(lot, day)
            expected = expected_since_clean(life, lot, day)
            off.append((z(clean, expected[0]), z(infested, expected[1])))
    # two days of one lot share plants: at most twice the variance
    assert (np.abs(np.sum(off, axis=0)) < BEYOND * math.sqrt(2 * len(off))).all()


def test_first_crossings_are_calibrated(life: Life, many: list[Lot]) -> None:
    """By growers who look weekly; `python -m tests.proof.crossings` takes all and many more."""
    found = crossed(life, many[2], (0.9,))[0.9]
    said, infested = np.array(found.said), np.array(found.infested)
    assert len(said) > 300
    assert abs(infested.sum() - (1 - said).sum()) < BEYOND * math.sqrt((said * (1 - said)).sum())


def since_clean(lot: Lot, day: int) -> tuple[int, int]:
    """Plants found on, and not in the last fortnight; and how many of them hold something."""
    last = {
        one: max((found for found, _ in finds if found <= day), default=day)
        for one, finds in lot.found.items()
    }
    chosen = [one for one, found in last.items() if found <= day - CLEAN_FOR]
    return len(chosen), int((lot.left[day][chosen] > 0).sum())


def expected_since_clean(life: Life, lot: Lot, day: int) -> tuple[float, float]:
    """Chances of the same of one plant."""
    start, arrivals = ASSUMED.new_arrival, ASSUMED.arrivals_apart
    lately, lately_clean = nothing_found(
        life, start, arrivals, lot.grower, day, day - CLEAN_FOR + 1
    )
    ever, ever_clean = nothing_found(life, start, arrivals, lot.grower, day, 0)
    clean = lately - ever
    return clean, clean - (lately_clean - ever_clean)


def z(number: int, chance: float) -> float:
    """Of so many of the plants of a lot."""
    return (number - PLANTS * chance) / math.sqrt(PLANTS * chance * (1 - chance))

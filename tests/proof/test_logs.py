"""Random logs: well formed, the same from the same seed, and true to the process."""

import pytest

from tests.proof.calibrate import known_logs, plant, scored
from tests.proof.logs import DAYS, Known
from tests.proof.shortcut import joined_clean

LOGS = 1000
BEYOND = 3.3
PLANT = plant()

Logs = list[Known]


@pytest.fixture(scope="module")
def known() -> Logs:
    """Logs and truths, the same for all."""
    return known_logs(LOGS)


def test_the_first_logs_are_the_same_however_many_are_made(known: Logs) -> None:
    assert known_logs(40) == known[:40]
    assert known_logs(40, seed=2) != known[:40]


def test_every_log_has_a_find_and_ends_on_a_day_of_its_own(known: Logs) -> None:
    ends = [one.log.last_day for one in known]
    assert all(one.log.last_find is not None for one in known)
    assert 0 < min(ends) + 1 <= max(ends) <= DAYS
    assert len(set(ends)) > DAYS / 2
    assert all(one.clean == (one.left == 0) for one in known)


def test_growers_differ(known: Logs) -> None:
    rhythms = {one.log.days[1].day for one in known if len(one.log.days) > 1}
    assert rhythms == {1, 3, 7}
    looks = [look for one in known for day in one.log.days for look in day.looks]
    assert {look.unpotted for look in looks if look.zone == "roots"} == {True}
    assert {find.group for look in looks for find in look.finds} == {"eggs", "young", "adult"}


def test_where_no_find_came_after_the_first_day_exact_chances_are_calibrated(known: Logs) -> None:
    """There the joined rival is exact: the generator, the truth and the scores are sound."""
    easy = [one for one in known if one.log.coefficients == 1]
    assert len(easy) > LOGS / 8
    scores = scored(lambda log: joined_clean(PLANT, log), easy)
    assert abs(scores.sum_z) < BEYOND
    assert abs(scores.spiegelhalter_z) < BEYOND

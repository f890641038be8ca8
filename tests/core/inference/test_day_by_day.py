"""Numbers of every day from those of a few, and what those of a plant amount to on days ahead."""

from datetime import timedelta

import numpy as np
import pytest

from rounds.core.inference.answer import answer
from rounds.core.inference.day_by_day import day_by_day
from rounds.core.inference.evidence import gather
from rounds.core.quarantine.days import days_looked
from rounds.core.quarantine.forecast import clean_looks_to_come
from rounds.core.quarantine.outlook import Outlook

from .logs import PARAMETERS, facts, on, tally, whole

LAST = 12


def test_between_two_days_the_factor_is_the_same_and_beyond_them_the_number() -> None:
    found = day_by_day({1: 8.0, 4: 1.0, 6: 0.0}, 9, 0.25)
    assert found == pytest.approx([8, 8, 4, 2, 1, 0.5, 0.25, 0.25, 0.25])


@pytest.mark.parametrize("ahead", [0, 1, 5, 20])
def test_what_is_expected_ahead_is_the_mean_of_the_log_lived_on_with_clean_looks(
    ahead: int,
) -> None:
    found = {0: {"axils": [tally(3)]}, 6: {"undersides": [tally(1), tally(2, "left")]}}
    looks = [k for day in range(0, LAST + 1, 3) for k in whole(day, found.get(day))]
    told = facts(looks)
    past = days_looked(told.looks, told.body_on, told.pest, PARAMETERS.inspection)
    until = on(LAST + 30)
    to_come = clean_looks_to_come(past, on(LAST), 3, until)
    outlook = Outlook(told, on(LAST), PARAMETERS, to_come, past, 22.0)
    evidence = gather(told, on(LAST), PARAMETERS)
    weights = np.asarray(evidence.process.leaving(22.0, 22.0))
    lived_on = facts([*looks, *(k for day in range(LAST + 3, LAST + ahead + 1, 3)
                                for k in whole(day))])  # fmt: skip
    day = on(LAST) + timedelta(ahead)
    mean = answer(gather(lived_on, day, PARAMETERS).log, with_interval=False).mean
    expected = float(mean @ weights)
    assert expected > 0
    assert outlook.expected(weights, [ahead])[ahead] == pytest.approx(expected, rel=5e-3)

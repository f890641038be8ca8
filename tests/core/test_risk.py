"""A score that adds up, and says more where more may come of it."""

import numpy as np
import pytest

from rounds.core.biology.process import IN_REACH, make_process
from rounds.core.body import make_body
from rounds.core.plan.risk import (
    LAYING,
    NEIGHBOURS,
    harm_in_reach,
    harm_of_one,
    insect_days,
    plant_risk,
    risk_word,
)
from rounds.core.plan.score import Neighbour, PlantRisk
from rounds.service.logbook.parameters import load_parameters

PARAMETERS = load_parameters()
PROCESS = make_process(
    make_body("leafy-plant", "medium", False, PARAMETERS).zones, PARAMETERS, "mealybug"
)
RISK = PARAMETERS.risk


def of(
    mean: np.ndarray[tuple[int], np.dtype[np.float64]], value: float = 1.0,
    neighbours: tuple[Neighbour, ...] = (), days_until_look: int = 1,
) -> PlantRisk:  # fmt: skip
    """The risk of so many at 22 degC."""
    return plant_risk(
        harm_of_one(PROCESS, 22, RISK, value, neighbours, days_until_look), mean, RISK
    )


def one(stage: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """One insect of a stage, sub-stages evenly, over the plant as an infestation is."""
    spread = PROCESS.start_mean * PROCESS.of_stages((stage,))
    return np.asarray(spread / spread.sum())


def test_insect_days_are_counted_day_by_day() -> None:
    # A laying adult at 22 degC, .97 a day; her eggs .985, none hatches within the first days.
    # Three days: .97 + .97^2 + .97^3 of herself, and eggs 11 * 14 / 15 for each day she survives.
    days = insect_days(PROCESS, 22, 3)
    eggs = 11 * 14 / 15
    herself = 0.97 + 0.97**2 + 0.97**3
    laid = eggs * (0.97 * (1 + 0.985 + 0.985**2) + 0.97**2 * (1 + 0.985) + 0.97**3)
    hatched_within = 0.01 * laid
    assert one("A") @ days == pytest.approx(herself + laid, abs=hatched_within)


def test_without_warmth_an_insect_is_there_every_day() -> None:
    assert insect_days(PROCESS, 8, 14) == pytest.approx(14)


def test_one_laying_adult_is_half_of_the_scale() -> None:
    found = of(one("A"))
    assert found.value == pytest.approx(50)
    assert found.parts[0].code == LAYING
    assert found.word == "look first"


def test_the_parts_add_up_and_come_greatest_first() -> None:
    neighbours = (Neighbour(1.0, 2.0), Neighbour(0.02, 1.0))
    found = of(3 * PROCESS.start_mean, 2.0, neighbours, 7)
    assert sum(part.value for part in found.parts) == pytest.approx(found.value)
    values = [part.value for part in found.parts]
    assert values == sorted(values, reverse=True)
    assert all(value > 0 for value in values)


def test_more_insects_warmth_worth_and_neighbours_are_more_risk() -> None:
    mean = 0.2 * PROCESS.start_mean
    usual = of(mean).value
    assert of(2 * mean).value > usual
    assert of(mean, value=3.0).value > usual
    near = of(mean, neighbours=(Neighbour(1.0, 1.0),), days_until_look=7)
    assert near.value > usual
    assert next(p.value for p in near.parts if p.code == NEIGHBOURS) > 0
    stages = [of(one(stage)).value for stage in ("L1", "P", "A")]
    assert stages == sorted(stages)


def test_a_plant_without_insects_can_wait() -> None:
    found = of(np.zeros(PROCESS.size), neighbours=(Neighbour(1.0, 1.0),))
    assert (found.value, found.word) == (0, "can wait")


def test_two_in_a_hundred_of_the_hatched_leave() -> None:
    # One egg in its last sub-stage at 22 degC: .985 * 14 / (85 / 3) hatch within the day.
    mean = np.zeros(PROCESS.size)
    mean[2 * 2] = 1.0

    def leaving(days: int) -> float:
        near = (Neighbour(1.0, 1.0),)
        harm = harm_of_one(PROCESS, 22, RISK, neighbours=near, days_until_look=days)
        return float(mean @ harm.by_part[NEIGHBOURS])

    assert leaving(1) == pytest.approx(0.02 * 0.985 * 14 * 3 / 85)
    assert leaving(1) < leaving(7) < 0.02


@pytest.mark.parametrize(
    ("score", "word"),
    [(0, "can wait"), (0.99, "can wait"), (1, "today"), (9.9, "today"), (10, "look first")],
)
def test_words_hold_from_their_score_on(score: float, word: str) -> None:
    assert risk_word(score, RISK) == word


def test_what_is_in_reach_adds_up_by_zone_and_stage() -> None:
    mean = 2 * one("A") + 3 * one("L2")
    harm = harm_in_reach(PROCESS, mean, 22, 14)
    assert harm.shape == (len(PROCESS.zones), len(PROCESS.stages))
    caused = mean * insect_days(PROCESS, 22, 14)
    assert harm.sum() == pytest.approx(caused @ PROCESS.of_reach(IN_REACH))
    stages = [stage.code for stage in PROCESS.stages]
    axils = PROCESS.zone_codes.index("axils")
    # .6 of the axils' share of .35 is in reach
    of_adult = one("A") @ insect_days(PROCESS, 22, 14)
    assert harm[axils, stages.index("A")] == pytest.approx(2 * 0.35 * 0.6 * of_adult)
    assert harm[:, stages.index("egg")] == pytest.approx(0)
    roots = PROCESS.zone_codes.index("roots")
    assert harm[roots] == pytest.approx(0), "all of it is tucked away"

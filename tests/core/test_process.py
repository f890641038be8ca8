"""What a day does to an insect, against the sentences that describe it."""

import numpy as np
import pytest

from rounds.core.biology.day import mean_matrix
from rounds.core.biology.process import IN_REACH, TUCKED, Process, make_process
from rounds.core.body import make_body
from rounds.service.logbook.parameters import load_parameters

PARAMETERS, PEST = load_parameters(), "mealybug"
BODY = make_body("leafy-plant", "medium", False, PARAMETERS)


def process_of(form: str = "leafy-plant", **times: float) -> Process:
    return make_process(
        make_body(form, "small", False, PARAMETERS).zones, PARAMETERS, PEST, **times
    )


def type_of(process: Process, zone: str, sub_stage: int, reach: int) -> int:
    at = process.zone_codes.index(zone)
    return (at * process.sub_stages + sub_stage) * 2 + reach


@pytest.mark.parametrize("form", sorted(PARAMETERS.forms))
@pytest.mark.parametrize("celsius", [5.0, 8.0, 16.0, 22.0, 35.0])
def test_chances_of_a_day_add_up(form: str, celsius: float) -> None:
    process = process_of(form)
    day = process.day(celsius, celsius)
    assert day.blocks.min() >= 0
    assert day.blocks.sum(axis=2).reshape(-1) + day.wander + day.gone == pytest.approx(1, abs=1e-12)
    assert day.landing.sum() == pytest.approx(1, abs=1e-12)
    for shares in (process.start_mean, process.arrival):
        assert shares.sum() == pytest.approx(1, abs=1e-12)


def test_on_a_day_of_22_degrees_survival_and_eggs_are_as_given() -> None:
    # 14 degree-days: survival as in the table, 11 * 14 / 15 eggs, 0.96 of the layers alive.
    process = process_of()
    day = process.day(22.0, 22.0)
    assert day.eggs_laid == pytest.approx(11 * 14 / 15)
    layer = type_of(process, "axils", 17, IN_REACH)
    assert day.gone[layer] == pytest.approx(0.04)
    egg = type_of(process, "axils", 0, IN_REACH)
    assert day.gone[egg] == pytest.approx(0.02)
    assert mean_matrix(day)[layer, egg] == pytest.approx(0.96 * 11 * 14 / 15)


def test_a_stage_lasts_its_degree_days() -> None:
    # Three sub-stages of 85 / 3 degree-days each, 14 a day: mean 85 / 14 days without death.
    process = process_of()
    day = process.day(22.0, 22.0)
    egg, next_egg = (type_of(process, "axils", sub, IN_REACH) for sub in (0, 1))
    further = day.blocks.reshape(-1, day.blocks.shape[2])[egg][next_egg % 36] / 0.98
    assert 3 / further == pytest.approx(85 / 14)


def test_half_of_the_hatched_stay_and_two_in_a_hundred_leave() -> None:
    process = process_of()
    day = process.day(22.0, 22.0)
    hatching = type_of(process, "axils", 2, TUCKED)
    hatched = 0.98 * 14 * 3 / 85
    assert day.wander[hatching] == pytest.approx(hatched * 0.98 / 2)
    assert day.gone[hatching] == pytest.approx(0.02 + hatched * 0.02)


def test_nothing_dies_grows_or_is_laid_at_the_threshold() -> None:
    day = process_of().day(8.0, 8.0)
    assert day.gone == pytest.approx(0, abs=1e-12)
    assert day.eggs_laid == 0
    assert day.wander.max() == 0


def test_crawlers_that_land_move_on_the_same_day() -> None:
    # First nymphs exchange .30: of axils' .35, tucked .40, the balance of reach stays as it was.
    process = process_of()
    day = process.day(22.0, 22.0)
    tucked = day.landing[type_of(process, "axils", 3, TUCKED)]
    assert tucked == pytest.approx(0.35 * (0.6 * 0.3 * 0.4 + 0.4 * (1 - 0.3 * 0.6)))


def test_a_look_of_the_reference_seconds_finds_as_given_and_twice_is_two_looks() -> None:
    process = process_of()
    adult = type_of(process, "axils", 17, IN_REACH)
    once, twice = (process.found("axils", times) for times in (1.0, 2.0))
    assert once[adult] == pytest.approx(0.80)
    assert twice[adult] == pytest.approx(1 - 0.2**2)
    assert once[type_of(process, "axils", 17, TUCKED)] == 0
    assert once[type_of(process, "sheaths", 17, IN_REACH)] == 0


def test_roots_are_seen_only_out_of_the_pot() -> None:
    process = process_of()
    tucked = type_of(process, "roots", 17, TUCKED)
    assert process.found("roots", 1.0)[tucked] == 0
    assert process.found("roots", 1.0, out_of_pot=True)[tucked] == pytest.approx(0.75)
    assert process.start_mean[type_of(process, "roots", 17, IN_REACH)] == 0


def test_a_band_halves_rates_and_raises_them_by_half() -> None:
    adult = type_of(process_of(), "axils", 17, IN_REACH)
    found = process_of(detection_times=0.5).found("axils", 1.0)[adult]
    assert found == pytest.approx(1 - 0.2**0.5)
    moved = process_of(exchange_times=1.5).day(22.0, 22.0)
    crawler = type_of(process_of(), "axils", 3, IN_REACH)
    chances = moved.blocks.reshape(-1, 36)[crawler] / 0.94
    assert chances[7] + chances[9] == pytest.approx(1.5 * 0.3 * 0.4)


def test_days_are_kept_by_a_tenth_of_a_degree() -> None:
    process = process_of()
    assert process.day(15.04, 22.0) is process.day(14.96, 22.0)
    assert process.day(15.1, 22.0) is not process.day(15.0, 22.0)
    assert np.any(process.day(15.1, 22.0).gone != process.day(15.0, 22.0).gone)

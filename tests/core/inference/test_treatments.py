"""What was used on a plant kills on its day, after the looks of that day, as the table says."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from rounds.core.biology.process import IN_REACH, TUCKED
from rounds.core.body import MEDIUM, ROOTS
from rounds.core.inference.answer import answer, chance_clean
from rounds.core.inference.band import band_in_steps
from rounds.core.inference.evidence import gather, killing
from rounds.core.inference.facts import PlantFacts, Refit, Treated
from rounds.core.inference.observed import Find, Log, LoggedDay, Look, Start
from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import Kills

from .asked import chances_ahead
from .logs import PARAMETERS, facts, look, on, tally, whole

SPRAY, ROOT_CLEAN_OUT = PARAMETERS.treatments["spray"], PARAMETERS.treatments["root-clean-out"]
FOUND = {"axils": [tally(2)], "undersides": [tally()]}


def sprayed(looks: list[EffectiveLook], *days: int, kills: Kills = SPRAY) -> PlantFacts:
    return replace(facts(looks), treated=tuple(Treated(on(day), kills) for day in days))


def chance(of: PlantFacts, day: date) -> float:
    return chance_clean(gather(of, day, PARAMETERS).log)


def test_the_table_is_that_of_the_model() -> None:
    assert Kills(in_reach=0.55) == SPRAY
    assert Kills(below=0.9) == ROOT_CLEAN_OUT
    assert PARAMETERS.treatments["product"] == Kills(in_reach=0.55)
    assert PARAMETERS.treatments["peroxide"] == Kills()


def test_a_spray_reaches_what_a_spray_reaches_and_a_clean_out_the_pot() -> None:
    process = gather(facts(whole(0)), on(0), PARAMETERS).process
    below = process.of_zone(MEDIUM) + process.of_zone(ROOTS)
    egg, reach = process.of_stages(("egg",)), process.of_reach(IN_REACH)
    spray, out = process.killed(SPRAY), process.killed(ROOT_CLEAN_OUT)
    assert np.array_equal(spray, 0.55 * (1 - below) * (1 - egg) * reach)
    assert np.array_equal(out, 0.9 * below)
    every = process.killed(Kills(0.1, 0.2, 0.3, 0.4))
    assert set(every[(below == 0) & (egg == 1) & (reach == 1)]) == {0.2}
    assert set(every[(below == 0) & (process.of_reach(TUCKED) == 1)]) == {0.3}


@pytest.mark.parametrize("times", [1, 2, 5])
def test_what_a_treatment_spares_follows_the_closed_form(times: int) -> None:
    # Poisson start, nothing moves: exp(-m (1-k)^K); of one insect left there, 1 - (1-k)^K
    used = tuple(Look(np.ones(1), kills=np.array([0.55])) for _ in range(times))
    start = Start(1.0, np.array([0.4]), 1e9)
    many = Log(start, np.ones(1), (LoggedDay(None, looks=used),))
    assert chance_clean(many) == pytest.approx(np.exp(-0.4 * 0.45**times), rel=1e-6)
    seen = Look(np.zeros(1), (Find(np.ones(1), 1, 1.0),))
    one = Log(Start(1.0, np.ones(1), 1.0), np.ones(1), (LoggedDay(None, looks=(seen, *used)),))
    assert chance_clean(one) == pytest.approx(1 - 0.45**times, rel=1e-12)


def test_it_comes_after_the_looks_of_its_day_however_it_was_entered() -> None:
    log = gather(sprayed([*whole(0), *whole(3)], 3), on(3), PARAMETERS).log
    *looks, last = log.days[3].looks
    assert last.kills is not None
    assert np.all(last.unseen == 1)
    assert all(seen.kills is None for seen in looks)


@pytest.mark.parametrize("kills", [SPRAY, ROOT_CLEAN_OUT])
def test_it_raises_the_chance_clean_at_once_and_every_end_of_its_band(kills: Kills) -> None:
    looks = [*whole(0, FOUND), *whole(7), *whole(14)]
    plain, used = facts(looks), sprayed(looks, 7, kills=kills)
    assert chance(used, on(7)) > chance(plain, on(7))
    assert chance(used, on(14)) > chance(plain, on(14))
    for of, other in ((used, plain),):
        ours, theirs = band(of), band(other)
        assert (ours[0] > theirs[0], ours[1] > theirs[1]) == (True, True)
    worse = Refit(detection=0.5)
    assert chance_clean(gather(used, on(14), PARAMETERS, worse).log) > chance_clean(
        gather(plain, on(14), PARAMETERS, worse).log
    )


def band(of: PlantFacts) -> tuple[float, float]:
    steps = band_in_steps(of, on(14), PARAMETERS)
    while True:
        try:
            next(steps)
        except StopIteration as end:
            return end.value.low, end.value.high


def test_a_clean_plant_that_was_treated_is_told_one_by_one() -> None:
    looks = [*whole(0), *whole(7)]
    assert chance(sprayed(looks, 3), on(7)) > chance(facts(looks), on(7))


def test_what_nothing_is_assumed_of_moves_no_figure() -> None:
    looks = [*whole(0, FOUND), *whole(7)]
    assert chance(sprayed(looks, 3, kills=Kills()), on(7)) == pytest.approx(
        chance(facts(looks), on(7)), rel=1e-12
    )


def test_eggs_survive_a_spray_and_hatch() -> None:
    looks = [*whole(0), look(1, "axils", tally(1, kind="left", stage="eggs"))]
    shown = answer(gather(sprayed(looks, 1), on(1), PARAMETERS).log, with_interval=False)
    assert shown.chance_clean == 0


def test_days_ahead_with_a_treatment_are_as_if_they_had_been_logged() -> None:
    looks = [*whole(0, FOUND), *(k for day in (2, 4, 6) for k in whole(day))]
    used = sprayed(looks, 2, 4, 5)
    log = gather(used, on(6), PARAMETERS).log
    got = chances_ahead(Log(log.start, log.landing, log.days[:2]), log.days[2:])
    for number in range(6):
        cut = Log(log.start, log.landing, log.days[: 2 + number])
        assert got[number] == pytest.approx(chance_clean(cut), rel=1e-12)
    assert killing(gather(used, on(6), PARAMETERS).process, SPRAY).kills is not None

"""The band of a figure: the whole log refitted, each refit against sums made alone."""

from dataclasses import replace
from datetime import date

import pytest

from rounds.core.body import ZoneReference
from rounds.core.inference.answer import chance_clean
from rounds.core.inference.band import (
    ARRIVALS_MORE,
    BAND_BUDGET,
    Band,
    band_in_steps,
    bands_of_clean,
    refits,
)
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts, Refit
from rounds.core.inference.observed import ImpossibleEntry
from rounds.service.inference.steps import finished

from .logs import LEAFY, PARAMETERS, facts, look, on, tally, whole

REFITS = refits(PARAMETERS.infestation)
DAY = 20

Told = dict[str, float]


def band(told_of: PlantFacts, day: date) -> Band:
    return finished(band_in_steps(told_of, day, PARAMETERS))


def alone(told_of: PlantFacts, day: date) -> Told:
    """Each refit as a log of its own, read anew and run alone."""
    return {
        refit.code: chance_clean(gather(told_of, day, PARAMETERS, refit).log, BAND_BUDGET)
        for refit in REFITS
    }


def looks_of(kind: str) -> PlantFacts:
    daily = [k for day in range(1, DAY + 1) for k in whole(day)]
    found = whole(0, {"axils": [tally(2)], "undersides": [tally()]})
    later = [*whole(6, {"axils": [tally(stage="adult"), tally(1, "left")]}), *whole(DAY)]
    if kind == "never looked at":
        return facts([])
    if kind == "clean":
        return facts([*whole(0), *daily])
    if kind == "insects seen":
        return replace(facts([*whole(0), *daily]), insects_seen=True)
    if kind == "neighbour":
        near = {on(day): 0.02 for day in range(3, 9)}
        return replace(facts([*found, *later]), neighbours=near)
    return facts([*found, *(daily if kind == "found on arrival" else later)])


KINDS = ("never looked at", "clean", "insects seen", "found on arrival", "found later", "neighbour")


@pytest.mark.parametrize("kind", KINDS)
def test_the_band_runs_from_the_lowest_to_the_highest_of_all_refits(kind: str) -> None:
    told_of = looks_of(kind)
    expected = alone(told_of, on(DAY))
    found = band(told_of, on(DAY))
    assert found.value == pytest.approx(expected[""], rel=1e-12)
    assert found.low == pytest.approx(min(expected.values()), rel=1e-12)
    assert found.high == pytest.approx(max(expected.values()), rel=1e-12)
    assert expected[found.low_why] == pytest.approx(found.low, rel=1e-12)


def test_ten_refits_are_what_is_written_of_them() -> None:
    """Half and half as much again, both halved, shares to 1 at most, .5 and .1, five times."""
    of = {refit.code: refit for refit in REFITS}
    assert of[""] == Refit()
    assert (of["eye-worse"].detection, of["eye-better"].detection) == (0.5, 1.5)
    assert (of["moves-less"].exchange, of["moves-more"].exchange) == (0.5, 1.5)
    both = of["eye-and-moves-less"]
    assert (both.detection, both.exchange) == (0.5, 0.5)
    assert of["hides-more"].tucked == 1.5
    assert (of["start-likelier"].infested, of["start-rarer"].infested) == (0.5, 0.1)
    assert of["arrivals-more"].arrivals == 5
    assert len(of) == 10


def test_of_a_plant_nobody_looked_at_the_band_is_that_of_the_start() -> None:
    """On the first day P(none) = 1 - psi + psi (1 + m / a) ** -a, worked by hand at m 3, a 1/2."""
    found = band(facts([]), on(0))
    none = 7**-0.5
    assert found.low == pytest.approx(1 - 0.5 * (1 - none))
    assert found.high == pytest.approx(1 - 0.1 * (1 - none))
    assert found.low_why == "start-likelier"


def test_tucked_shares_grow_by_half_but_never_beyond_all_of_them() -> None:
    refit = next(refit for refit in REFITS if refit.code == "hides-more")
    process = gather(facts([]), on(0), PARAMETERS, refit).process
    told = {zone: tucked for zone, _, tucked in process.zones}
    usual = {zone.zone: zone.tucked_share for zone in LEAFY.zones}
    assert told == pytest.approx({zone: min(1.0, 1.5 * share) for zone, share in usual.items()})
    assert told["roots"] == 1.0


def test_of_a_plant_with_insects_seen_the_start_is_not_in_question() -> None:
    expected = alone(looks_of("insects seen"), on(DAY))
    assert expected["start-likelier"] == expected["start-rarer"] == expected[""]


def test_an_assumption_under_which_a_find_is_impossible_is_left_out() -> None:
    """Where three in four hide, half as many again is all of them: none could be found at first."""
    zones = (ZoneReference("axils", 1.0, 0.75, 60.0), *LEAFY.zones[-1:])
    body = replace(LEAFY, zones=zones)
    told_of = facts([look(0, "axils", tally(), seconds=60.0)], body=body)
    refit = next(refit for refit in REFITS if refit.code == "hides-more")
    with pytest.raises(ImpossibleEntry):
        chance_clean(gather(told_of, on(0), PARAMETERS, refit).log)
    assert 0 < band(told_of, on(0)).low < band(told_of, on(0)).high < 1


def test_many_clean_plants_at_once_have_the_bands_they_have_alone() -> None:
    many = [
        facts([k for day in range(0, DAY + 1, 1 + number) for k in whole(day)])
        for number in range(6)
    ]
    together = finished(bands_of_clean(many, on(DAY), PARAMETERS))
    assert list(together) == list(range(len(many)))
    for number, found in together.items():
        expected = alone(many[number], on(DAY))
        assert found.low == pytest.approx(min(expected.values()), rel=1e-12)
        assert found.high == pytest.approx(max(expected.values()), rel=1e-12)


def test_arrivals_are_those_from_nowhere_in_particular_beside_what_neighbours_send() -> None:
    table = PARAMETERS.infestation
    five = replace(
        table,
        arrivals_apart=5 * table.arrivals_apart,
        arrivals_collection=5 * table.arrivals_collection,
    )
    expected = chance_clean(
        gather(looks_of("neighbour"), on(DAY), replace(PARAMETERS, infestation=five)).log
    )
    assert alone(looks_of("neighbour"), on(DAY))[ARRIVALS_MORE] == pytest.approx(expected)

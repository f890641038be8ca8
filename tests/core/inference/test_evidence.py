"""What an entry says of a plant, and what says nothing."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from rounds.core.biology.process import IN_REACH
from rounds.core.body import Body, make_body
from rounds.core.inference.answer import answer, chance_clean
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import (
    Division,
    PlantFacts,
    Refit,
    begins_on,
)
from rounds.core.log.effective import EffectiveLook, EffectiveTally

from .logs import CLEAR, LEAFY, PARAMETERS, facts, look, on, tally, whole

INFESTATION = PARAMETERS.infestation


def chance(of: PlantFacts | Sequence[EffectiveLook], day: int) -> float:
    known = of if isinstance(of, PlantFacts) else facts(of)
    return chance_clean(gather(known, on(day), PARAMETERS).log)


def daily(last: int, found: dict[int, dict[str, Sequence[EffectiveTally]]]) -> list[EffectiveLook]:
    return [one for day in range(last + 1) for one in whole(day, found.get(day))]


@pytest.mark.parametrize(("day", "expected"), [(14, 0.723), (28, 0.913), (42, 0.958)])
def test_the_first_find_after_a_clean_run(day: int, expected: float) -> None:
    # Arrival, daily looks of the reference seconds outside at 22 degC, one insect of a stage not
    # recorded taken off in the axils on day 14. No published source; `tests/proof/backwards.py`, by
    # code of its own, says .7230, .9132 and .9576.
    looks = daily(day, {14: {"axils": [tally()]}})
    assert chance(looks, day) == pytest.approx(expected, abs=0.0005)


def test_a_new_arrival_and_an_established_plant_before_the_first_look() -> None:
    # (1 - .25) + .25 (1 + 3 / .5)^-.5: infested with a chance of .16.
    assert 1 - chance([], 0) == pytest.approx(0.16, abs=0.005)
    there = facts([], arrived=False, apart=False)
    assert 1 - chance(there, 0) == pytest.approx(0.03 * (1 - 7**-0.5))


@pytest.mark.parametrize(
    "nothing",
    [
        look(1, "axils", seconds=0),
        look(1, "axils", outcome="cannot-see", seconds=0),
        look(1, "axils", outcome="partial"),
        look(1, "axils", is_open=True),
        look(1, "roots"),
        look(1, "crown", body=make_body("rosette", "medium", False, PARAMETERS)),
        look(1, "axils", tally(kind="doubtful")),
    ],
    ids=["no seconds", "cannot see", "left", "open", "roots in the pot", "no such zone", "doubt"],
)
def test_what_is_no_evidence(nothing: EffectiveLook) -> None:
    assert chance([nothing], 2) == chance([], 2)


def test_a_find_is_read_with_the_seconds_that_were_spent_and_no_more() -> None:
    # elapsed less 8 of the find; a find with nothing credited was seen in passing
    credited = (0.0, 1.0, 2.0, 4.0, 8.0, 16.0)
    found = [
        chance([look(0, "axils", tally(stage="adult"), seconds=8 + seconds)], 14)
        for seconds in credited
    ]
    assert found[0] == found[1]
    assert found[1:] == sorted(set(found[1:]))


def test_a_doubt_makes_its_zone_unseen_that_day_only() -> None:
    doubt = [*whole(1, {"axils": [tally(kind="doubtful")]}), *whole(2)]
    without = [k for k in doubt if not k.tallies]
    assert chance(doubt, 2) == chance(without, 2)
    again = [*doubt, look(1, "axils")]
    assert chance(again, 2) == chance(without, 2)


@pytest.mark.parametrize("verdict", ["remains", "not-an-insect"])
def test_a_doubt_settled_as_no_insect_leaves_the_zone_seen(verdict: str) -> None:
    settled = [look(1, "axils", tally(kind="doubtful", settled=verdict))]
    assert chance(settled, 2) == chance([look(1, "axils")], 2)


def test_a_doubt_settled_as_alive_is_a_find_left_there() -> None:
    settled = [look(1, "axils", tally(kind="doubtful", settled="alive"))]
    assert chance(settled, 1) == 0
    assert chance(settled, 1) == chance([look(1, "axils", tally(kind="left"))], 1)


def test_the_third_doubt_in_a_week_is_alive() -> None:
    two = [look(day, "axils", tally(kind="doubtful")) for day in (1, 4)]
    three = [*two, look(8, "axils", tally(kind="doubtful"))]
    late = [*two, look(9, "axils", tally(kind="doubtful"))]
    assert chance(three, 8) == 0
    assert chance(late, 9) == chance([], 9)


def test_seconds_are_credited_less_eight_for_each_insect_and_three_times_at_most() -> None:
    zone = LEAFY.zone("axils").reference_seconds
    longest = look(1, "axils", seconds=50 * zone)
    assert chance([longest], 1) == chance([look(1, "axils", seconds=3 * zone)], 1)
    counted = look(1, "axils", tally(settled="remains", kind="doubtful"), seconds=zone + 8)
    assert chance([counted], 1) == chance([look(1, "axils", seconds=zone)], 1)


def test_a_find_is_one_even_where_no_second_is_credited() -> None:
    in_a_moment = [look(1, "axils", tally(), seconds=2)]
    assert chance(in_a_moment, 1) < chance([], 1)
    unfinished = [look(1, "axils", tally(), outcome="partial")]
    assert chance(unfinished, 1) == chance(in_a_moment, 1)
    in_the_pot = [look(1, "roots", tally())]
    assert chance(in_the_pot, 1) < chance([], 1)
    elsewhere = make_body("rosette", "medium", False, PARAMETERS)
    assert chance([look(1, "crown", tally(), body=elsewhere)], 1) < chance([], 1)


def test_roots_are_seen_out_of_the_pot_or_through_a_clear_one() -> None:
    unpotted = [look(1, "roots", unpotted=True)]
    assert chance(unpotted, 1) > chance([], 1)
    through = facts([look(1, "roots", body=CLEAR)], body=CLEAR)
    assert chance(through, 1) == chance(unpotted, 1)


def test_other_pests_are_another_story() -> None:
    other = [look(1, "axils", tally(pest="mite"))]
    assert chance(other, 1) == chance([look(1, "axils")], 1)


def test_five_looks_on_one_day_are_not_five_times_the_evidence() -> None:
    once = 1 - chance(whole(0), 0)
    five = 1 - chance([k for _ in range(5) for k in whole(0)], 0)
    apart_days = 1 - chance([k for day in range(5) for k in whole(day)], 4)
    assert apart_days < five < once


@pytest.mark.parametrize("day", [0, 3])
def test_what_was_left_or_killed_counts_on(day: int) -> None:
    by_kind = {
        kind: chance([*whole(day, {"axils": [tally(kind=kind)]})], day)
        for kind in ("removed", "killed", "left")
    }
    assert by_kind["left"] == 0
    assert by_kind["killed"] == pytest.approx(0.95 * by_kind["removed"], rel=0.02)
    assert by_kind["killed"] < by_kind["removed"]


@pytest.mark.parametrize("day", [0, 3])
def test_a_stage_is_known_or_any(day: int) -> None:
    means = {}
    for stage in (None, "young", "adult", "eggs"):
        kept = tally(kind="left", stage=stage)
        found = gather(facts([look(day, "axils", kept)]), on(day), PARAMETERS)
        mean = answer(found.log, with_interval=False).mean
        axils = mean * found.process.of_zone("axils") * found.process.of_reach(IN_REACH)
        means[stage] = {
            group: float(axils @ found.process.of_stages(codes))
            for group, codes in {
                "young": ("L1", "L2", "L3"), "adult": ("P", "A"), "eggs": ("egg",)
            }.items()
        }  # fmt: skip
    for stage in ("young", "adult", "eggs"):
        others = sum(means[other][stage] for other in means if other not in (stage, None))
        assert means[stage][stage] > 1
        assert means[None][stage] > others / 2 * 0.5
        assert means[stage][stage] > means[None][stage]


@pytest.mark.parametrize("day", [0, 3])
def test_a_laying_adult_goes_with_most_of_her_eggs(day: int) -> None:
    def eggs_in_axils(kind: str) -> float:
        adult = tally(stage="egg-mass", kind=kind)
        found = gather(facts([look(day, "axils", adult)]), on(day), PARAMETERS)
        mean = answer(found.log, with_interval=False).mean
        process = found.process
        of_eggs = process.of_stages(("egg",)) * process.of_zone("axils")
        return float(mean @ (of_eggs * process.of_reach(IN_REACH)))

    assert eggs_in_axils("removed") == pytest.approx(0.3 * eggs_in_axils("left"), rel=1e-9)


def test_a_message_names_the_tally() -> None:
    mark = tally(stage="adult")
    found = gather(facts([look(2, "axils", mark)]), on(3), PARAMETERS)
    [find] = [f for d in found.log.days for k in d.looks for f in k.finds]
    assert (find.entry, find.count) == (mark.id, 1)


def test_arrivals_are_rarer_apart_and_add_up_with_the_neighbours() -> None:
    apart = gather(facts([]), on(3), PARAMETERS).log.days
    assert [d.arrivals for d in apart] == [0.0, 2e-4, 2e-4, 2e-4]
    moved = replace(facts([]), apart=lambda day: day < on(2), neighbours={on(3): 0.5})
    assert [d.arrivals for d in gather(moved, on(3), PARAMETERS).log.days] == pytest.approx(
        [0.0, 2e-4, 1e-3, 0.501]
    )


def test_a_day_is_as_warm_as_the_date_it_began_on() -> None:
    cold_until = replace(facts([]), range_c=lambda day: (8, 8) if day < on(1) else (22, 22))
    found = gather(cold_until, on(2), PARAMETERS)
    assert found.log.days[1].step is found.process.day(8, 8)
    assert found.log.days[2].step is found.process.day(22, 22)


@pytest.mark.parametrize(
    ("found_on", "asked", "begins"),
    [
        ([], 100, 0),
        ([], 400, 220),
        ([390], 400, 220),
        ([210], 400, 180),
        ([50, 210], 400, 20),
        ([50, 230], 400, 200),
        ([10], 400, 0),
    ],
)
def test_where_a_long_log_is_begun(found_on: list[int], asked: int, begins: int) -> None:
    days = [on(day) for day in found_on]
    assert begins_on(days, on(0), on(asked), INFESTATION) == on(begins)


def test_a_log_begun_late_begins_as_an_established_plant() -> None:
    evidence = gather(facts([]), on(400), PARAMETERS)
    assert evidence.begins == on(220)
    assert evidence.log.start.infested == 0.03
    assert len(evidence.log.days) == 181


def test_a_part_of_a_divided_plant_has_its_share() -> None:
    third = replace(facts([]), divisions=(Division(on(2), 1 / 3),))
    whole_plant, part = (
        answer(gather(of, on(2), PARAMETERS).log, with_interval=False).mean.sum()
        for of in (facts([]), third)
    )
    assert part == pytest.approx(whole_plant / 3)


def test_a_size_changed_later_leaves_earlier_seconds_as_they_were() -> None:
    small = make_body("leafy-plant", "small", False, PARAMETERS)

    def body_on(day: object) -> Body:
        return small if day == on(0) else LEAFY

    looks = [look(0, "axils", body=small)]
    grown = replace(facts(looks), body_on=body_on)
    assert chance(grown, 0) == pytest.approx(chance(facts([look(0, "axils")]), 0))


def test_a_refit_changes_what_a_look_finds() -> None:
    looks = whole(0)
    chances = [
        chance_clean(gather(facts(looks), on(0), PARAMETERS, Refit(times)).log)
        for times in (0.5, 1.0, 1.5)
    ]
    assert chances == sorted(chances)
    assert len(set(chances)) == 3


def test_stages_told_in_one_look_are_one_pass_with_the_seconds_of_all() -> None:
    # 60 s less 8 for each of five insects, adults and young together: 20 s credited, once
    adult, young = tally(2, stage="adult"), tally(3, stage="young")
    mixed = gather(facts([look(0, "axils", adult, young, seconds=60)]), on(0), PARAMETERS)
    (seen,) = mixed.log.days[0].looks
    assert [find.count for find in seen.finds] == [2, 3]
    alone = gather(facts([look(0, "axils", seconds=20)]), on(0), PARAMETERS)
    assert (seen.unseen == alone.log.days[0].looks[0].unseen).all()
    # as looks of their own they are two passes, in which an insect can be missed twice
    apart = [look(0, "axils", adult, seconds=60), look(0, "axils", young, seconds=0)]
    assert len(gather(facts(apart), on(0), PARAMETERS).log.days[0].looks) == 2

"""Which plants get seconds of a round: rules, ties, and no better choice among all."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rounds.core.plan.call import PlantCall, Turn, ZoneCall
from rounds.core.plan.calls import Calls
from rounds.core.plan.calls import calls_of as calls_of_plants
from rounds.core.plan.effort import fill
from rounds.core.plan.offers import offers
from rounds.core.plan.split import Split, split
from rounds.core.plan.walk import Stop, walking_order
from rounds.core.plan.whole import LACKING_SHARE, MOST_LACKING
from tests.core.drawn_rounds import (
    ALIVE,
    DUE,
    FIRST,
    GAIN,
    NO_LIMITS,
    REFERENCE,
    SHARES,
    TURNS,
    all_alive_fit,
    calls_of,
    drawn,
    outbreak,
    prevents_less,
    turns_served,
    used,
    without_spare,
)

OWED = st.lists(st.sampled_from(TURNS), min_size=1, max_size=9)


def subsets(calls: Calls) -> Iterator[tuple[int, ...]]:
    others = np.flatnonzero(calls.turn == GAIN)
    for size in range(len(others) + 1):
        yield from combinations(others, size)


def best_of(calls: Calls, seconds: float, plants: np.ndarray) -> float:
    here = calls.zones_of(plants)
    zones = replace(calls.zones.take(here), least=calls.counts[here])
    left = seconds - calls.overhead[plants].sum()
    if left < zones.least.sum():
        return -np.inf
    return float(zones.prevented(fill(zones, left)).sum())


def offered(calls: Calls) -> list[int]:
    """The plants that come in where seconds are spare, in their order."""
    is_owed = calls.turn < GAIN
    return [offer.plant for offer in offers(calls, is_owed, calls.zones.least)]


@pytest.mark.parametrize("seed", range(25))
def test_no_choice_of_plants_finds_more_by_what_one_look_is_worth(seed: int) -> None:
    calls = replace(drawn(seed), shares=NO_LIMITS)
    seconds = float(np.random.default_rng(seed).uniform(250, 900))
    found = split(calls, seconds)
    assert found.owed_is_met
    must = calls.owed
    every = [best_of(calls, seconds, np.array([*must, *q], dtype=int)) for q in subsets(calls)]
    others = offered(calls)
    in_order = [
        best_of(calls, seconds, np.array([*must, *others[:number]]))
        for number in range(len(others) + 1)
    ]
    assert found.prevented == pytest.approx(max(in_order), abs=1e-8)
    # no choice is better than one that may hold a look in part, and this one lacks one part at most
    worth_of_look = calls.by_plant(calls.zones.prevented(calls.counts))[others].max()
    assert max(every) <= found.prevented + worth_of_look + 1e-9
    assert used(calls, found) <= seconds


def test_most_choices_are_the_best_of_all() -> None:
    same = 0
    for seed in range(40):
        calls = replace(drawn(seed, plants=5, due=1), shares=NO_LIMITS)
        seconds = 120.0 + 15 * seed
        every = max(
            best_of(calls, seconds, np.array([0, *some], dtype=int)) for some in subsets(calls)
        )
        same += split(calls, seconds).prevented >= every - 1e-8
    assert same >= 36


def test_what_is_due_gets_its_least_before_any_other_is_weighed() -> None:
    harm = np.full((4, 3, 3), 1e-6)
    harm[3] = 50.0
    calls = calls_of(harm, [DUE, DUE, DUE, GAIN])
    found = split(calls, 3 * (35 + 10) + 5)
    assert list(found.planned) == [True, True, True, False]
    assert found.seconds[:9] == pytest.approx(np.tile(REFERENCE / 2, 3), abs=5)
    assert list(split(calls, 3 * (35 + 10) + 60).planned) == [True] * 4


def test_who_does_not_fit_whole_waits_and_the_next_that_fits_is_looked_at() -> None:
    calls = calls_of(np.full((3, 3, 3), 0.1), [DUE, DUE, DUE])
    calls.floors[:3] *= 2
    found = split(calls, 100.0)
    assert calls.by_plant(found.seconds) == pytest.approx([0, 35, 35])
    assert not found.owed_is_met
    # where no look fits whole, one in part is better than none
    assert calls.by_plant(split(calls, 40.0).seconds) == pytest.approx([0, 30, 0], abs=1e-6)


def short_looks() -> Calls:
    """Three that are due, each with a walk of 10 and 35 seconds that do not count as a check."""
    calls = calls_of(np.full((3, 3, 3), 0.1), [DUE, DUE, DUE])
    return replace(calls, counts=1.5 * calls.floors)


def test_nobody_waits_because_a_moment_of_a_short_look_is_missing() -> None:
    calls = short_looks()
    found = split(calls, 3 * 45.0 - 0.6)
    assert calls.by_plant(found.seconds) == pytest.approx([34.8, 34.8, 34.8]), "each gives a third"
    assert found.owed_is_met
    assert list(split(calls, 3 * 45.0 - 1.1).planned) == [True, True, False], "more than a moment"
    alone = split(calls, 45.0 - 0.6)
    assert alone.seconds[:3] == pytest.approx(REFERENCE / 2 * (1 - 0.6 / 35))


def test_a_look_that_counts_gives_no_moment_away() -> None:
    calls = short_looks()
    counting = replace(calls, counts=calls.floors)
    assert list(split(counting, 3 * 45.0 - 0.6).planned) == [True, True, False]
    # it comes in where others can give it
    of_one = replace(calls, counts=np.where(calls.owner == 2, calls.floors, calls.counts))
    found = split(of_one, 3 * 45.0 - 0.6)
    assert calls.by_plant(found.seconds) == pytest.approx([34.7, 34.7, 35])


def test_whose_turn_has_come_does_not_wait_for_a_moment() -> None:
    calls = replace(short_looks(), turn=np.array([FIRST, FIRST, DUE], dtype=np.intp))
    assert turns_served(calls, split(calls, 89.2)) == [True, True]
    assert turns_served(calls, split(calls, 88.8)) == [True, False]


def test_whose_turn_has_come_gets_a_whole_look_before_the_small_ones() -> None:
    calls = calls_of(np.full((3, 3, 3), 0.1), [FIRST, DUE, DUE])
    calls.floors[:3] *= 2
    assert calls.by_plant(split(calls, 100.0).seconds) == pytest.approx([70, 0, 0])
    with_insects = calls_of(np.full((3, 3, 3), 0.1), [FIRST, ALIVE, DUE])
    with_insects.floors[:3] *= 2
    seconds = with_insects.by_plant(split(with_insects, 160.0).seconds)
    assert seconds[0] == pytest.approx(70, abs=1e-6)
    # half the minutes stay with insects that are known: then the turn is taken over several days
    short = with_insects.by_plant(split(with_insects, 100.0).seconds)
    assert 0 < short[0] < 70
    assert short[1] > 30


def test_an_alive_plant_that_does_not_fit_gets_its_best_zones() -> None:
    harm = np.full((2, 3, 3), 1e-3)
    harm[0, 1] = 2.0
    harm[0, 2] = 4.0
    calls = calls_of(harm, [ALIVE, DUE])
    seconds = without_spare(split(calls, 3 * 14.0)).seconds[:3]
    assert seconds == pytest.approx([0, 9, 5], abs=1e-6), "the pot rim first, then the undersides"
    calls.waits[0] = True
    seconds = without_spare(split(calls, 3 * 14.0)).seconds[:3]
    assert seconds == pytest.approx([14, 0, 0], abs=1e-6), "nobody has looked at it for long"


def test_whose_turn_has_come_and_fits_into_no_round_gets_its_best_zones() -> None:
    harm = np.full((2, 3, 3), 1e-3)
    harm[0, 2] = 4.0
    calls = calls_of(harm, [FIRST, DUE])
    found = split(calls, 10 + 22.0)
    assert found.seconds == pytest.approx([7, 10, 5, 0, 0, 0], abs=1e-6)


def test_what_was_seen_lately_is_not_owed_again() -> None:
    calls = calls_of(np.full((2, 3, 3), 0.1), [DUE, DUE])
    calls.floors[0] = 0.0
    assert split(calls, 25.0).seconds == pytest.approx([0, 10, 5, 0, 0, 0])


def test_what_comes_due_ahead_is_looked_at_while_there_is_time() -> None:
    calls = calls_of(np.full((6, 3, 3), 0.1), [DUE, *[GAIN] * 5])
    # each day has 100 seconds, of which half are counted on; five looks of 45 fall on one day
    calls = replace(calls, shares=replace(SHARES, later_seconds=100.0))
    at_once = replace(calls, latest_in=np.array([0, 2, 2, 2, 2, 2]))
    found = split(at_once, 100.0)
    assert calls.by_plant(found.seconds) == pytest.approx([35, 35, 0, 0, 0, 0])
    spread = replace(calls, latest_in=np.array([0, 1, 3, 5, 7, 9]))
    assert split(spread, 100.0).seconds[:3].sum() > 35, "what is left goes where it gains"


def test_nobody_is_brought_forward_while_one_that_is_due_waits() -> None:
    calls = calls_of(np.full((3, 3, 3), 0.1), [DUE, GAIN, GAIN])
    calls.floors[:3] *= 4
    ahead = replace(calls, latest_in=np.array([0, 1, 1]))
    assert list(split(ahead, 149.0).planned) == [True, False, False]
    assert not split(ahead, 149.0).owed_is_met


def test_those_with_insects_leave_what_keeps_the_others_from_starving() -> None:
    calls = calls_of(np.full((7, 3, 3), 0.1), [ALIVE, ALIVE, ALIVE, *[DUE] * 4])
    calls.floors[:9] *= 4
    ahead = replace(calls, turn_in=np.array([9, 9, 9, 3, 3, 3, 3]))
    # 45 seconds a day hold the four by the third day from now
    found = split(ahead, 300.0)
    assert calls.by_plant(found.seconds)[3:] == pytest.approx([35, 0, 0, 0])
    assert calls.by_plant(found.seconds)[:3] == pytest.approx([75, 75, 75], abs=1e-6)


@given(st.integers(0, 10_000), OWED, st.floats(60, 3000))
@settings(deadline=None)
def test_the_minutes_hold_with_walking_clean_hands_and_handling(
    seed: int, turns: list[Turn], seconds: float
) -> None:
    calls = outbreak(seed, turns)
    assert used(calls, split(calls, seconds)) <= seconds + 1e-6


@given(st.integers(0, 10_000), OWED, st.floats(60, 3000))
@settings(deadline=None)
def test_nobody_takes_more_than_a_third_while_others_lack_what_they_are_owed(
    seed: int, turns: list[Turn], seconds: float
) -> None:
    calls = outbreak(seed, turns)
    found = without_spare(split(calls, seconds))
    taken = calls.by_plant(calls.zones.spent(found.seconds))
    over = taken > np.maximum(seconds / 3, calls.needs) + 1e-6
    if len(calls.owed) > 1 and over.any():
        assert found.owed_is_met, "more than that only where nobody lacks what is owed"
    # whose turn has come gets a whole look all the same
    over = (taken > seconds / 3 + 1e-6) & (calls.turn != FIRST)
    if len(calls.owed) > 1 and over.any():
        is_alive = calls.turn == ALIVE
        could = calls.owed[is_alive[calls.owed] | (calls.needs <= seconds / 3)[calls.owed]]
        owed = np.minimum(calls.needs, seconds / 3)[could]
        assert (taken[could] >= owed - 1e-6).all()


@given(st.integers(0, 10_000), OWED, st.floats(60, 3000))
@settings(deadline=None)
def test_no_plant_is_looked_at_for_less_than_a_step(
    seed: int, turns: list[Turn], seconds: float
) -> None:
    calls = outbreak(seed, turns)
    found = split(calls, seconds)
    looked = calls.by_plant(found.seconds)[found.planned]
    assert (looked >= SHARES.least_seconds - 1e-6).all()


@given(st.integers(0, 10_000), OWED, st.floats(0, 3000))
@settings(deadline=None)
def test_no_known_live_plant_is_left_out_while_each_can_have_a_step(
    seed: int, turns: list[Turn], beyond: float
) -> None:
    calls = outbreak(seed, turns)
    alive = np.flatnonzero(calls.turn == ALIVE)
    # the shortest look at each, walking and clean hands, twice where half is left to who starves
    one_step = 4.0 + 4.0 * float((calls.zones.handling[:, None] * calls.zones.harm
                                  * calls.zones.rates).sum(axis=1).max())  # fmt: skip
    least = max(3 * one_step, 2 * float(alive.size * one_step + calls.overhead[alive].sum()))
    assert split(calls, least + beyond).planned[alive].all()


@given(st.integers(0, 10_000), OWED, st.floats(60, 2500), st.floats(1.0, 2.0), st.floats(60, 3000))
@settings(deadline=None, max_examples=200)
def test_more_minutes_never_prevent_less(
    seed: int, turns: list[Turn], seconds: float, more: float, later_seconds: float
) -> None:
    calls = outbreak(seed, turns, later_seconds)
    # where not even a step at each live plant fits, one more of these is worth any loss
    assume(all_alive_fit(calls, seconds))
    assert not prevents_less(calls, seconds, seconds * more)


@given(st.integers(0, 10_000), OWED, st.floats(60, 2500), st.floats(1.0, 2.0))
@settings(deadline=None)
def test_more_minutes_never_give_a_plant_with_insects_less_of_what_it_is_owed(
    seed: int, turns: list[Turn], seconds: float, more: float
) -> None:
    calls = outbreak(seed, turns)
    assume(all_alive_fit(calls, seconds))
    few, many = split(calls, seconds), split(calls, seconds * more)
    assume(turns_served(calls, many) == turns_served(calls, few))
    taken = [
        np.minimum(calls.by_plant(calls.zones.spent(found.seconds - found.spare)), calls.needs)
        for found in (few, many)
    ]
    assert (taken[1] >= taken[0] - 1e-6)[calls.turn == ALIVE].all()


def may_lack(calls: Calls) -> np.ndarray:
    """(P,): seconds that a look of its least seconds may lack, as it does not count anyway."""
    counts = calls.by_plant((calls.floors >= calls.counts - 1e-9).astype(float)) > 0
    least = LACKING_SHARE * calls.by_plant(calls.zones.spent(calls.floors))
    return np.where(counts, 0.0, np.minimum(MOST_LACKING, least))


@given(st.integers(0, 10_000), OWED, st.floats(60, 3000))
@settings(deadline=None)
def test_who_is_due_without_insects_gets_a_whole_look_or_waits(
    seed: int, turns: list[Turn], seconds: float
) -> None:
    calls = outbreak(seed, turns)
    found = split(calls, seconds)
    taken = calls.by_plant(calls.zones.spent(found.seconds))
    others = np.flatnonzero(found.planned & (calls.turn != GAIN) & (calls.turn != ALIVE))
    in_part = others[taken[others] < (calls.needs - may_lack(calls))[others] - 1e-6]
    if len(in_part):
        # no round of so many seconds holds it, or no other one
        assert len(others) == 1
        assert calls.turn[in_part[0]] == FIRST or found.planned.sum() == 1


@given(st.integers(0, 10_000), OWED, st.floats(60, 3000))
@settings(deadline=None)
def test_nobody_who_is_due_waits_for_seconds_that_would_hold_a_whole_look(
    seed: int, turns: list[Turn], seconds: float
) -> None:
    calls = outbreak(seed, turns)
    found = without_spare(split(calls, seconds))
    if found.owed_is_met:
        return
    kept = float(calls.by_plant(calls.zones.spent(found.seconds))[calls.turn == ALIVE].sum())
    waits = [plant for plant in calls.owed if not found.planned[plant]]
    assume(all_alive_fit(calls, seconds))
    left = seconds - max(used(calls, found), kept)
    for plant in waits:
        looked = np.append(np.flatnonzero(found.planned), plant)
        more = calls.overhead_of(looked) - calls.overhead_of(np.flatnonzero(found.planned))
        assert calls.needs[plant] + more > left - 1e-6


def smallest_of(calls: Calls, plants: list[int]) -> int:
    """The plant that takes least; of equal ones one that may lack a moment."""
    lacks = may_lack(calls) > 0
    sizes = calls.needs + calls.overhead
    return min(plants, key=lambda plant: (round(float(sizes[plant]), 6), not lacks[plant]))


def comes_in_for_a_moment(calls: Calls, found: Split, plant: int, left: float) -> bool:
    """Whether one more fits into what is left where short looks give a moment, and finds more."""
    planned = np.flatnonzero(found.planned)
    looked = np.append(planned, plant)
    lacks = calls.needs[plant] + calls.overhead_of(looked) - calls.overhead_of(planned) - left
    short = looked[(may_lack(calls) > 0)[looked] & (calls.turn != ALIVE)[looked]]
    here = calls.zones_of(short)
    zones, least = calls.zones.take(here), calls.floors[here]
    if lacks > min(MOST_LACKING, LACKING_SHARE * float(least.sum())) - 1e-6:
        return False
    given = least * (1 - lacks / float(least.sum()))
    loss = float((zones.prevented(least) - zones.prevented(given)).sum())
    return float(calls.by_plant(calls.zones.prevented(calls.floors))[plant]) > loss + 1e-9


@given(st.integers(0, 10_000), OWED, st.floats(0.3, 1), st.floats(0, 1))
@settings(deadline=None)
def test_nobody_who_is_due_waits_for_a_moment_that_short_looks_can_give(
    seed: int, turns: list[Turn], share: float, lacks: float
) -> None:
    calls = outbreak(seed, [DUE if turn == FIRST else turn for turn in turns])
    # of what all who are due need
    seconds = share * float(calls.needs[calls.owed].sum() + calls.overhead_of(calls.owed))
    assume(all_alive_fit(calls, seconds))
    found = without_spare(split(calls, seconds))
    waits = [plant for plant in calls.owed if not found.planned[plant]]
    assume(waits and found.planned.any())
    # so many seconds more that the smallest of them would lack a part of what short looks can give
    smallest = smallest_of(calls, waits)
    looked = np.append(np.flatnonzero(found.planned), smallest)
    is_short = (may_lack(calls) > 0) & (calls.turn != ALIVE)
    short = float(calls.by_plant(calls.floors)[looked][is_short[looked]].sum())
    more = calls.overhead_of(looked) - calls.overhead_of(np.flatnonzero(found.planned))
    wanted = used(calls, found) + more + float(calls.needs[smallest])
    nearly = wanted - lacks * min(MOST_LACKING, LACKING_SHARE * short)
    assume(nearly >= seconds)
    again = without_spare(split(calls, nearly))
    assert used(calls, again) <= nearly + 1e-6
    waits = [plant for plant in calls.owed if not again.planned[plant]]
    if waits:
        left = nearly - used(calls, again)
        assert not comes_in_for_a_moment(calls, again, smallest_of(calls, waits), left)


@given(st.integers(0, 10_000), OWED)
@settings(deadline=None)
def test_the_minutes_told_hold_all_that_is_due_and_no_fewer_do(
    seed: int, turns: list[Turn]
) -> None:
    calls = outbreak(seed, turns)
    needed = calls.needed_seconds
    found = split(calls, needed + 1e-6)
    assert (calls.by_plant(found.seconds) >= calls.by_plant(calls.zones.least) - 1e-6).all()
    if needed:
        fewer = split(calls, needed * 0.99)
        owed = calls.by_plant(fewer.seconds)[calls.owed]
        assert (owed < calls.by_plant(calls.zones.least)[calls.owed] - 1e-9).any()


@given(st.integers(0, 10_000))
@settings(deadline=None, max_examples=20)
def test_the_same_plants_give_the_same_split(seed: int) -> None:
    one, other = split(drawn(seed), 400.0), split(drawn(seed), 400.0)
    assert (one.seconds == other.seconds).all()


def test_plants_that_gain_as_much_come_in_by_code() -> None:
    harm = np.full((5, 3, 3), 0.3)
    codes = ["g14", "G02", "S03", "G05", "G04"]
    calls = calls_of(harm, [GAIN] * 5, codes)
    assert [codes[plant] for plant in offered(calls)] == ["G02", "G04", "G05", "g14", "S03"]
    planned = split(calls, 90.0).planned
    assert [code for code, is_in in zip(codes, planned, strict=True) if is_in] == ["G02", "G04"]


def test_a_look_that_nearly_counts_is_made_to_count_first_where_none_ever_did() -> None:
    calls = calls_of(np.full((3, 3, 3), 0.1), [DUE, DUE, DUE])
    calls = replace(calls, counts=1.5 * calls.floors, unchecked=np.array([3, 99, 20]),
                    shares=NO_LIMITS)  # fmt: skip
    owed = 3 * (35 + 10.0)
    assert calls.by_plant(split(calls, owed + 17.5).seconds) == pytest.approx([35, 52.5, 35])
    assert calls.by_plant(split(calls, owed + 35.0).seconds) == pytest.approx([35, 52.5, 52.5])
    # the last one zone after zone, as far as the seconds go
    assert split(calls, owed + 17.5 + 12.0).seconds[6:] == pytest.approx([30, 12, 5])


@given(st.integers(0, 10_000), OWED, st.floats(60, 3000))
@settings(deadline=None)
def test_who_is_not_due_gets_a_whole_look_or_none(
    seed: int, turns: list[Turn], seconds: float
) -> None:
    calls = outbreak(seed, turns)
    calls = replace(calls, latest_in=np.where(calls.turn == GAIN, 99, 0))
    found = split(calls, seconds)
    assume(found.planned.sum() > 1)
    least = np.where(calls.wants_full[calls.owner], calls.counts, calls.floors)
    looked = found.planned[calls.owner] & (calls.turn == GAIN)[calls.owner]
    assert (found.seconds >= least - 1e-6)[looked].all()
    # nobody gets a little more than a short look, and less than one that counts
    more = calls.by_plant((found.seconds > calls.floors + 1e-6).astype(float)) > 0
    counts = calls.by_plant((found.seconds < calls.counts - 1e-6).astype(float)) == 0
    assert counts[found.planned & more & (calls.turn == GAIN)].all()


@given(st.integers(0, 10_000), OWED, st.floats(60, 3000))
@settings(deadline=None)
def test_no_look_is_longer_than_usual_while_others_lack_one_that_counts(
    seed: int, turns: list[Turn], seconds: float
) -> None:
    calls = outbreak(seed, turns)
    found = split(calls, seconds)
    if not found.planned.all():
        taken = calls.by_plant(calls.zones.spent(found.seconds))
        calm = calls.turn != ALIVE
        assert (taken <= np.maximum(calls.usual, calls.needs) + 1e-6)[calm].all()


def test_where_nothing_can_be_found_nobody_comes_in() -> None:
    calls = calls_of(np.zeros((2, 3, 3)), [DUE, GAIN])
    found = split(calls, 1000.0)
    assert list(found.planned) == [True, False]
    assert found.seconds.sum() == pytest.approx(35)


def test_the_walk_goes_from_the_clean_side_to_the_worst() -> None:
    stops = [
        Stop(0, "quarantine", 0.2),
        Stop(1, "collection", 0.9),
        Stop(2, "alive", 0.1),
        Stop(3, "quarantine", 0.8),
        Stop(4, "watch", 0.9),
        Stop(5, "collection", 0.99),
    ]
    assert walking_order(stops) == [1, 5, 4, 2, 3, 0]


def test_a_plant_whose_pest_has_fewer_stages_gets_what_it_would_get_alone() -> None:
    found = (0.05, 0.35, 0.80)
    of_three = PlantCall(
        "G02", ALIVE, 0, 9, 5.0, 0.0, [ZoneCall((0.1, 0.3, 0.2), 40.0, 20.0)], found
    )
    of_two = PlantCall("S03", ALIVE, 0, 9, 5.0, 0.0, [ZoneCall((0.1, 0.3), 40.0, 20.0)], found[:2])
    none_of_the_third = replace(
        of_two, zones=[ZoneCall((0.1, 0.3, 0.0), 40.0, 20.0)], found_in_reach=found
    )
    seconds = [
        split(calls_of_plants([of_three, other], SHARES), 160.0).seconds
        for other in (of_two, none_of_the_third)
    ]
    assert seconds[0] == pytest.approx(seconds[1])
    assert (seconds[0] > 20).all()

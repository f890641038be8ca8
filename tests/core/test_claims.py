"""What a plant is owed: which claim, by when, for how long; and that nobody starves."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rounds.core.plan.call import PlantCall, Shares, Turn, ZoneCall
from rounds.core.plan.calls import calls_of
from rounds.core.plan.claims import Claim, ClaimFacts, Exposed, Exposure, claim_of
from rounds.core.plan.split import split
from rounds.service.logbook.parameters import load_parameters

PLANNING = load_parameters().planning
RULES = PLANNING.claims
TODAY = date(2026, 5, 4)
NOTHING = ClaimFacts("collection", TODAY - timedelta(90), None, None, False, None, None, None)


def before(days: int) -> date:
    return TODAY - timedelta(days)


def claim(next_on: date = TODAY + timedelta(1), **facts: Any) -> Claim:
    return claim_of(replace(NOTHING, **facts), TODAY, next_on, RULES)


@pytest.mark.parametrize(
    ("facts", "code", "latest", "is_due"),
    [
        ({"gone_over_on": before(6)}, "unseen", before(-1), False),
        ({"gone_over_on": before(7)}, "unseen", TODAY, True),
        ({"standing": "watch", "gone_over_on": before(3)}, "watch", before(-1), False),
        ({"standing": "watch", "gone_over_on": before(4)}, "watch", TODAY, True),
        ({"standing": "quarantine", "gone_over_on": before(3)}, "clearing", TODAY, True),
        ({"standing": "quarantine", "since": TODAY}, "clearing", TODAY, True),
        ({"found_on": before(7), "gone_over_on": before(1)}, "alive", TODAY, True),
        ({"found_on": before(8), "gone_over_on": before(1)}, "unseen", before(-6), False),
        ({"found_on": before(40), "is_left": True, "gone_over_on": before(2)}, "alive",
         before(1), True),
        ({"found_on": TODAY, "gone_over_on": TODAY}, "alive", before(-1), False),
        ({"standing": "quarantine", "found_on": before(7), "gone_over_on": before(1)}, "alive",
         TODAY, True),
        ({"found_on": before(30), "gone_over_on": before(1), "chance_clean": 0.03}, "alive",
         TODAY, True),
        ({"found_on": before(30), "gone_over_on": before(1), "chance_clean": 0.9}, "unseen",
         before(-6), False),
        ({"gone_over_on": before(1), "chance_clean": 0.03}, "unseen", before(-6), False),
    ],
)  # fmt: skip
def test_a_claim_has_its_latest_day(
    facts: dict[str, Any], code: str, latest: date, is_due: bool
) -> None:
    found = claim(**facts)
    assert (found.code, found.latest_on, found.is_due) == (code, latest, is_due)


def test_who_is_known_to_be_infested_comes_before_who_probably_is() -> None:
    probable = claim(found_on=before(30), gone_over_on=before(5), chance_clean=0.03)
    known = claim(found_on=before(1), gone_over_on=before(1), chance_clean=0.9)
    assert (probable.is_probable, known.is_probable) == (True, False)
    assert known.order < probable.order < claim(gone_over_on=before(15)).order


def test_who_was_near_a_find_is_due_at_once() -> None:
    exposure = Exposure("bench", "G06", TODAY, TODAY)
    found = claim(gone_over_on=before(1), exposure=exposure)
    assert (found.code, found.latest_on, found.is_due) == ("near", before(-2), True)
    assert found.in_one_go
    assert found.share == pytest.approx(1 / 3)


def test_of_two_claims_the_first_is_told_and_the_longer_look_is_owed() -> None:
    exposure = Exposure("place", "S03", before(1), before(1))
    found = claim(standing="quarantine", gone_over_on=before(4), exposure=exposure)
    assert (found.code, found.share, found.in_one_go) == ("near", 0.5, False)
    assert found.latest_on == before(1), "the earlier of the two"


def test_clearing_is_due_sooner_where_looks_would_hold_it_up() -> None:
    facts: dict[str, Any] = {"standing": "quarantine", "gone_over_on": before(2)}
    assert not claim(**facts).is_due
    assert claim(**facts, looks_by=before(1)).is_due


def test_signs_bring_a_plant_forward_from_day_to_day() -> None:
    assert claim(gone_over_on=before(1), sign_on=before(3)).is_due
    assert not claim(gone_over_on=TODAY, sign_on=before(3)).is_due
    assert not claim(gone_over_on=before(1)).is_due


def test_before_days_away_all_is_due_that_would_not_wait_for_the_return() -> None:
    facts: dict[str, Any] = {"gone_over_on": before(2)}
    assert not claim(**facts).is_due
    assert claim(**facts, next_on=TODAY + timedelta(6)).is_due


def test_the_order_is_alive_starving_near_then_by_days_past() -> None:
    touching, place = (Exposure(how, "G06", TODAY, TODAY) for how in ("touching", "place"))
    in_order = [
        claim(found_on=before(4), gone_over_on=before(3)),
        claim(found_on=before(1), gone_over_on=before(1)),
        claim(gone_over_on=before(15)),
        claim(gone_over_on=before(3), exposure=touching),
        claim(gone_over_on=before(3), exposure=place),
        claim(gone_over_on=before(8)),
        claim(standing="quarantine", gone_over_on=before(3)),
        claim(gone_over_on=before(6)),
    ]
    orders = [found.order for found in in_order]
    assert orders == sorted(orders)
    assert len(set(orders)) == len(orders)


def test_beside_a_find_two_days_ago_a_plant_comes_before_those_that_starve() -> None:
    starving = claim(gone_over_on=before(9)).order
    cases: list[tuple[Exposed, int, bool]] = [
        ("spot", 1, False), ("spot", 2, True), ("touching", 5, True), ("bench", 5, False),
    ]  # fmt: skip
    for how, days, is_first in cases:
        near = Exposure(how, "G06", before(days), before(days))
        assert (claim(gone_over_on=before(6), exposure=near).order < starving) == is_first


def test_a_turn_comes_after_nine_days_sooner_in_quarantine_at_once_beside_a_find() -> None:
    assert not claim(gone_over_on=before(8)).has_turn
    assert claim(gone_over_on=before(9)).has_turn
    assert not claim(standing="quarantine", gone_over_on=before(5)).has_turn
    assert claim(standing="quarantine", gone_over_on=before(6)).has_turn
    assert claim(standing="watch", gone_over_on=before(8)).has_turn
    assert claim(standing="quarantine", since=TODAY).has_turn
    beside = Exposure("place", "G06", TODAY, before(1))
    assert claim(standing="quarantine", gone_over_on=before(6), exposure=beside).has_turn
    assert not claim(found_on=before(1), gone_over_on=before(12)).has_turn, "it comes before all"
    by_how: dict[Exposed, bool] = {"touching": True, "spot": True, "bench": False, "place": False}
    for how, is_beside in by_how.items():
        near = Exposure(how, "G06", TODAY, TODAY)
        assert claim(gone_over_on=before(1), exposure=near).has_turn == is_beside


@dataclass
class Pot:
    """A plant of a simulated collection, as far as a plan knows it."""

    facts: ClaimFacts
    reference: float


def looked_at(pots: list[Pot], on: date, seconds: float) -> set[int]:
    """Who is gone over on a day, by number, in so many seconds."""
    claims = [claim_of(pot.facts, on, on + timedelta(1), RULES) for pot in pots]
    order = sorted(range(len(pots)), key=lambda number: (claims[number].order, number))
    calls = calls_of([_call(number, pots[number], claims[number]) for number in order], SHARES)
    found = split(calls, seconds)
    looked = calls.by_plant(found.seconds)
    return {
        number
        for place, number in enumerate(order)
        if looked[place] >= RULES.gone_over_share * pots[number].reference
    }


SHARES = Shares(
    3.0,
    RULES.most_share,
    RULES.alive_share,
    RULES.ahead_share,
    PLANNING.step_least_seconds,
    later_seconds=600.0,
)


def _call(number: int, pot: Pot, owed: Claim) -> PlantCall:
    turn = Turn.GAIN
    if owed.is_due:
        turn = Turn.ALIVE if owed.code == "alive" else Turn.DUE
        turn = Turn.FIRST if owed.has_turn else turn
    shares = (0.5, 0.3, 0.2)
    least = owed.share
    is_alive = owed.code == "alive"
    zones = [
        ZoneCall((0.2 + 3.0 * is_alive,), share * pot.reference, least * share * pot.reference,
                 0.5 * share * pot.reference, 4.0 * is_alive)
        for share in shares
    ]  # fmt: skip
    walk = 25.0 if is_alive or pot.facts.standing == "quarantine" else 5.0
    return PlantCall(
        f"P{number:02}", turn, owed.days_left, owed.starves_in_days, walk, walk, zones, (0.6,)
    )


START = TODAY
SEEDS, ALIVE = st.integers(0, 10_000), st.integers(0, 3)


def shelf_of_24(seed: int) -> list[Pot]:
    """Plants of all sizes, each gone over within the last week."""
    rng = np.random.default_rng(seed)
    sizes = rng.permutation([60.0] * 8 + [180.0] * 14 + [360.0] * 2)
    return [Pot(replace(NOTHING, gone_over_on=START - timedelta(int(rng.integers(7)))), size)
            for size in sizes]  # fmt: skip


def morning(pots: list[Pot], on: date, alive: int) -> None:
    """The first are in quarantine and found alive on daily; the others stand near them."""
    for number, pot in enumerate(pots):
        seen = pot.facts.gone_over_on
        if number < alive:
            found = max(START + timedelta(1), on - timedelta(1))
            pot.facts = replace(pot.facts, found_on=found, standing="quarantine")
        elif alive and (seen is None or seen < on):
            since = seen + timedelta(1) if seen else START
            pot.facts = replace(pot.facts, exposure=Exposure("place", "P00", since, since))


def walked(pots: list[Pot], on: date, minutes: float) -> None:
    for number in looked_at(pots, on, minutes * 60):
        pots[number].facts = replace(pots[number].facts, gone_over_on=on, exposure=None)


@given(SEEDS, ALIVE, st.sampled_from([8.0, 10.0, 15.0]))
@settings(deadline=None, max_examples=12)
def test_nobody_starves_over_forty_days(seed: int, alive: int, minutes: float) -> None:
    """24 plants on one shelf, of which up to three have insects all the time."""
    pots = shelf_of_24(seed)
    for day in range(1, 41):
        on = START + timedelta(day)
        morning(pots, on, alive)
        walked(pots, on, minutes)
        for number, pot in enumerate(pots):
            assert pot.facts.gone_over_on is not None
            assert (on - pot.facts.gone_over_on).days <= 14, f"P{number:02}"


@given(SEEDS, ALIVE, st.integers(1, 15), st.sampled_from([8.0, 10.0]))
@settings(deadline=None, max_examples=12)
def test_a_new_arrival_is_looked_at_on_its_first_days(
    seed: int, alive: int, comes: int, minutes: float
) -> None:
    pots = shelf_of_24(seed)
    came = START + timedelta(comes)
    for day in range(1, comes + 3):
        on = START + timedelta(day)
        if on == came:
            new = replace(NOTHING, standing="quarantine", since=on, gone_over_on=None)
            pots.append(Pot(new, 180.0))
        morning(pots[:24], on, alive)
        walked(pots, on, minutes)
    assert pots[24].facts.gone_over_on is not None

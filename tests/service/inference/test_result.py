"""What is said of a plant: likely clean, its band, how many are left, the risk, who is first."""

from datetime import date, timedelta
from itertools import pairwise
from random import Random

import pytest

from rounds.core.inference.answer import WIDE_FROM
from rounds.core.inference.evidence import gather
from rounds.core.inference.left import interval
from rounds.service.entries.corrections import withdraw
from rounds.service.inference.day import records
from rounds.service.inference.together import in_order
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.status import status_of
from tests.core.inference.asked import left_distribution

from .asking import TODAY, Add, LookIn, before, chance, exact, found_three, record


@pytest.fixture
def six_plants(add: Add, look: LookIn, logbook: Logbook) -> None:
    """Never looked at, clean, left infested, found once, doubted, and one that has just come."""
    for code in ("G02", "G04", "G05", "G11"):
        add(code, on=before(40))
    add("S03", place="stair foot", arrived=before(25), on=before(25))
    add("S09", place="stair foot", arrived=TODAY, source="fair")
    for days in (20, 12, 6, 1):
        look("G04", before(days))
    look("G05", before(9), "axils", seconds=40, counts={"left": 3})
    look("G11", before(3), "undersides", seconds=30, counts={"doubtful": 1})
    found_three(logbook, "S03", before(25))
    look("S03", before(4))


def test_every_figure_is_one_that_can_be(six_plants: None, logbook: Logbook) -> None:
    found = records(logbook, TODAY)
    assert len(found) == 6
    for plant in found:
        status = status_of(plant)
        clean, band, left, risk = status.chance_clean, status.band, status.left, status.risk
        assert clean is not None
        assert band is not None
        assert left is not None
        assert risk is not None
        assert 0 <= band.low <= clean <= band.high <= 1
        assert status.method == "exact"
        assert 0 <= left.low <= left.high
        assert left.mean > 0
        assert 0 < risk.value < 100
        assert sum(part.value for part in risk.parts) == pytest.approx(risk.value, rel=1e-12)
        assert [p.value for p in risk.parts] == sorted((p.value for p in risk.parts), reverse=True)


def test_what_is_left_is_shared_among_the_zones(six_plants: None, logbook: Logbook) -> None:
    for plant in records(logbook, TODAY):
        by_zone = plant.likely.left_by_zone
        assert list(by_zone) == [zone.zone for zone in plant.body.zones]
        assert sum(by_zone.values()) == pytest.approx(plant.likely.left.mean, rel=1e-12)
        assert min(by_zone.values()) > 0
    at = record(logbook, "G05").likely.left_by_zone
    assert at["axils"] > at["undersides"] > at["medium"], "they were left in the axils"


def test_the_interval_of_what_is_left_holds_nine_in_ten(six_plants: None, logbook: Logbook) -> None:
    for plant in records(logbook, TODAY):
        log = gather(plant.likely.facts, TODAY, plant.parameters).log
        of_count = left_distribution(log)
        left = plant.likely.left
        if left.mean > WIDE_FROM:
            # from two moments, as of very many: near the ends that every number gives
            ends = interval(of_count)
            assert left.high == pytest.approx(ends.high, rel=0.15)
            assert left.low == pytest.approx(ends.low, abs=0.15 * left.mean)
            continue
        assert of_count[left.low : left.high + 1].sum() >= 0.9 - 1e-3
        assert left.high == 0 or of_count[: left.high].sum() < 0.95 + 1e-3


def test_the_figure_is_that_of_the_log(six_plants: None, logbook: Logbook) -> None:
    for code in ("G02", "G04", "G05", "G11", "S03", "S09"):
        assert chance(logbook, code) == pytest.approx(exact(logbook, code), rel=1e-12)
    ranked = sorted(("G05", "S03", "G04"), key=lambda code: chance(logbook, code))
    assert ranked == ["G05", "S03", "G04"]


def test_left_alive_it_is_not_clean(add: Add, look: LookIn, logbook: Logbook) -> None:
    add("G02", on=before(40))
    look("G02", TODAY, "axils", seconds=40, counts={"left": 1})
    assert chance(logbook, "G02") == pytest.approx(0, abs=1e-12)
    assert record(logbook, "G02").likely.left.low == 1


@pytest.mark.parametrize("kind", ["removed", "left"])
@pytest.mark.parametrize("count", [40, 400, 5000])
def test_many_found_do_not_leave_a_plant_looking_clean(
    add: Add, look: LookIn, logbook: Logbook, kind: str, count: int
) -> None:
    add("S03", place="stair foot", arrived=before(20), on=before(20))
    look("S03", before(6), "axils", seconds=120, counts={kind: count})
    for days in (5, 3, 1):
        look("S03", before(days))
    likely = record(logbook, "S03").likely
    assert 0 <= likely.band.low <= likely.chance_clean <= likely.band.high < 1e-6
    assert likely.left.low >= 5
    assert likely.risk.word == "look first"


def test_the_interval_goes_with_the_mean_beside_it(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S03", place="stair foot", arrived=before(20), on=before(20))
    look("S03", before(15), "medium", seconds=60, counts={"killed": 300}, stage="egg-mass")
    for days in (14, 10, 6, 2):
        look("S03", before(days))
    left = record(logbook, "S03").likely.left
    assert left.low <= left.mean <= left.high


def test_what_is_due_comes_first_then_the_greatest_risk(six_plants: None, logbook: Logbook) -> None:
    found = in_order(records(logbook, TODAY))
    orders = [plant.claim.order for plant in found]
    assert orders == sorted(orders)
    assert [plant.claim.is_due for plant in found] == sorted(
        (plant.claim.is_due for plant in found), reverse=True
    )
    for first, second in pairwise(found):
        if first.claim.order == second.claim.order:
            assert first.likely.risk.value >= second.likely.risk.value
    assert not found[-1].claim.is_due


# More looking, and finding nothing, never tells against a plant; a find never speaks for it.


def _looks_before(chance_of: Random, look: LookIn, code: str) -> None:
    """Two weeks of looks, some of them finds; all that was found was taken off."""
    for days in range(14, 0, -1):
        draw = chance_of.random()
        zone = chance_of.choice(["axils", "undersides", "sheaths", "pot-rim"])
        if draw < 0.15:
            look(code, before(days), zone, seconds=30, counts={"removed": chance_of.randint(1, 2)})
        elif draw < 0.3:
            look(code, before(days), zone, seconds=chance_of.uniform(2, 40))
        elif draw < 0.5:
            look(code, before(days), seconds=chance_of.uniform(20, 120))


@pytest.mark.parametrize("seed", range(6))
def test_more_seconds_or_zones_never_lower_the_chance_and_a_find_never_raises_it(
    add: Add, look: LookIn, logbook: Logbook, seed: int
) -> None:
    draw = Random(seed)
    if seed % 2:
        add("G02", on=before(14), arrived=before(14), place="stair foot")
    else:
        add("G02", on=before(30))
    _looks_before(draw, look, "G02")

    def after(*zones: str, **said: object) -> float:
        written = look("G02", TODAY, *zones, **said)
        said_now = chance(logbook, "G02")
        for entry in written.look_ids:
            withdraw(logbook, local_noon(TODAY), entry)
        return said_now

    not_looked = chance(logbook, "G02")
    seconds = [after("axils", "sheaths", seconds=s) for s in (3, 10, 25, 60)]
    zones = [
        after(*some, seconds=8.0 * len(some))
        for some in (("axils",), ("axils", "undersides"), ("axils", "undersides", "stem-base"))
    ]
    for grows in ([not_looked, *seconds], [not_looked, *zones]):
        assert grows == sorted(grows)
        assert grows[0] < grows[-1] or grows[-1] == pytest.approx(0, abs=1e-12)
    for kind in ("removed", "killed", "left"):
        for zone in ("axils", "medium"):
            clean = after(zone, seconds=20)
            # as much looking as without the find
            assert after(zone, seconds=28, counts={kind: 1}) <= clean + 1e-12
    assert chance(logbook, "G02") == not_looked, "all of it was taken back"


def test_what_was_known_to_be_there_and_is_taken_off_leaves_it_cleaner(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    # the one exception: after one was left there, to find none means that it hides
    for code in ("G02", "G07"):
        add(code, on=before(30))
        look(code, before(2), "axils", seconds=30, counts={"left": 1})
    look("G02", TODAY, "axils", seconds=30)
    look("G07", TODAY, "axils", seconds=38, counts={"removed": 1})
    assert chance(logbook, "G02") < 0.1 < 0.4 < chance(logbook, "G07")


def test_a_roots_look_counts_only_out_of_the_pot(add: Add, look: LookIn, logbook: Logbook) -> None:
    add("G02", on=before(30))
    add("G07", on=before(30), clear_pot=True)
    not_looked = [chance(logbook, code) for code in ("G02", "G07")]
    look("G02", TODAY, "roots", seconds=120)
    look("G07", TODAY, "roots", seconds=120)
    assert chance(logbook, "G02") == not_looked[0]
    assert chance(logbook, "G07") > not_looked[1]
    look("G02", TODAY, "roots", seconds=120, unpotted=True)
    assert chance(logbook, "G02") == pytest.approx(chance(logbook, "G07"), rel=1e-12)


def test_days_without_looks_move_it_little_and_apart_less(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G02", on=before(60))
    add("G07", on=before(60), place="stair foot")
    for days in range(60, 10, -1):
        look("G02", before(days))
        look("G07", before(days))
    at_last = [chance(logbook, code, before(11)) for code in ("G02", "G07")]
    now = [chance(logbook, code) for code in ("G02", "G07")]
    # about eleven days of arrivals: 1e-3 a day in the collection, 2e-4 apart
    for was, is_, a_day in zip(at_last, now, (1e-3, 2e-4), strict=True):
        assert 0 < was - is_ < 11 * a_day * 1.01
    assert at_last[0] - now[0] > 3 * (at_last[1] - now[1])


# What was known then.


def test_of_a_past_day_is_said_what_was_said_that_day(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G02", on=before(20))
    add("G05", on=before(20), touches=("G02",))
    add("S03", place="stair foot", arrived=before(20), on=before(20))
    said: list[tuple[str, date, object]] = []
    for days in range(20, -1, -1):
        if days % 4 == 0:
            look("G02", before(days))
            look("S03", before(days))
        if days == 13:
            found_three(logbook, "S03", before(days))
        if days == 9:
            look("G05", before(days), "axils", seconds=40, counts={"left": 2})
        if days % 3 == 0:
            said += [(c, before(days), status_of(record(logbook, c, before(days))))
                     for c in ("G02", "G05", "S03")]  # fmt: skip
    for code, day, status in said:
        assert status_of(record(logbook, code, day)) == status
    assert len({repr(status) for _, _, status in said}) == len(said), "none was like another"


def test_ten_days_from_now_are_as_if_nobody_had_looked(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("G02", on=before(20))
    look("G02", TODAY)
    ahead = TODAY + timedelta(10)
    not_looked = chance(logbook, "G02", ahead)
    assert not_looked < chance(logbook, "G02")
    look("G02", ahead)
    assert chance(logbook, "G02", ahead) > not_looked

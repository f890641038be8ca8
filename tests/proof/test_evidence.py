"""The seasons of `tests/bench/evidence`: insects, rounds, habits, and the sums over seasons."""

from pathlib import Path

import pytest

from rounds.service.logbook.parameters import load_parameters
from tests.bench.evidence.__main__ import PAGE, TEXT, main
from tests.bench.evidence.compare import alone, beside
from tests.bench.evidence.habits import APART_30, CLEAN_42, FixedOrder, Rule, Weekly, WorstFirst
from tests.bench.evidence.ledger import Ledger
from tests.bench.evidence.records import APART, Decisions, Look, Pot, Stand, Visit
from tests.bench.evidence.study import read
from tests.bench.evidence.tables import GOALS, MEASURES
from tests.bench.evidence.truths import TRUTHS, Truth
from tests.bench.evidence.walk import Hands, walk
from tests.bench.evidence.world import House, World

PARAMETERS = load_parameters()
HANDS = Hands.of(PARAMETERS)
INFESTED = House(plants=9, infested=0.8)


def world(seed: int = 1, truth: Truth = TRUTHS["defaults"], house: House = INFESTED) -> World:
    made = World(PARAMETERS, truth, house, seed)
    made.begins()
    return made


def insects(of: World) -> dict[str, int]:
    return {code: of.insects(code) for code in of.pots}


def test_two_growers_meet_the_same_insects_until_one_takes_some_off() -> None:
    one, other = world(), world()
    clean = next(code for code, number in insects(one).items() if not number)
    for day in range(1, 12):
        for each in (one, other):
            each.live(day)
        one.look(day, 0, clean, "axils", 0.0)
    assert insects(one) == insects(other)
    assert sum(insects(one).values()) > 0
    assert insects(one) != insects(world(seed=2))


def test_what_is_found_is_gone_and_nothing_else() -> None:
    house = world()
    for code, before in insects(house).items():
        found = [house.look(0, n, code, zone, 500.0) for n, zone in enumerate(("axils", "roots"))]
        assert house.insects(code) == before - sum(look.count for look in found)
    assert sum(insects(house).values()) < sum(insects(world()).values())


def test_nothing_is_found_where_nothing_can_be() -> None:
    house = world(truth=Truth("nothing is found", detection=0.0))
    assert not any(house.look(0, 0, code, "axils", 500.0).count for code in house.pots)


def test_plants_are_bought_one_by_one_or_five_at_a_time() -> None:
    one, five = world(), world(truth=TRUTHS["deliveries"])
    assert [day for day in range(120) if one.bought(day)] == list(range(15, 120, 15))
    assert [day for day in range(120) if len(five.bought(day)) == 5] == [15, 90]
    assert all(one.stands[code].place == APART for code in list(one.pots)[9:])


def test_a_round_ends_where_the_next_zone_does_not_fit() -> None:
    house = world(house=House(plants=3, infested=0.0))
    first, second, _ = house.pots
    visits = [Visit(first, (("axils", 10.0), ("medium", 4.0))), Visit(second, (("axils", 10.0),))]

    def walked(seconds: float) -> tuple[int, float]:
        found = walk(house, 0, visits, seconds, HANDS, {})
        return len(found.looks), found.seconds

    assert walked(9.0) == (0, 0.0)
    assert walked(13.0) == (1, 10.0)
    assert walked(28.0) == (2, 14.0)
    assert walked(29.0) == (3, 29.0)


def test_hands_are_cleaned_and_finds_handled_within_the_minutes() -> None:
    house = world(house=House(plants=3, infested=0.0))
    first, second, _ = house.pots
    visits = [Visit(first, (("axils", 10.0),)), Visit(second, (("axils", 10.0),))]
    assert walk(house, 0, visits, 45.0, HANDS, {first: -5}).seconds == 45.0
    assert walk(house, 0, visits, 45.0, HANDS, {first: -31}).seconds == 25.0
    busy = world()
    visits = [Visit(code, (("axils", 60.0),)) for code in busy.pots]
    found = walk(busy, 0, visits, 1e6, HANDS, {})
    looked = sum(60.0 + 8 * look.count for look in found.looks)
    stops = sum(bool(look.count) for look in found.looks[:-1])
    assert stops
    assert found.seconds == looked + 5 * (len(visits) - 1) + 20 * stops


def pot(code: str, spot: int, came_on: int = 0, *, is_new: bool = False) -> Pot:
    return Pot(code, "small", Stand("north shelf", spot), came_on, is_new)


def looks_of(visit: Visit, zones: int | None = None, found: int = 0) -> tuple[Look, ...]:
    looks = [Look(visit.code, zone, seconds) for zone, seconds in visit.zones[:zones]]
    return (*looks[:-1], Look(visit.code, *visit.zones[: zones or None][-1], {"young": found}))


def test_fixed_order_goes_on_at_the_zone_where_it_stopped() -> None:
    habit = FixedOrder(PARAMETERS, APART_30)
    for number in (1, 2, 3):
        habit.comes(pot(f"P{number}", number))
    first, second, _ = habit.morning(0, 60)
    assert sum(seconds for _, seconds in first.zones) == pytest.approx(30)
    habit.saw(0, (*looks_of(first), *looks_of(second, 3)))
    again = habit.morning(1, 60)
    assert [visit.code for visit in again] == ["P2", "P3", "P1"]
    assert again[0].zones == second.zones[3:]


def test_worst_first_begins_where_most_was_found_last() -> None:
    habit = WorstFirst(PARAMETERS, APART_30)
    for number in (1, 2, 3, 4):
        habit.comes(pot(f"P{number}", number))
    _, second, third, _ = habit.morning(0, 60)
    habit.saw(0, (*looks_of(second, found=1), *looks_of(third, found=5)))
    assert [visit.code for visit in habit.morning(1, 60)] == ["P3", "P2", "P1", "P4"]
    assert [visit.code for visit in habit.morning(15, 60)] == ["P1", "P4", "P2", "P3"]


def test_weekly_shares_its_minutes_among_all() -> None:
    habit = Weekly(PARAMETERS, APART_30)
    for number in (1, 2):
        habit.comes(pot(f"P{number}", number))
    planned = sum(seconds for visit in habit.morning(0, 100) for _, seconds in visit.zones)
    assert planned == pytest.approx(100 - 2 * 5)


@pytest.mark.parametrize(("rule", "goes_home_on"), [(APART_30, 30), (CLEAN_42, 52)])
def test_a_plant_goes_home_by_the_rule(rule: Rule, goes_home_on: int) -> None:
    habit = FixedOrder(PARAMETERS, rule)
    habit.comes(pot("P1", 1))
    home = []
    for day in range(60):
        (visit,) = habit.morning(day, 60)
        habit.saw(day, looks_of(visit, found=day in (0, 10)))
        decided = habit.evening(day, 22.0, 22.0)
        assert decided.apart == (("P1",) if day == 0 else ())
        home += [day for _ in decided.back]
    assert home == [goes_home_on]


def test_days_count_from_the_first_insect_and_from_a_find_to_its_neighbours() -> None:
    house = world(seed=3)
    ledger = Ledger(house, days=10)
    ledger.morning(0)
    infested = next(code for code, stand in house.stands.items() if house.insects(code))
    place, spot = house.stands[infested].place, house.stands[infested].spot
    near = [c for c, s in house.stands.items() if s.place == place and abs(s.spot - spot) == 1]
    ledger.walked(2, [Look(infested, "axils", 9.0, {"adult": 1})], 17.0)
    assert near
    # a look, but at one zone and too short
    ledger.walked(3, [Look(code, "axils", 1.0) for code in near], 5.0)
    for code in near:
        zones = house.reference_seconds(code).items()
        ledger.walked(7, [Look(code, zone, seconds / 3) for zone, seconds in zones], 30.0)
    ledger.evening(Decisions())
    others = sum(number > 0 for number in insects(house).values()) - 1
    assert others
    assert ledger.figures()["days-to-find"] == (2 + 10 * others, 1 + others)
    assert ledger.figures()["near-in-time"] == (len(near), len(near))
    assert ledger.figures()["near-looked"] == (len(near), len(near))
    assert ledger.figures()["near-whole"] == (5 * len(near), len(near))


def test_a_mean_is_of_sums_and_a_difference_is_paired() -> None:
    ours = [{"finds": (float(n), 1.0 + n % 2)} for n in range(30)]
    twice = [{"finds": (2 * a, b)} for a, b in (season["finds"] for season in ours)]
    mean = sum(range(30)) / 45
    own = alone(ours, "finds")
    assert own.value == pytest.approx(mean)
    assert own.low < mean < own.high
    found = beside(ours, twice, "finds")
    assert (found.own.value, found.less.value) == pytest.approx((2 * mean, -mean))
    # whatever seasons are drawn, one is half of the other
    assert (found.times.low, found.times.high) == pytest.approx((0.5, 0.5))
    assert alone([{"finds": (0.0, 0.0)}], "finds").value != alone(ours, "finds").value


def test_a_study_goes_on_where_it_was_broken_off(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "seasons.jsonl"
    asked = ["--plants", "6", "--days", "12", "--keep", str(file), "--habits"]
    main(["--seasons", "1", *asked, "weekly-42"])
    first = file.read_text(encoding="utf-8")
    main(["--seasons", "3", *asked, "weekly-42", "fixed-order-42"])
    assert file.read_text(encoding="utf-8").startswith(first)
    assert len(read(file)) == 6
    shown = capsys.readouterr().out
    main(["--seasons", "0", *asked, "weekly-42"])
    again = capsys.readouterr().out
    assert shown.endswith(again)
    assert "3 seasons" in again
    assert all(f"| {measure.says} |" in again for measure in MEASURES)


def test_goals_and_rows_name_figures_there_are() -> None:
    ledger = Ledger(world(), days=1)
    ledger.morning(0)
    ledger.evening(Decisions())
    figures = set(ledger.figures())
    assert figures == {measure.code for measure in MEASURES}
    assert {goal.measure for goal in GOALS} <= figures


def test_the_page_says_how_it_was_measured() -> None:
    how, _, _ = TEXT.read_text(encoding="utf-8").partition("{goals}")
    assert PAGE.read_text(encoding="utf-8").startswith(how)


def test_constants_of_the_plan_may_be_other_than_they_are(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, other = tmp_path / "seasons.jsonl", "tool:unseen_days=3,short_share=0.5"
    house = ["--plants", "6", "--days", "12", "--infested", "0.5", "--minutes", "5"]
    main(["--seasons", "1", *house, "--keep", str(file), "--habits", "tool", other])
    lived = {season.habit: figures for season, figures in read(file).items()}
    assert set(lived) == {"tool", other}
    assert lived["tool"] != lived[other]
    assert "6 plants, each infested at first with chance 0.5, 12 days" in capsys.readouterr().out
    with pytest.raises(SystemExit):
        main(["--habits", "tool:unseen=3"])
    assert "no constant unseen" in capsys.readouterr().err

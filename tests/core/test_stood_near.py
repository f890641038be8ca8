"""Days on which two plants stood near each other, against asking day by day."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from rounds.core.collection import Fact, Move, Place, Plant
from rounds.core.lineage import lives_of
from rounds.core.plan.near import nearness_in_course
from rounds.core.plan.stood_near import nearest, stood_near

DAY = date(2026, 5, 1)
BENCH = {
    1: Place(1, "shelf", (Fact(1, 1, DAY, "bench", "north"),)),
    2: Place(2, "sill", (Fact(2, 2, DAY, "bench", "north"),)),
    3: Place(3, "stair foot"),
}


def on(number: int) -> date:
    return DAY + timedelta(number)


MOVES = st.lists(
    st.tuples(st.integers(0, 20), st.sampled_from([1, 2, 3]), st.sampled_from([None, "1", "2"])),
    min_size=1,
    max_size=5,
)


def plant(plant_id: int, moves: list[tuple[int, int, str | None]], *facts: Fact) -> Plant:
    first = min(number for number, _, _ in moves)
    told = [Move(9 * plant_id + n, plant_id, on(d), p, s) for n, (d, p, s) in enumerate(moves)]
    return Plant(plant_id, f"G0{plant_id}", on(first), facts, tuple(told))


@given(MOVES, MOVES, st.integers(0, 20), st.sets(st.integers(0, 20), max_size=2))
def test_spans_are_those_of_asking_on_each_day(
    one: list[tuple[int, int, str | None]],
    other: list[tuple[int, int, str | None]],
    asked: int,
    touched: set[int],
) -> None:
    facts = [Fact(90 + n, 1, on(n), "touching", "2" if n % 2 else "") for n in sorted(touched)]
    source, near = plant(1, one, *facts), plant(2, other)
    plants = {1: source, 2: near}
    here, there = lives_of(source, plants, on(25)), lives_of(near, plants, on(25))
    found = stood_near(here, there, on(asked), on(25), BENCH)
    by_day = {
        span.first + timedelta(n): span.how
        for span in found
        for n in range((span.last - span.first).days + 1)
    }
    first = max(on(asked), source.first_day, near.first_day)
    days = [first + timedelta(n) for n in range((on(25) - first).days + 1)]
    wanted = {day: nearness_in_course(source, near, day, BENCH) for day in days}
    assert by_day == {day: how for day, how in wanted.items() if how}


def test_a_part_was_where_the_plant_it_was_divided_from_was() -> None:
    whole = plant(1, [(0, 1, "1")], Fact(50, 1, on(5), "divided", "2"))
    part = plant(3, [(5, 3, None)], Fact(51, 3, on(5), "divided-from", "1 2"))
    source = plant(2, [(0, 1, "2"), (3, 2, None)])
    plants = {p.id: p for p in (whole, part, source)}
    found = stood_near(lives_of(source, plants, on(9)), lives_of(part, plants, on(9)), DAY, on(9),
                       BENCH)  # fmt: skip
    assert nearest(found) == "spot"
    assert (found[0].first, found[-1].last) == (on(0), on(5))


def test_after_it_was_gone_a_plant_stood_near_nothing() -> None:
    gone = plant(1, [(0, 1, "1")], Fact(50, 1, on(4), "gone", "given-away"))
    source = plant(2, [(0, 1, "2")])
    plants = {1: gone, 2: source}
    (span,) = stood_near(lives_of(source, plants, on(9)), lives_of(gone, plants, on(9)), DAY,
                         on(9), BENCH)  # fmt: skip
    assert (span.how, span.first, span.last) == ("spot", on(0), on(4))

"""Who stood near a find, by what was entered of where plants stand."""

from datetime import date, timedelta

import pytest

from rounds.core.collection import Fact, Move, Place, Plant
from rounds.core.plan.claims import Exposure
from rounds.core.plan.near import Find, GoneOver, exposure_of, nearness

TODAY = date(2026, 5, 4)
CAME = TODAY - timedelta(60)
PLACES = {
    1: Place(1, "porch shelf", (Fact(1, 1, CAME, "bench", "shelf"),)),
    2: Place(2, "lower shelf", (Fact(2, 2, CAME, "bench", "shelf"),)),
    3: Place(3, "stair foot"),
}


def plant(
    number: int, place: int, spot: str | None = None, touches: tuple[int, ...] = (),
    moves: tuple[Move, ...] = (),
) -> Plant:  # fmt: skip
    facts = (Fact(9, number, CAME, "touching", " ".join(map(str, touches))),) if touches else ()
    first = Move(number, number, CAME, place, spot)
    return Plant(number, f"G{number:02}", CAME, facts, (first, *moves))


def how(source: Plant, other: Plant, found_on: date = TODAY) -> str | None:
    return nearness(source, other, found_on, TODAY, PLACES)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("spot 3", "spot 4", "spot"),
        ("Spot 3", " spot  3", "spot"),
        ("A3", "a4", "spot"),
        ("shelf 2 spot 9", "shelf 2 spot 10", "spot"),
        ("by the door", "by the door", "spot"),
        ("10", "10b", "spot"),
        ("spot 3", "spot 5", "place"),
        ("A3", "B4", "place"),
        ("shelf 2 spot 9", "shelf 3 spot 9", "place"),
        ("by the door", "by the tap", "place"),
        ("spot 3", None, "place"),
        (None, None, "place"),
    ],
)
def test_a_spot_is_next_by_the_number_in_what_was_typed(
    one: str | None, other: str | None, expected: str
) -> None:
    assert how(plant(1, 3, one), plant(2, 3, other)) == expected


def test_touching_comes_before_the_spot_the_bench_and_the_place() -> None:
    assert how(plant(1, 1, "spot 1", touches=(2,)), plant(2, 1, "spot 9")) == "touching"
    assert how(plant(1, 1, "spot 1"), plant(2, 1, "spot 9")) == "bench"
    assert how(plant(1, 1, "spot 1"), plant(2, 2, "spot 2")) == "bench", "of another place"
    assert how(plant(1, 1), plant(2, 3)) is None


def test_who_was_put_apart_on_the_day_of_the_find_stood_among_the_others() -> None:
    apart = plant(1, 1, "spot 1", moves=(Move(50, 1, TODAY, 3, None),))
    assert how(apart, plant(2, 1, "spot 2")) == "spot"
    assert how(apart, plant(3, 3)) == "place", "and it stands beside those apart now"
    long_gone = plant(1, 1, "spot 1", moves=(Move(50, 1, TODAY - timedelta(9), 3, None),))
    assert how(long_gone, plant(2, 1, "spot 2")) is None


def test_on_the_day_it_came_too_it_stood_among_the_others_until_it_was_put_apart() -> None:
    apart = (Move(8, 1, CAME, 3, None),)
    found = plant(1, 1, "spot 3", moves=apart)
    assert how(found, plant(2, 1, "spot 4"), CAME) == "spot"
    assert how(found, plant(4, 2), CAME) == "bench"
    # one that comes to where it was put stands in that place with it
    assert how(found, plant(5, 3), CAME) == "place"


def test_a_look_after_the_find_settles_it() -> None:
    finds = [Find(plant(1, 3), [TODAY - timedelta(5), TODAY - timedelta(2)])]
    other = plant(2, 3)

    def since(seen: int) -> Exposure | None:
        return exposure_of(other, finds, PLACES, GoneOver(TODAY - timedelta(seen)), TODAY)

    first, second = TODAY - timedelta(5), TODAY - timedelta(2)
    assert since(9) == Exposure("place", "G01", second, first)
    assert since(5) == Exposure("place", "G01", second, second)
    assert since(2) is None
    assert exposure_of(plant(1, 3), finds, PLACES, None, TODAY) is None, "its own find"


@pytest.mark.parametrize(
    ("found_at", "gone_over_from", "is_owed"),
    [
        ((500, 9), (400, 7), True),
        ((500, 9), (600, 12), False),
        ((500, 9), (500, 8), True),  # within one second by the order of entries
        ((500, 9), (500, 10), False),
        (None, (400, 7), False),
        ((500, 9), None, False),
    ],
)
def test_a_look_earlier_on_the_day_of_the_find_settles_nothing(
    found_at: tuple[int, int] | None, gone_over_from: tuple[int, int] | None, is_owed: bool
) -> None:
    day = TODAY - timedelta(2)
    find = Find(plant(1, 3), [TODAY - timedelta(5), day], found_at)
    met = exposure_of(plant(2, 3), [find], PLACES, GoneOver(day, gone_over_from), TODAY)
    assert met == (Exposure("place", "G01", day, day) if is_owed else None)


def test_of_many_finds_the_nearest_is_told_and_the_first_counts() -> None:
    finds = [
        Find(plant(1, 1, "spot 9"), [TODAY - timedelta(6)]),
        Find(plant(3, 1, "spot 4"), [TODAY - timedelta(1)]),
    ]
    met = exposure_of(plant(2, 1, "spot 3"), finds, PLACES, None, TODAY)
    assert met == Exposure("spot", "G03", TODAY - timedelta(1), TODAY - timedelta(6))


def test_who_came_after_a_find_was_not_near_it_before() -> None:
    new = Plant(2, "G02", TODAY, (), (Move(60, 2, TODAY, 3, None),))
    met = exposure_of(new, [Find(plant(1, 3), [TODAY - timedelta(5)])], PLACES, None, TODAY)
    assert met == Exposure("place", "G01", TODAY - timedelta(5), TODAY)

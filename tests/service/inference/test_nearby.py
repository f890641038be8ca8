"""What comes from infested plants near by, and what plants that came along together tell."""

from datetime import date

import pytest

from rounds.core.collection import Plant
from rounds.service.collection.plants import PlaceDetails, move_plant, plant_gone, put_place
from rounds.service.inference.day import CollectionDay
from rounds.service.inference.kept import NotKept, only_kept
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon

from .asking import TODAY, Add, LookIn, before, chance, found_three, record

SOURCE = "G05"


@pytest.fixture
def places(logbook: Logbook) -> None:
    """Two shelves of one bench, another bench in the same room, and the gallery."""
    for name, room, bench in (
        ("upper sill", "lamp room", "sill"),
        ("lower sill", "lamp room", "sill"),
        ("watch table", "lamp room", "table"),
        ("gallery", "gallery", "rail"),
    ):
        put_place(logbook, local_noon(before(90)), name, PlaceDetails(room=room, bench=bench))


@pytest.fixture
def infested(places: None, add: Add, look: LookIn) -> Plant:
    """G05 on the upper sill, with five left on it ten days ago."""
    source = add(SOURCE, on=before(60), place="upper sill")
    look(SOURCE, before(30), "axils", seconds=60, counts={"left": 5}, stage="adult")
    return source


def arrivals(logbook: Logbook, code: str, on: date = TODAY) -> dict[date, float]:
    return dict(record(logbook, code, on).likely.facts.neighbours)


def test_the_nearer_the_more_comes_over(infested: Plant, add: Add, logbook: Logbook) -> None:
    add("G02", on=before(60), place="upper sill", touches=(SOURCE,))
    add("G04", on=before(60), place="upper sill")
    add("G07", on=before(60), place="lower sill")
    add("G11", on=before(60), place="watch table")
    add("G14", on=before(60), place="gallery")
    touching, same_place, same_bench, same_room, elsewhere = (
        chance(logbook, code) for code in ("G02", "G04", "G07", "G11", "G14")
    )
    assert touching < same_place == same_bench < same_room < elsewhere
    assert elsewhere - same_room > 1e-4
    assert arrivals(logbook, "G14") == {}
    touched = arrivals(logbook, "G02")
    for code, share in (("G04", 0.2), ("G07", 0.2), ("G11", 0.02)):
        near = arrivals(logbook, code)
        assert near.keys() == touched.keys()
        for day, number in touched.items():
            assert near[day] == pytest.approx(share * number, rel=1e-12)


def test_nothing_comes_from_a_plant_on_which_nothing_was_found(
    places: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add(SOURCE, on=before(60), place="upper sill")
    add("G02", on=before(60), place="upper sill", touches=(SOURCE,))
    look(SOURCE, before(30), "axils", seconds=60, counts={"doubtful": 2})
    assert arrivals(logbook, "G02") == {}


def test_what_was_taken_off_at_once_sends_less(
    places: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    for code, neighbour, kind, place in (
        (SOURCE, "G02", "left", "upper sill"),
        ("S03", "G04", "removed", "gallery"),
    ):
        add(code, on=before(60), place=place)
        add(neighbour, on=before(60), place=place, touches=(code,))
        look(code, before(30), "axils", seconds=60, counts={kind: 5}, stage="adult")
    left, taken_off = (sum(arrivals(logbook, code).values()) for code in ("G02", "G04"))
    assert 0 < taken_off < 0.8 * left


@pytest.mark.parametrize("who", [SOURCE, "G02"])
def test_moved_away_nothing_comes_any_more_from_that_day(
    infested: Plant, add: Add, logbook: Logbook, who: str
) -> None:
    add("G02", on=before(60), place="upper sill", touches=(SOURCE,))
    stayed, chance_stayed = arrivals(logbook, "G02"), chance(logbook, "G02")
    assert max(stayed) == TODAY
    move_plant(logbook, local_noon(before(5)), who, "gallery")
    moved = arrivals(logbook, "G02")
    assert moved == {day: number for day, number in stayed.items() if day < before(5)}
    assert max(moved) == before(6)
    assert chance_stayed < chance(logbook, "G02")
    assert arrivals(logbook, "G02", before(6)) == moved, "of the days before as it was said then"


def test_moved_within_the_room_less_comes(infested: Plant, add: Add, logbook: Logbook) -> None:
    add("G02", on=before(60), place="upper sill")
    stayed = arrivals(logbook, "G02")
    move_plant(logbook, local_noon(before(5)), "G02", "watch table")
    for day, number in arrivals(logbook, "G02").items():
        as_before = stayed[day] if day < before(5) else stayed[day] / 10
        assert number == pytest.approx(as_before, rel=1e-12)


def test_what_came_from_a_plant_that_is_gone_since_has_come_all_the_same(
    infested: Plant, add: Add, logbook: Logbook
) -> None:
    add("G02", on=before(60), place="upper sill", touches=(SOURCE,))
    add("G04", on=before(60), place="upper sill")
    stayed = {code: arrivals(logbook, code) for code in ("G02", "G04")}
    plant_gone(logbook, local_noon(before(3)), SOURCE, "discarded")
    for code, before_it in stayed.items():
        expected = {day: number for day, number in before_it.items() if day < before(3)}
        assert arrivals(logbook, code) == expected
        assert max(expected) == before(4)


def test_nothing_came_before_the_plant_did(infested: Plant, add: Add, logbook: Logbook) -> None:
    add("G02", on=before(7), place="upper sill", arrived=before(7), touches=(SOURCE,))
    assert min(arrivals(logbook, "G02")) == before(7)


# Those that came along together.


@pytest.fixture
def from_the_fair(add: Add) -> None:
    """Three of one batch, one of the same day from elsewhere, one of the same fair a year ago."""
    for code in ("S03", "S04", "S05"):
        add(code, place="stair foot", arrived=before(9), on=before(9), source="fair")
    add("S06", place="stair foot", arrived=before(9), on=before(9), source="a neighbour")
    add("S07", place="stair foot", arrived=before(380), on=before(380), source="fair")


def told(logbook: Logbook, code: str, on: date = TODAY) -> float | None:
    """The chance that it came infested, as its mates tell it."""
    return record(logbook, code, on).likely.facts.chance_infested


def test_plants_that_came_together_share_the_news(
    from_the_fair: None, look: LookIn, logbook: Logbook
) -> None:
    others = ("S06", "S07")
    unknown, apart = chance(logbook, "S04"), [chance(logbook, code) for code in others]
    assert told(logbook, "S04") is None
    look("S03", before(8))
    good_news = told(logbook, "S04")
    assert good_news is not None
    assert good_news < 0.25
    assert chance(logbook, "S04") > unknown
    found_three(logbook, "S03", before(7))
    bad_news = told(logbook, "S04")
    assert bad_news is not None
    # all but certain that it came infested: two of five at Beta(1, 3)
    assert bad_news == pytest.approx(0.4, abs=0.005)
    assert chance(logbook, "S04") < unknown
    found_three(logbook, "S05", before(7))
    assert told(logbook, "S04") == pytest.approx(3 / 6, abs=0.005)
    assert told(logbook, "S03") == told(logbook, "S05") == pytest.approx(0.4, abs=0.005)
    # no more crawlers than before come from them: they stand at the same place
    assert [told(logbook, code) for code in others] == [None, None]
    assert told(logbook, "S04", before(9)) is None, "nobody knew that day"
    assert [chance(logbook, code, before(8)) for code in others] == pytest.approx(apart, abs=0.02)


def test_what_they_tell_is_what_the_figures_start_from(
    from_the_fair: None, look: LookIn, logbook: Logbook
) -> None:
    look("S03", before(9))
    look("S05", before(9))
    # the day they came, nothing but the start speaks: psi of what one infested alone would have
    arrived = record(logbook, "S04", before(9)).likely
    clean_if_infested = 1 - (1 - arrived.chance_clean) / (arrived.facts.chance_infested or 0)
    alone = record(logbook, "S06", before(9)).likely
    assert 1 - (1 - alone.chance_clean) / (1 / 4) == pytest.approx(clean_if_infested, rel=1e-9)


def test_a_glance_tells_less_than_a_whole_look(
    from_the_fair: None, look: LookIn, logbook: Logbook
) -> None:
    look("S03", before(8), "axils", seconds=3)
    glanced = told(logbook, "S04")
    look("S03", before(7))
    seen = told(logbook, "S04")
    assert glanced is not None
    assert seen is not None
    assert 0.23 < seen < glanced < 0.25


def test_a_find_at_a_glance_is_a_find(from_the_fair: None, look: LookIn, logbook: Logbook) -> None:
    look("S03", before(8), "axils", seconds=20, counts={"removed": 1})
    assert told(logbook, "S04") == pytest.approx(0.4, abs=0.005)


def test_thrown_away_an_infested_plant_is_still_bad_news(
    from_the_fair: None, logbook: Logbook
) -> None:
    found_three(logbook, "S03", before(7))
    news = told(logbook, "S04")
    plant_gone(logbook, local_noon(before(6)), "S03", "discarded")
    assert told(logbook, "S04") == news == pytest.approx(0.4, abs=0.005)


def test_insects_seen_on_a_mate_are_news_as_a_find_is(
    from_the_fair: None, add: Add, logbook: Logbook
) -> None:
    add(
        "S08", place="stair foot", arrived=before(9), on=before(9), source="fair", insects_seen=True
    )
    assert told(logbook, "S04") == 0.4


def test_of_no_named_source_nobody_came_along(add: Add, look: LookIn, logbook: Logbook) -> None:
    for code, source in (("S03", None), ("S04", None), ("S05", ""), ("S06", "  ")):
        add(code, place="stair foot", arrived=before(9), on=before(9), source=source)
    look("S03", before(8))
    found_three(logbook, "S05", before(7))
    assert [told(logbook, code) for code in ("S03", "S04", "S05", "S06")] == [None] * 4
    assert record(logbook, "S04").day.came_with(record(logbook, "S04")) == []


def test_mates_of_long_ago_tell_nothing_of_a_plant_that_is_read_from_a_later_day(
    from_the_fair: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S08", place="stair foot", arrived=before(380), on=before(380), source="fair")
    look("S08", before(2))
    assert told(logbook, "S07") is None


def test_a_delivery_of_twenty_glanced_at_is_no_proof(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    codes = [f"S{number:02}" for number in range(1, 21)]
    for code in codes:
        add(code, place="stair foot", arrived=before(9), on=before(9), source="fair")
    for code in codes[1:]:
        look(code, before(8), "axils", seconds=2)
    glanced = told(logbook, "S01")
    assert glanced is not None
    assert 0.2 < glanced < 0.25
    # 97 in 100 it was when each of these counted as a plant looked over
    assert chance(logbook, "S01") < 0.88
    found_three(logbook, "S02", before(7))
    after = told(logbook, "S01")
    assert after is not None
    assert after > glanced + 0.05


def test_the_day_works_out_what_mates_tell_in_steps_and_keeps_it(
    from_the_fair: None, look: LookIn, logbook: Logbook
) -> None:
    look("S03", before(8))
    look("S05", before(8))
    day = CollectionDay(logbook, TODAY)
    assert len(list(day.mates_in_steps())) >= 2
    kept = CollectionDay(logbook, TODAY)
    with only_kept(logbook):
        assert kept.told_by_mates(kept.record(_id(logbook, "S04")), "mealybug") is not None
        assert list(kept.mates_in_steps())


def test_what_is_not_kept_of_a_mate_is_not_worked_out_for_a_page(
    from_the_fair: None, look: LookIn, logbook: Logbook
) -> None:
    look("S03", before(8))
    day = CollectionDay(logbook, TODAY)
    with only_kept(logbook), pytest.raises(NotKept):
        _ = day.record(_id(logbook, "S04")).likely.chance_clean


def _id(logbook: Logbook, code: str) -> int:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return plant.id

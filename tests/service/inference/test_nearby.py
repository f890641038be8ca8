"""What comes from infested plants near by, and what plants that came along together tell."""

from datetime import date

import pytest

from rounds.core.collection import Plant
from rounds.core.inference.facts import Mates
from rounds.service.collection.plants import PlaceDetails, move_plant, plant_gone, put_place
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


def mates(logbook: Logbook, code: str, on: date = TODAY) -> Mates | None:
    return record(logbook, code, on).likely.facts.mates


def test_plants_that_came_together_share_the_news(
    from_the_fair: None, look: LookIn, logbook: Logbook
) -> None:
    others = ("S06", "S07")
    unknown, apart = chance(logbook, "S04"), [chance(logbook, code) for code in others]
    assert mates(logbook, "S04") is None
    look("S03", before(8))
    assert mates(logbook, "S04") == Mates(known=1, infested=0)
    good_news = chance(logbook, "S04")
    found_three(logbook, "S03", before(7))
    assert mates(logbook, "S04") == Mates(known=1, infested=1)
    bad_news = chance(logbook, "S04")
    found_three(logbook, "S05", before(7))
    assert mates(logbook, "S04") == Mates(known=2, infested=2)
    worse_news = chance(logbook, "S04")
    # no more crawlers than before come from them: they stand at the same place
    assert worse_news < bad_news < unknown < good_news
    assert [mates(logbook, code) for code in others] == [None, None]
    assert mates(logbook, "S04", before(9)) is None, "nobody knew that day"
    assert [chance(logbook, code, before(8)) for code in others] == pytest.approx(apart, abs=0.02)


def test_the_news_of_a_batch_is_that_of_a_share_of_infested_plants(
    from_the_fair: None, look: LookIn, logbook: Logbook
) -> None:
    look("S03", before(9))
    look("S05", before(9))
    # the day they came, nothing but the start speaks: psi (1 + k) / (4 + n)
    arrived = record(logbook, "S04", before(9)).likely
    clean_if_infested = 1 - (1 - arrived.chance_clean) / (1 / 6)
    alone = record(logbook, "S06", before(9)).likely
    assert 1 - (1 - alone.chance_clean) / (1 / 4) == pytest.approx(clean_if_infested, rel=1e-9)


def test_a_look_that_was_not_whole_is_no_news(
    from_the_fair: None, look: LookIn, logbook: Logbook
) -> None:
    look("S03", before(8), "axils", seconds=20)
    assert mates(logbook, "S04") is None
    look("S03", before(8), "axils", seconds=20, counts={"removed": 1})
    assert mates(logbook, "S04") == Mates(known=1, infested=1)


def test_thrown_away_an_infested_plant_is_still_bad_news(
    from_the_fair: None, logbook: Logbook
) -> None:
    found_three(logbook, "S03", before(7))
    told = mates(logbook, "S04")
    plant_gone(logbook, local_noon(before(6)), "S03", "discarded")
    assert mates(logbook, "S04") == told == Mates(known=1, infested=1)

"""A course begun in one go at several plants is one act, and no more than that act."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.courses.shelf import begun_together, shelf, shelf_for, withdraw_together
from rounds.service.courses.templates import find_template
from rounds.service.courses.written import Asked, treat
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon

TODAY = date(2026, 5, 4)
CODES = ["G02", "G03", "G04"]

Add = Callable[..., Plant]


@pytest.fixture(autouse=True)
def _porch(add: Add) -> None:
    for code in CODES:
        add(code, on=TODAY - timedelta(30))


def begun(logbook: Logbook) -> dict[str, list[str]]:
    plants = logbook.collection().plants.values()
    return {plant.code: [c.course for c in plant.courses] for plant in plants}


@pytest.mark.parametrize("done", [False, True])
def test_acts_of_one_day_entered_without_a_time_are_told_apart(
    logbook: Logbook, done: bool
) -> None:
    moment = local_noon(TODAY - timedelta(1))
    ((_, alone),) = treat(logbook, moment, CODES[:1], Asked("lifting", done=done))
    first, *_ = treat(logbook, moment, CODES, Asked("contact-spray", done=done))
    ((_, after),) = treat(logbook, moment, CODES[2:], Asked("lifting", done=done))
    together = begun_together(logbook, first[1])
    plants = logbook.collection().plants
    assert [plants[name.owner_id].code for name in together] == CODES
    for course_id in (alone, after):
        assert [name.entry_id for name in begun_together(logbook, course_id)] == [course_id]
    withdraw_together(logbook, moment, together)
    assert begun(logbook) == {"G02": ["lifting"], "G03": [], "G04": ["lifting"]}
    assert begun_together(logbook, first[1]) == ()


def test_what_was_withdrawn_of_an_act_is_no_part_of_undoing_the_rest(logbook: Logbook) -> None:
    found = treat(logbook, local_noon(TODAY), CODES, Asked("contact-spray"))
    together = begun_together(logbook, found[0][1])
    withdraw_together(logbook, local_noon(TODAY), together[1:2])
    assert begun_together(logbook, found[0][1]) == (together[0], together[2])


def test_a_shelf_is_parted_by_what_the_course_means_for_each(logbook: Logbook, add: Add) -> None:
    put_place(logbook, local_noon(TODAY), "porch shelf", PlaceDetails(bench="upper"), change=True)
    add("O01", "Oriel", form="monopodial-orchid", dislikes=("wet-leaves",))
    treat(logbook, local_noon(TODAY), ["G03"], Asked("contact-spray"))
    plants = shelf(logbook, TODAY, None, "Upper")
    assert [plant.code for plant in plants] == [*CODES, "O01"]
    spray = shelf_for(logbook, TODAY, find_template(logbook, "contact-spray"), plants)
    assert spray.taking == ("G02", "G04", "O01")
    assert (spray.running, spray.disliking) == (("G03",), ("O01",))
    bare = shelf_for(logbook, TODAY, find_template(logbook, "out-of-medium"), plants)
    assert (bare.taking, bare.unfit, bare.disliking) == (("O01",), tuple(CODES), ())

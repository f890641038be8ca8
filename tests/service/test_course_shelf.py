"""A course begun in one go at several plants is one act, and no more than that act."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.courses.shelf import (
    StepHere,
    do_steps,
    due_here_too,
    entered_together,
    shelf,
    shelf_for,
    withdraw_together,
)
from rounds.service.courses.templates import find_template
from rounds.service.courses.written import COURSE, Asked, treat
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
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


def together_with(logbook: Logbook, course_id: int) -> tuple[EntryName, ...]:
    every = logbook.collection().plants.values()
    begun = (course for plant in every for course in plant.courses)
    found = [course for course in begun if course.id == course_id]
    return tuple(
        name
        for course in found
        for name in entered_together(
            logbook, EntryName(COURSE, course.began_on, course.plant_id, course_id)
        )
    )


@pytest.mark.parametrize("done", [False, True])
def test_acts_of_one_day_entered_without_a_time_are_told_apart(
    logbook: Logbook, done: bool
) -> None:
    moment = local_noon(TODAY - timedelta(1))
    ((_, alone),) = treat(logbook, moment, CODES[:1], Asked("lifting", done=done))
    first, *_ = treat(logbook, moment, CODES, Asked("contact-spray", done=done))
    ((_, after),) = treat(logbook, moment, CODES[2:], Asked("lifting", done=done))
    together = together_with(logbook, first[1])
    plants = logbook.collection().plants
    assert [plants[name.owner_id].code for name in together] == CODES
    for course_id in (alone, after):
        assert [name.entry_id for name in together_with(logbook, course_id)] == [course_id]
    withdraw_together(logbook, moment, together)
    assert begun(logbook) == {"G02": ["lifting"], "G03": [], "G04": ["lifting"]}
    assert together_with(logbook, first[1]) == ()


def test_what_was_withdrawn_of_an_act_is_no_part_of_undoing_the_rest(logbook: Logbook) -> None:
    found = treat(logbook, local_noon(TODAY), CODES, Asked("contact-spray"))
    together = together_with(logbook, found[0][1])
    withdraw_together(logbook, local_noon(TODAY), together[1:2])
    assert together_with(logbook, found[0][1]) == (together[0], together[2])


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


def test_a_step_is_done_at_all_here_at_which_it_is_due_and_undone_in_one(
    logbook: Logbook, add: Add
) -> None:
    """Not where the step is another, or not due yet, nor at another place."""
    add("G05", on=TODAY - timedelta(30), place="seedling bench")
    add("G06", on=TODAY - timedelta(30))
    treat(logbook, local_noon(TODAY - timedelta(8)), [*CODES, "G05"], Asked("contact-spray"))
    first = local_noon(TODAY - timedelta(7))
    treat(logbook, first, ["G02", "G03", "G05"], Asked("contact-spray", done=True))
    treat(logbook, local_noon(TODAY - timedelta(1)), ["G04"], Asked("contact-spray", done=True))
    treat(logbook, local_noon(TODAY), ["G06"], Asked("lifting"))
    plants = {plant.code: plant for plant in logbook.collection().plants.values()}
    (course,) = plants["G02"].courses_on(TODAY)
    others = due_here_too(logbook, plants["G02"], course, TODAY)
    assert [step.plant.code for step in others] == ["G03"]
    do_steps(logbook, local_noon(TODAY), [StepHere(plants["G02"], course), *others])

    def done() -> dict[str, int]:
        every = logbook.collection().plants.values()
        return {p.code: sum(len(c.done) for c in p.courses_on(TODAY)) for p in every}

    assert done() == {"G02": 2, "G03": 2, "G04": 1, "G05": 1, "G06": 0}
    mark = logbook.collection().plants[plants["G03"].id].marks[-1]
    names = entered_together(logbook, EntryName("done", TODAY, mark.plant_id, mark.id))
    assert names[0].owner_id == plants["G03"].id
    withdraw_together(logbook, local_noon(TODAY), names)
    assert done() == {"G02": 1, "G03": 1, "G04": 1, "G05": 1, "G06": 0}
    assert entered_together(logbook, names[0]) == ()

"""From what is entered to what is said: a colony that grows is told, stragglers are not."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.courses.written import Asked, treat
from rounds.service.growth.eggs import brood_text
from rounds.service.growth.rising import growth_on, growth_text, rising_text
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plan.today import BEHIND, RISING, due_today
from rounds.service.plant.detail import plant_detail
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import seen_status, with_brood
from rounds.service.round import RoundWalk
from rounds.store.derived import forget_all

TODAY = date(2026, 5, 4)
Add = Callable[..., Plant]
Look = Callable[..., object]
Wait = Callable[[float], None]
Walk = Callable[[], RoundWalk]

GROWS = ([2, 3, 5, 9, 14], [180.0] * 5)
STRAGGLERS = ([2, 1, 0, 1, 0], [180.0] * 5)
LONGER_LOOKS = ([2, 3, 5, 7, 10], [15.0, 22.0, 38.0, 68.0, 105.0])


@pytest.fixture
def entered(logbook: Logbook, add: Add, look: Look) -> Callable[..., PlantRecord]:
    """A plant with a look at its axils every second day up to today."""

    def enter(
        code: str, counts: Sequence[int], seconds: Sequence[float], size: str = "medium"
    ) -> PlantRecord:
        first = TODAY - timedelta(2 * (len(counts) - 1))
        plant = add(code, on=first, size=size)
        for number, (count, spent) in enumerate(zip(counts, seconds, strict=True)):
            day = first + timedelta(2 * number)
            look(code, day, "axils", seconds=spent, counts={"removed": count} if count else {})
        return record_of(logbook, plant, TODAY)

    return enter


@pytest.mark.parametrize("size", ["small", "medium", "large"])
def test_counts_that_rise_in_equal_looks_are_an_alarm_and_others_are_not(
    entered: Callable[..., PlantRecord], size: str
) -> None:
    told = growth_on(entered("G01", *GROWS, size))
    assert told is not None
    assert told.alarm_on is not None
    assert TODAY - timedelta(2) <= told.alarm_on <= TODAY
    for code, case in (("G02", STRAGGLERS), ("G03", LONGER_LOOKS)):
        record = entered(code, *case, size)
        for back in range(10):
            on = record_of(record.logbook, record.plant, TODAY - timedelta(back))
            found = growth_on(on)
            assert found is None or found.alarm_on is None, (code, back)


def test_an_alarm_is_said_on_the_page_of_the_plant_and_among_what_there_is_to_do(
    entered: Callable[..., PlantRecord],
) -> None:
    record = entered("G01", *GROWS)
    status = seen_status(record)
    said = growth_text(status.growth, TODAY)
    assert said.startswith("finds rising since ")
    assert ", doubling in about " in said
    assert plant_detail(record, status).sentence.startswith(said)
    # it is parted from the others first; once it is, what rises is what there is to do
    assert [due.kind for due in due_today([status], TODAY)] == ["set-apart"]
    parted = replace(status, set_apart_since=None)
    assert [due.kind for due in due_today([parted], TODAY)] == [RISING]
    quiet = entered("G02", *STRAGGLERS)
    assert growth_text(seen_status(quiet).growth, TODAY) == ""
    assert "rising" not in plant_detail(quiet, seen_status(quiet)).sentence


def test_the_alarm_is_nothing_to_do_once_a_course_was_begun_after_it(
    entered: Callable[..., PlantRecord], logbook: Logbook
) -> None:
    record = entered("G01", *GROWS)
    found = growth_on(record)
    assert found is not None
    alarm = found.alarm_on
    assert alarm is not None
    assert asked_since(record, TODAY) == alarm
    spray = Asked("contact-spray")
    treat(logbook, local_noon(TODAY), ["G01"], spray)
    assert asked_since(record, TODAY) is None
    growth = seen_status(record_of(logbook, record.plant, TODAY)).growth
    assert growth is not None
    assert growth.alarm_on == alarm, "the page of the plant says so all the same"
    treat(logbook, local_noon(TODAY), ["G01"], replace(spray, stop=True))
    assert asked_since(record, TODAY) == alarm, "a course that was stopped answers nothing"


def test_a_course_of_before_the_alarm_does_not_answer_it_and_one_that_is_over_only_for_a_while(
    entered: Callable[..., PlantRecord], logbook: Logbook
) -> None:
    record = entered("G01", *GROWS)
    alarm = asked_since(record, TODAY)
    assert alarm is not None
    before = alarm - timedelta(1)
    treat(logbook, local_noon(before), ["G01"], Asked("contact-spray"))
    assert asked_since(record, TODAY) == alarm
    treat(logbook, local_noon(TODAY), ["G01"], Asked("root-clean-out", done=True))
    works = record.table.advice.works_days
    assert asked_since(record, TODAY + timedelta(works)) is None
    assert asked_since(record, TODAY + timedelta(works + 1)) == alarm


def asked_since(record: PlantRecord, on: date, kind: str = RISING) -> date | None:
    """Since when today asks to act on the finds of a plant, as the logbook stands now."""
    plant = record.logbook.collection().plants[record.plant.id]
    status = replace(seen_status(record_of(record.logbook, plant, on)), set_apart_since=None)
    return next((due.on for due in due_today([status], on) if due.kind == kind), None)


def test_where_finds_go_on_lifting_may_not_keep_up_from_the_find_that_is_one_too_many(
    entered: Callable[..., PlantRecord],
) -> None:
    record = entered("G02", *STRAGGLERS)
    rules = record.table.advice
    # of looks two days apart the first, second and fourth found something
    third = TODAY - timedelta(2)
    assert (rules.often_days, rules.often_of) == (3, 14)
    assert asked_since(record, third - timedelta(1), BEHIND) is None
    assert asked_since(record, third, BEHIND) == third
    # the first of the three falls out of the days that are counted
    last = TODAY - timedelta(8) + timedelta(rules.often_of - 1)
    assert asked_since(record, last, BEHIND) == third
    assert asked_since(record, last + timedelta(1), BEHIND) is None


def test_it_counts_from_the_first_of_the_days_on_which_it_held_without_a_gap(
    entered: Callable[..., PlantRecord], look: Look
) -> None:
    record = entered("G02", *STRAGGLERS)
    third = TODAY - timedelta(2)
    # of the finds on days 8, 6 and 2 before, the last two hold it together with a fourth
    look("G02", TODAY + timedelta(3), "axils", counts={"removed": 1})
    assert asked_since(record, TODAY + timedelta(5), BEHIND) == third
    # it held up to the day on which the find of day 6 before is counted last
    after = TODAY + timedelta(8)
    assert asked_since(record, after, BEHIND) is None
    look("G02", after + timedelta(1), "axils", counts={"removed": 1})
    assert asked_since(record, after + timedelta(1), BEHIND) == after + timedelta(1)


def test_that_lifting_may_not_keep_up_is_not_told_beside_finds_that_rise_or_before_it_is_parted(
    entered: Callable[..., PlantRecord],
) -> None:
    rising = seen_status(entered("G01", *GROWS))
    assert rising.behind_since is not None
    assert [due.kind for due in due_today([rising], TODAY)] == ["set-apart"]
    parted = replace(rising, set_apart_since=None)
    assert [due.kind for due in due_today([parted], TODAY)] == [RISING]
    behind = replace(parted, rises_since=None)
    (due,) = due_today([behind], TODAY)
    assert (due.kind, due.text) == (BEHIND, "removing may not keep up")
    # what rises comes first, then what goes on, then the rest
    other = replace(behind, code="A01", roots_from=TODAY - timedelta(9))
    kinds = [due.kind for due in due_today([other, parted], TODAY)]
    assert kinds == [RISING, BEHIND, "roots"]


def test_any_course_answers_that_lifting_may_not_keep_up_while_it_runs_and_is_given_to_work(
    entered: Callable[..., PlantRecord], logbook: Logbook
) -> None:
    record = entered("G02", *STRAGGLERS)
    third = TODAY - timedelta(2)
    spray = Asked("contact-spray")
    treat(logbook, local_noon(TODAY - timedelta(7)), ["G02"], spray)
    assert asked_since(record, TODAY, BEHIND) is None, "begun before lifting fell behind"
    treat(logbook, local_noon(TODAY), ["G02"], replace(spray, stop=True))
    assert asked_since(record, TODAY, BEHIND) == third, "one that was stopped answers nothing"
    treat(logbook, local_noon(TODAY), ["G02"], Asked("root-clean-out", done=True))
    assert asked_since(record, TODAY, BEHIND) is None


def test_it_comes_out_the_same_once_all_that_was_kept_is_forgotten(
    entered: Callable[..., PlantRecord], logbook: Logbook, look: Look
) -> None:
    record = entered("G01", *GROWS)
    before = growth_on(record)
    assert before is not None
    forget_all(logbook.file)
    assert growth_on(record_of(logbook, record.plant, TODAY)) == before


def test_the_summary_of_a_round_says_on_whom_finds_rise(
    entered: Callable[..., PlantRecord], walk: Walk, wait: Wait, logbook: Logbook
) -> None:
    entered("G01", GROWS[0][:4], GROWS[1][:4])
    begun = walk()
    begun.digit(9)
    begun.digit(9)
    begun.count("removed")
    begun.answer("not-now")
    wait(20)
    view = begun.rest()
    assert view.stage == "end"
    assert view.summary is not None
    status = seen_status(record_of(logbook, begun.plant.plant, TODAY))
    assert view.summary.rising == rising_text({"G01": status.growth})
    assert view.summary.rising.startswith("finds rising on G01, doubling in about ")


def test_of_several_plants_the_codes_are_told(entered: Callable[..., PlantRecord]) -> None:
    found = {code: growth_on(entered(code, *GROWS)) for code in ("G01", "G02")}
    assert rising_text(found) == "finds rising on G01, G02"
    assert rising_text({"G03": None}) == ""


def test_what_falls_is_said_to_fall(entered: Callable[..., PlantRecord]) -> None:
    record = entered("G01", [24, 12, 6, 3], [180.0] * 4)
    said = growth_text(growth_on(record), TODAY)
    assert said.startswith("finds falling, halving in about ")


def test_when_eggs_hatch_is_a_range_with_the_day_to_look_hardest(
    logbook: Logbook, add: Add, look: Look
) -> None:
    plant = add("S03", on=TODAY - timedelta(9), place="stair foot")
    look("S03", TODAY, "axils", counts={"removed": 1}, stage="adult")

    def said(days: int) -> str:
        on = TODAY + timedelta(days)
        record = record_of(logbook, plant, on)
        return brood_text(with_brood(record, seen_status(record)).brood, on)

    # 10 degree-days a day at 18 degC: 34 on the fourth day, 85 on the ninth, 170 on the 17th
    assert said(0) == "eggs laid so far hatch 8 to 21 May; look hardest about 13 May"
    assert said(5) == "eggs laid so far hatch until 21 May; look hardest about 13 May"
    assert said(12) == "eggs laid so far hatch until 21 May; look hardest now"
    assert said(17) == ""

"""What is said of plants that are due and do not fit, and of a day that is done."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.collection.plants import PlaceDetails, plant_gone, put_place
from rounds.service.day.at_hand import day_of
from rounds.service.entries.looks import LookWritten
from rounds.service.exposure.cleaning import enter_cleaned
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plan.due_text import again_text, done_text, holds_text, short_text
from rounds.service.plan.today import plan_day
from rounds.service.plant.reasons import Reason
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import seen_status
from rounds.service.round import RoundWalk, begin
from rounds.words.forms import in_100, minutes_seconds
from tests.days import detail_of

TODAY = date(2026, 5, 4)
LONG_AGO = TODAY - timedelta(90)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
Wait = Callable[[float], None]


def before(days: int) -> date:
    return TODAY - timedelta(days)


@pytest.fixture
def shelf(add: Add, look: LookIn) -> None:
    """Five small plants; P01 to P04 are due, P05 is not."""
    for number, days in enumerate((8, 8, 7, 7, 1), 1):
        add(f"P{number:02}", on=LONG_AGO)
        look(f"P{number:02}", before(days))


def walked(begun: RoundWalk, wait: Wait) -> None:
    while begun.view().stage != "end":
        wait(begun.course.planned_here())
        begun.go_on()


def test_the_minutes_that_would_hold_all_are_told_and_who_waits(
    shelf: None, logbook: Logbook
) -> None:
    plan = plan_day(logbook, TODAY, 0.6)
    assert holds_text(plan) == "2 minutes would cover all that is due; no time for P02, P03, P04"
    some = "2 minutes would cover all that is due; no time for P02 and 2 more"
    assert holds_text(plan, 1) == some
    assert holds_text(plan, 0) == "all due takes 2 minutes; 3 wait"
    assert holds_text(plan_day(logbook, TODAY, 2.0)) == ""


def test_who_waits_in_quarantine_is_named_first(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S09", on=LONG_AGO, arrived=before(20), place="stair foot")
    look("S09", before(4), seconds=360)
    text = holds_text(plan_day(logbook, TODAY, 0.5), 1)
    assert text == "all due takes 3 minutes; no time for S09 (in quarantine) and 3 more"


def test_where_nobody_waits_but_one_gets_too_little_only_the_minutes_are_told(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("P01", on=LONG_AGO, size="large")
    look("P01", before(1), "axils", seconds=60, counts={"removed": 2})
    plan = plan_day(logbook, TODAY, 1.0)
    assert not plan.due_waits
    assert holds_text(plan).endswith(" minutes would cover all that is due")


def test_those_with_insects_that_get_too_little_are_told_with_how_much_more_they_need(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    for code in ("P01", "P02"):
        add(code, on=LONG_AGO, size="large")
        look(code, before(1), "axils", seconds=60, counts={"removed": 2})
    plan = plan_day(logbook, TODAY, 2.0)
    lacks = minutes_seconds(sum(p.owed_seconds - p.planned_seconds for p in plan.plan))
    assert short_text(plan, 0) == f"2 need {lacks} min more for insects"
    assert short_text(plan) in {
        f"{codes} need {lacks} min more: insects seen or likely"
        for codes in ("P01, P02", "P02, P01")
    }
    assert short_text(plan_day(logbook, TODAY, 20.0)) == ""


def test_a_plant_the_sums_still_think_infested_is_in_the_round_and_says_so(
    shelf: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    """Found on 9 days ago in a short look: it was left out for plants of 97 in 100."""
    put_place(logbook, local_noon(LONG_AGO), "sill", PlaceDetails())
    add("S09", on=LONG_AGO, place="sill", size="large")
    look("S09", before(9), "axils", seconds=60, counts={"removed": 5})
    look("S09", before(1), seconds=120)
    [own] = [p for p in plan_day(logbook, TODAY, 1.0).plan if p.status.code == "S09"]
    assert own.status.chance_clean is not None
    assert own.status.chance_clean < 0.25
    assert own.claim == "alive"
    assert own.reasons[0] == Reason(
        "probably-infested",
        f"likely still infested: clean {in_100(own.status.chance_clean)}; "
        "insects last found 9 days ago",
        "likely still infested",
    )
    # the log alone does not know it
    assert seen_status(record(logbook, "S09")).claim.code == "unseen"


def test_a_spot_that_a_plant_with_insects_left_is_due_until_it_is_cleaned(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("P01", on=LONG_AGO, spot="3")
    look("P01", before(1), "axils", counts={"removed": 5})
    plant_gone(logbook, local_noon(TODAY), "P01", "died")
    [due] = day_of(logbook, TODAY).due
    assert (due.kind, due.status.code, due.waiting_days) == ("clean-spot", "P01", 0)
    enter_cleaned(logbook, local_noon(TODAY), "porch shelf", "3")
    assert day_of(logbook, TODAY).due == ()


def test_a_day_on_which_all_that_was_due_is_done_says_so_and_what_one_more_round_would_bring(
    shelf: None, logbook: Logbook, wait: Wait
) -> None:
    assert done_text(plan_day(logbook, TODAY, 2.0)) == ""
    walked(begin(logbook, plan_day(logbook, TODAY, 1.7)), wait)
    plan = plan_day(logbook, TODAY, 2.0)
    assert done_text(plan) == "done: all that was due is checked"
    assert again_text(plan) == "one more round of 2 minutes would check P05"
    assert again_text(plan, 0) == "one more round would check 1 plant"
    assert holds_text(plan) == ""


def test_a_day_that_is_done_tells_who_was_never_fully_checked_and_when_they_come_due(
    shelf: None, add: Add, logbook: Logbook, wait: Wait
) -> None:
    for code, days in (("S07", 2), ("S08", 4)):
        add(code, on=before(days))
    walked(begin(logbook, plan_day(logbook, TODAY, 1.7)), wait)
    plan = plan_day(logbook, TODAY, 0.1)
    assert [status.code for status in plan.unchecked] == ["S08", "S07"]
    assert done_text(plan) == (
        "done: all due is checked; 2 never fully checked yet, due from 7 May"
    )
    [only] = [status for status in plan.unchecked if status.code == "S08"]
    assert done_text(replace(plan, unchecked=(only,))) == (
        "done: all due is checked; S08 never fully checked yet, due 7 May"
    )


def test_a_round_after_which_something_is_due_is_not_the_end_of_the_day(
    shelf: None, logbook: Logbook, wait: Wait
) -> None:
    walked(begin(logbook, plan_day(logbook, TODAY, 0.8)), wait)
    plan = plan_day(logbook, TODAY, 0.2)
    assert plan.rounds == 1
    assert done_text(plan) == ""
    assert holds_text(plan) == "1 minute would cover all that is due; no time for P02"


# Why.


def record(logbook: Logbook, code: str) -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, TODAY)


def told(logbook: Logbook, code: str) -> dict[str, str]:
    reasons: tuple[Reason, ...] = seen_status(record(logbook, code)).reasons
    return {reason.code: reason.text for reason in reasons}


def test_insects_known_to_live_on_a_plant_are_told_by_when_they_were_found(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    for code, days in (("P01", 0), ("P02", 1), ("P03", 7), ("P04", 8)):
        put_place(logbook, local_noon(LONG_AGO), f"shelf {code}", PlaceDetails())
        add(code, on=LONG_AGO, place=f"shelf {code}")
        look(code, before(days), "axils", counts={"removed": 1})
    put_place(logbook, local_noon(LONG_AGO), "shelf P05", PlaceDetails())
    add("P05", on=LONG_AGO, place="shelf P05")
    look("P05", before(20), "axils", counts={"left": 1})
    texts = {code: told(logbook, code)["found-lately"] for code in ("P01", "P02", "P03", "P04")}
    assert texts == {
        "P01": "insects found today",
        "P02": "insects found yesterday",
        "P03": "insects found 7 days ago",
        "P04": "insects last found 26 April",
    }
    assert told(logbook, "P05")["found-lately"] == "insects left untouched on it 14 April"


def test_a_look_over_all_of_it_that_was_too_short_to_be_a_full_check_is_told(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("P01", on=LONG_AGO)
    add("P02", on=LONG_AGO)
    look("P01", before(12))
    for code in ("P01", "P02"):
        look(code, before(2), seconds=20)
    assert told(logbook, "P01")["unseen"] == "briefly checked 2 days ago, not fully for 12 days"
    assert told(logbook, "P02")["never-seen"] == "briefly checked 2 days ago, never fully"


@pytest.mark.parametrize(
    ("stands", "code", "text"),
    [
        ({"touches": ("P01",)}, "near-touching", "touches P01, which had insects 2 May"),
        ({"spot": "4"}, "near-spot", "stands beside P01, which had insects 2 May"),
        ({"spot": "9"}, "near-place", "shares its place with P01, which had insects 2 May"),
    ],
)
def test_a_plant_near_a_find_says_how_near_and_whose(
    add: Add, look: LookIn, logbook: Logbook, stands: dict[str, object], code: str, text: str
) -> None:
    add("P01", on=LONG_AGO, spot="3")
    add("P02", on=LONG_AGO, **stands)
    look("P02", before(5))
    look("P01", before(6), "axils", counts={"removed": 1})
    look("P01", before(2), "axils", counts={"removed": 1})
    assert told(logbook, "P02")[code] == text
    look("P02", TODAY)
    assert code not in told(logbook, "P02")


def test_a_plant_whose_infested_neighbour_has_left_says_that_it_stood_there(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("P01", on=LONG_AGO, spot="3")
    add("P02", on=LONG_AGO, spot="9")
    look("P02", before(5))
    look("P01", before(2), "axils", counts={"removed": 1})
    plant_gone(logbook, local_noon(before(1)), "P01", "died")
    told_of = told(logbook, "P02")["near-place"]
    assert told_of == "shared its place with P01, which had insects 2 May"


def test_a_plant_in_quarantine_beside_one_with_insects_says_so_on_its_page(
    add: Add, look: LookIn, logbook: Logbook
) -> None:
    for code in ("P01", "P02"):
        add(code, on=before(20), place="stair foot", arrived=before(20))
    look("P01", before(1), "axils", counts={"removed": 1})
    look("P02", TODAY)
    beside = "beside P01, insects 3 May"
    assert detail_of(record(logbook, "P02")).beside == beside
    assert detail_of(record(logbook, "P01")).beside == ""
    put_place(logbook, local_noon(before(20)), "other stair", PlaceDetails(apart=True))
    add("P03", on=before(20), place="other stair", arrived=before(20))
    assert detail_of(record(logbook, "P03")).beside == ""

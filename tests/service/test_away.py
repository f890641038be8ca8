"""Days away: entered and taken back, the longer first round after them, the list before them."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.clock import SetClock
from rounds.core.away import Away, Stretch, minutes_back, stretches
from rounds.core.collection import Plant
from rounds.errors import BadInput
from rounds.service.collection.apart import put_apart
from rounds.service.collection.away_entry import enter_away, name_of
from rounds.service.day.at_hand import day_of, planned_day
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon, now
from rounds.service.plan.away import back_on, keep_minutes, minutes_of
from rounds.service.plan.leaving import Leaving, before_leaving
from rounds.service.plan.today import plan_day
from rounds.service.plant.reasons import away_between, stretch_text
from rounds.service.round import RoundWalk

TODAY = date(2026, 5, 4)
LEFT, LAST = date(2026, 4, 24), date(2026, 5, 3)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


def go(logbook: Logbook, first: date, last: date) -> Away:
    return enter_away(logbook, now(logbook.clock), first, last)[1]


@pytest.fixture
def shelf(add: Add, look: LookIn) -> None:
    """Two plants of the collection and one apart, last seen whole the day before leaving."""
    for code in ("G02", "G04"):
        add(code, on=TODAY - timedelta(60))
        look(code, LEFT - timedelta(1))
    add("S03", on=LEFT - timedelta(5), place="stair foot", arrived=LEFT - timedelta(5))
    look("S03", LEFT - timedelta(1))


def test_days_away_that_meet_are_one_stretch() -> None:
    def away(first: int, last: int) -> Away:
        return Away(first, date(2026, 5, first), date(2026, 5, last))

    def stretch(first: int, last: int) -> Stretch:
        return Stretch(date(2026, 5, first), date(2026, 5, last))

    assert stretches([away(9, 12), away(1, 3), away(4, 6)]) == [stretch(1, 6), stretch(9, 12)]
    assert stretches([away(1, 9), away(3, 5)]) == [stretch(1, 9)]
    assert stretches([away(1, 3), away(5, 5)]) == [stretch(1, 3), stretch(5, 5)]
    assert stretch(1, 6).days == 6


@pytest.mark.parametrize(
    ("days", "minutes"), [(0, 10.0), (7, 20.0), (14, 30.0), (15, 30.0), (300, 30.0)]
)
def test_a_week_away_doubles_the_first_round_and_nothing_more_than_trebles_it(
    days: int, minutes: float
) -> None:
    assert minutes_back(10.0, days, 7, 3) == pytest.approx(minutes)


def test_the_first_round_back_is_longer_until_one_is_walked(
    shelf: None, logbook: Logbook, clock: SetClock, walk: Callable[[], RoundWalk]
) -> None:
    assert back_on(logbook, TODAY) is None
    go(logbook, LEFT, LAST)
    back = back_on(logbook, TODAY)
    assert back is not None
    # 10 x (1 + 10 / 7), in whole minutes
    assert (back.stretch.days, back.usual_minutes, back.minutes) == (10, 10.0, 24.0)
    assert back.sentence == ("back after 10 days: 24 minutes today, 14 more than usual")
    assert plan_day(logbook, TODAY).minutes == 24.0
    # nobody looked on the first day either: the second is the first
    assert minutes_of(logbook, TODAY + timedelta(1)) == 24.0
    walk()
    assert minutes_of(logbook, TODAY) == 24.0
    assert minutes_of(logbook, TODAY + timedelta(1)) == 10.0


def test_what_a_stand_in_entered_leaves_the_first_round_long(
    shelf: None, logbook: Logbook, look: LookIn
) -> None:
    go(logbook, LEFT, LAST)
    look("S03", LAST)
    assert minutes_of(logbook, TODAY) == 24.0
    look("G02", TODAY)
    assert minutes_of(logbook, TODAY + timedelta(1)) == 10.0


def test_minutes_chosen_on_the_first_day_back_are_of_that_day_alone(
    shelf: None, logbook: Logbook
) -> None:
    assert not keep_minutes(logbook, TODAY, 12.0)
    go(logbook, LEFT, LAST)
    assert minutes_of(logbook, TODAY) == 29.0
    assert keep_minutes(logbook, TODAY, 5.0)
    back = back_on(logbook, TODAY)
    assert back is not None
    assert "5 minutes today, 7 fewer than usual" in back.sentence
    assert logbook.minutes() == 12.0
    assert minutes_of(logbook, TODAY + timedelta(1)) == 29.0


def test_a_plant_unseen_meanwhile_says_so_without_reproach(shelf: None, logbook: Logbook) -> None:
    def reasons() -> dict[str, list[tuple[str, str]]]:
        return {
            planned.status.code: [(r.code, r.text) for r in planned.status.reasons]
            for planned in plan_day(logbook, TODAY).plan
        }

    assert reasons()["G02"] == [("unseen", "not fully checked for 11 days")]
    entered = go(logbook, LEFT, LAST)
    said = "not fully checked for 11 days; you were away 24 April to 3 May"
    assert reasons()["G02"] == [("unseen", said)]
    withdraw(logbook, now(logbook.clock), str(name_of(entered)))
    assert reasons()["G02"] == [("unseen", "not fully checked for 11 days")]
    assert minutes_of(logbook, TODAY) == 10.0
    with pytest.raises(BadInput, match="no entry"):
        withdraw(logbook, now(logbook.clock), str(name_of(entered)))


def test_days_away_move_no_streak(shelf: None, logbook: Logbook, look: LookIn) -> None:
    def streak() -> int:
        plant = logbook.collection().plant("S03")
        assert plant is not None
        return record_of(logbook, plant, TODAY).streak.looks

    look("S03", TODAY)
    before = streak()
    go(logbook, LEFT, LAST)
    assert streak() == before


def test_days_that_cannot_be_are_refused(logbook: Logbook) -> None:
    go(logbook, LEFT, LAST)
    for first, last, code in (
        (LAST, LEFT, "away-backwards"),
        (LEFT, LEFT + timedelta(366), "away-too-long"),
        (LEFT, LAST, "away-known"),
    ):
        with pytest.raises(BadInput) as refused:
            go(logbook, first, last)
        assert refused.value.code == code
    assert len(logbook.collection().away) == 1


def test_another_connection_sees_days_away(logbook: Logbook, clock: SetClock) -> None:
    assert logbook.collection().away == ()
    with Logbook(logbook.file.path, clock) as other:
        entered = go(other, LEFT, LAST)
    assert logbook.collection().away == (entered,)


def test_away_days_are_told_by_where_they_fall(logbook: Logbook) -> None:
    go(logbook, LEFT, LAST)
    assert away_between(logbook, LAST, TODAY) is None
    assert away_between(logbook, LAST - timedelta(1), TODAY) == Stretch(LEFT, LAST)
    assert away_between(logbook, LEFT - timedelta(9), LEFT - timedelta(1)) is None
    # a sheet for a day between is read by somebody who is there
    assert away_between(logbook, LEFT - timedelta(9), LEFT + timedelta(3)) is None


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (date(2026, 5, 4), date(2026, 5, 14), "4 to 14 May"),
        (date(2026, 4, 28), date(2026, 5, 2), "28 April to 2 May"),
        (date(2026, 5, 4), date(2026, 5, 4), "on 4 May"),
        (date(2025, 5, 4), date(2026, 5, 4), "4 May 2025 to 4 May"),
    ],
)
def test_days_away_in_words(first: date, last: date, said: str) -> None:
    assert stretch_text(Stretch(first, last), TODAY) == said


def leaving_today(logbook: Logbook) -> Leaving:
    day = planned_day(logbook, TODAY)
    return before_leaving(day.ordered, TODAY, day.next_away, day.choices.rules.gap_days)


def test_before_leaving_lists_what_is_followed_and_what_falls_due_clean_side_first(
    shelf: None, logbook: Logbook, look: LookIn
) -> None:
    look("G04", TODAY, "axils", seconds=9.0, counts={"doubtful": 1})
    without = leaving_today(logbook)
    assert without.stretch is None
    assert [line.status.code for line in without.lines] == ["G04", "S03"]
    assert without.stand_in == ()
    go(logbook, TODAY, TODAY + timedelta(13))
    leaving = leaving_today(logbook)
    doubt, apart = leaving.lines
    # its roots count from a day on which nobody is there
    assert [reason.code for reason in apart.reasons] == ["quarantine", "roots"]
    assert apart.seconds == pytest.approx(30 + 120)
    assert [reason.code for reason in doubt.reasons] == ["doubt"]
    assert leaving.stand_in == ("S03",)
    assert leaving.seconds == pytest.approx(apart.seconds + doubt.seconds)


def test_a_few_days_away_ask_for_no_stand_in(shelf: None, logbook: Logbook) -> None:
    go(logbook, TODAY, TODAY + timedelta(5))
    leaving = leaving_today(logbook)
    assert [line.status.code for line in leaving.lines] == ["S03"]
    assert leaving.stand_in == ()


def test_who_was_seen_today_is_left_to_the_stand_in(
    shelf: None, logbook: Logbook, look: LookIn
) -> None:
    look("G02", LEFT, "axils", counts={"removed": 1})
    look("G02", TODAY)
    assert [due.kind for due in day_of(logbook, TODAY).due] == ["set-apart"]
    put_apart(logbook, now(logbook.clock), "G02")
    go(logbook, TODAY, TODAY + timedelta(7))
    line = next(line for line in leaving_today(logbook).lines if line.status.code == "G02")
    assert [reason.code for reason in line.reasons] == ["seen"]
    assert (line.seconds, line.stand_in) == (0.0, True)


def test_a_local_noon_is_no_part_of_days_away(logbook: Logbook) -> None:
    name, entered = enter_away(logbook, local_noon(TODAY), LEFT, LAST)
    assert str(name) == f"away-20260424-0-{entered.id}"

"""Settings: one of a few words each; what is kept and not known counts as the usual."""

from datetime import date

import pytest

from rounds.clock import SetClock
from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import CHOICES, choose, choose_next, chosen, display_of
from rounds.service.logbook.moment import local_noon, now
from rounds.service.logbook.settings import keep_keeper, keep_usual, keeper
from rounds.words.display import Display, display, show_as
from rounds.words.forms import calendar_day, day_month, degree_days, temperature, volume

TODAY = date(2026, 5, 4)


@pytest.mark.parametrize("name", CHOICES)
def test_choices_go_round_and_come_back_to_the_usual(logbook: Logbook, name: str) -> None:
    # the logbook of these tests has its second looks and the own eye switched off
    choose(logbook, name, CHOICES[name][0])
    seen = [choose_next(logbook, name) for _ in CHOICES[name]]
    assert seen == [*CHOICES[name][1:], CHOICES[name][0]]


@pytest.mark.parametrize("name", sorted(set(CHOICES) - {"second-looks", "own-eye"}))
def test_before_anything_is_chosen_the_usual_holds(logbook: Logbook, name: str) -> None:
    assert logbook.setting(name) is None
    assert chosen(logbook, name) == CHOICES[name][0]


def test_a_choice_there_is_not_is_refused_and_nothing_kept(logbook: Logbook) -> None:
    with pytest.raises(BadInput):
        choose(logbook, "rules", "lax")
    assert logbook.setting("rules") is None


@pytest.mark.parametrize("name", CHOICES)
def test_what_is_kept_and_not_known_counts_as_the_usual(logbook: Logbook, name: str) -> None:
    logbook.put_setting(name, "of a later version")
    assert chosen(logbook, name) == CHOICES[name][0]
    assert display_of(logbook) == Display()
    assert logbook.rules("mealybug", logbook.clock.today()).name == "default"


def test_rules_are_those_chosen(logbook: Logbook) -> None:
    for name in CHOICES["rules"]:
        choose(logbook, "rules", name)
        assert logbook.rules("mealybug", logbook.clock.today()).name == name


def test_a_setting_changes_the_stamp_that_pages_are_read_again_by(logbook: Logbook) -> None:
    before = logbook.stamp()
    choose_next(logbook, "hygiene")
    assert logbook.stamp() != before


def test_a_name_given_at_the_start_comes_before_the_one_kept(logbook: Logbook) -> None:
    assert keeper(logbook, None) is None
    keep_keeper(logbook, "  Keeper ")
    assert keeper(logbook, None) == "Keeper"
    assert keeper(logbook, "Second Keeper") == "Second Keeper"
    keep_keeper(logbook, "")
    assert keeper(logbook, None) is None


def test_the_usual_warmth_of_a_place_is_dated(logbook: Logbook, clock: SetClock) -> None:
    keep_usual(logbook, local_noon(date(2026, 4, 1)), "porch shelf", 16.0)
    place = keep_usual(logbook, now(clock), "PORCH SHELF", 21.0)
    assert place.usual_c(date(2026, 5, 3)) == 16.0
    assert place.usual_c(TODAY) == 21.0


@pytest.mark.parametrize(
    ("shown", "day", "says"),
    [
        (Display(), TODAY, "4 May"),
        (Display(), date(2025, 5, 4), "4 May 2025"),
        (Display("month-day"), TODAY, "May 4"),
        (Display("month-day"), date(2025, 5, 4), "May 4, 2025"),
        (Display("iso"), TODAY, "2026-05-04"),
    ],
)
def test_days_are_written_as_shown(shown: Display, day: date, says: str) -> None:
    show_as(shown)
    try:
        assert calendar_day(day, TODAY) == says
        assert day_month(TODAY, TODAY) == "today"
    finally:
        show_as(Display())


def test_volumes_are_written_in_the_unit_shown() -> None:
    assert (volume(28.571), volume(1071.4), volume(0.5)) == ("28.6 ml", "1071 ml", "0.5 ml")
    show_as(Display(fluid_ounces=True))
    try:
        # a US gallon is 3,785.411784 ml, exactly: NIST Handbook 44, Appendix C
        assert (volume(3785.411784), volume(3785.411784 / 128)) == ("128 fl oz", "1 fl oz")
    finally:
        show_as(Display())


def test_temperatures_and_degree_days_are_written_in_the_unit_shown() -> None:
    assert display() == Display()
    assert (temperature(17.5), degree_days(485)) == ("17.5 degC", "485")
    show_as(Display(fahrenheit=True))
    try:
        # water freezes at 32 and boils at 212 degF; a step of degC is 1.8 of degF
        assert (temperature(0), temperature(100), degree_days(485)) == (
            "32 degF", "212 degF", "873",
        )  # fmt: skip
    finally:
        show_as(Display())

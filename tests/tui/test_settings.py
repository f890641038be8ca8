"""What is set at the desk holds on every screen, at once and in the next run."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.core.estimates.own_detection import OwnDetection
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import local_noon, now
from rounds.tui.keys import key_set
from rounds.tui.page import Page
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.settings import SettingsScreen
from rounds.tui.screens.today import TodayScreen
from rounds.words.display import Display, display
from tests.tui.reading import PLACES, SIZES, complaints, sizes_in_turn

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]


async def to_desk_line(driver: Any, text: str) -> None:
    await driver.press("0", "enter")
    await driver.shows("menu   ")
    number = next(word for word in driver.row_with(text).split() if word.isdigit())
    await driver.press(*number, "enter")


async def to_settings(driver: Any) -> None:
    await to_desk_line(driver, "settings")
    await driver.until(lambda: isinstance(driver.screen, SettingsScreen), "the settings")


async def press_line(driver: Any, code: str) -> None:
    codes = [setting.code for setting in driver.screen.settings()]
    await driver.press(*str(codes.index(code) + 1), "enter")


async def to_today(driver: Any) -> None:
    while not isinstance(driver.screen, TodayScreen):
        await driver.press("q")


def typed(text: str) -> list[str]:
    return ["space" if c == " " else c for c in text]


async def test_days_are_written_as_chosen_on_every_screen(demo: Path, opened: Opened) -> None:
    async with opened(demo) as driver:
        await driver.shows("today 4 May", "due since 3 May")
        await to_settings(driver)
        await press_line(driver, "dates")
        await driver.shows("days are written: May 4 from now on")
        await to_today(driver)
        await driver.shows("today May 4", "due since May 3")
        await to_settings(driver)
        await press_line(driver, "dates")
        await to_today(driver)
        await driver.shows("today 2026-05-04", "due since 2026-05-03")
    assert display() == Display()
    async with opened(demo) as driver:
        await driver.shows("today 2026-05-04")
        await to_settings(driver)
        await press_line(driver, "dates")
        await to_today(driver)
        await driver.shows("today 4 May")


@pytest.mark.parametrize("style", ["month-day", "iso"])
async def test_pages_hold_together_however_days_are_written(
    demo: Path, opened: Opened, clock: SetClock, style: str
) -> None:
    with Logbook(demo, clock) as logbook:
        choose(logbook, "dates", style)
    found = []
    async with opened(demo) as driver:
        await driver.shows("planned", "begin the round")
        ways = ("", "l", "q", "u", "q", "1 enter", "enter", "q", "2 enter")
        for turn, keys in enumerate(ways):
            await driver.press(*keys.split())
            for page in (await driver.pages_at(sizes_in_turn(turn))).values():
                found += complaints(page, plain=True)
    assert found == []


async def test_temperatures_are_shown_and_typed_in_the_unit_chosen(
    few: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(few) as driver:
        await driver.shows("18 degC is assumed")
        await to_settings(driver)
        await press_line(driver, "degrees")
        # the places are the last lines, and a page of 24 rows ends before them
        whole = (await driver.page_at(80, 40)).text()
        assert "usual temperature, stair foot" in whole
        assert "64.4 degF, assumed" in whole
        await driver.press(*str(driver.screen.lines_count()), "enter")
        await driver.shows("usual temperature at stair foot", "blank keeps 64.4 degF")
        await driver.press(*"68", "enter")
        await driver.shows("usual temperature, stair foot: 68 degF from now on")
        await to_today(driver)
        await driver.shows("64.4 degF is assumed")
        await driver.press("1", "enter", "2", "enter")
        # 485 degree-days of degC are 873 of degF
        await driver.shows("end quarantine", "degree-days of degF", "873")
    with Logbook(few, clock) as logbook:
        place = logbook.collection().place("stair foot")
        assert place is not None
        assert place.usual_c(clock.today()) == pytest.approx(20.0)
        assert place.usual_c(date(2026, 5, 3)) == pytest.approx(20.0)


async def test_volumes_are_shown_and_typed_in_the_unit_chosen_and_a_dilution_keeps_nothing(
    few: Path, opened: Opened
) -> None:
    async with opened(few) as driver:
        await driver.shows("today 4 May")
        before = driver.app.logbook.stamp()
        await to_desk_line(driver, "a dilution")
        # the cautions stand there before anything is typed
        await driver.shows("Alcohol burns", "Mix no products", "label and local rules")
        await driver.press(*typed("70"), "enter", *typed("80"), "enter", *typed("100"), "enter")
        await driver.shows("water makes it weaker: not above 70 percent")
        await driver.press(*["backspace"] * 2, *typed("20 %"), "enter", "enter")
        await driver.shows("28.6 ml of stock, 71.4 ml of water: 100 ml of 20 percent")
        await driver.shows("y one more", "Alcohol burns")
        await driver.press("y", "enter", "enter", *typed("1 l"), "enter")
        await driver.shows("286 ml of stock, 714 ml of water: 1000 ml")
        await driver.shows("By a cup: 290 ml;", "1.5 percent too strong.")
        await driver.press("n")
        assert driver.app.logbook.stamp() == before
        await driver.press("q")
        await to_settings(driver)
        await press_line(driver, "volumes")
        await driver.shows("volumes: US fl oz from now on")
        await driver.press("q")
        await to_desk_line(driver, "a dilution")
        await driver.press(*typed("70"), "enter", *typed("35"), "enter", *typed("8"), "enter")
        await driver.shows("4 fl oz of stock, 4 fl oz of water: 8 fl oz of 35 percent")
        cup = "By a cup: 4 fl oz; just as strong as wanted."
        await driver.until(lambda: cup in " ".join(driver.text.split()), "the cup")


async def test_a_day_of_a_place_is_entered_and_corrected(
    few: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(few) as driver:
        await driver.shows("today 4 May")
        await to_desk_line(driver, "temperatures of a day")
        await driver.until(lambda: isinstance(driver.screen, FormScreen), "the form")
        await driver.press(*typed("stair"), "enter", "enter", *"14", "enter", *"12", "enter")
        await driver.shows("12 degC is below the low, 14 degC")
        await driver.press("n", *"68f", "enter")
        await driver.shows("write it? stair foot, 3 May: 14 degC to 20 degC")
        await driver.press("y")
        await driver.shows("saved: stair foot, 3 May", "another day at this place?")
        await driver.press("y", "enter", "enter", *"15", "enter", *"21", "enter")
        await driver.shows("15 degC to 21 degC; in place of 14 degC to 20")
        await driver.press("y", "n")
    with Logbook(few, clock) as logbook:
        found = logbook.collection()
        place = found.place("stair foot")
        assert place is not None
        entered = found.weather[place.id][date(2026, 5, 3)]
        assert (entered.min_c, entered.max_c) == (15.0, 21.0)


async def test_the_rules_chosen_judge_a_quarantine_under_way(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        await driver.shows("today 4 May")
        before = driver.record("S03").criteria
        await to_settings(driver)
        await driver.shows("30 days in quarantine, 485 degree-days (Celsius)")
        await press_line(driver, "rules")
        await driver.shows("to end quarantine: lenient from now on")
        await press_line(driver, "rules")
        await driver.shows("to end quarantine: strict from now on")
        after = driver.record("S03").criteria
        assert [c.need for c in after] != [c.need for c in before]
        await to_today(driver)
        await driver.press("1", "enter", "2", "enter")
        await driver.shows("strict rules")


async def test_keys_and_colours_hold_from_the_next_page_on(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        await driver.shows("today 4 May", "q leave")
        await to_settings(driver)
        await press_line(driver, "colours")
        await driver.shows("colours: light from now on")
        await press_line(driver, "keys")
        await driver.shows("keys: right hand from now on")
        await driver.press("q")
        await driver.shows("menu   ")
        assert driver.app.theme == "rounds-light"
        out = key_set("right")["leave"]
        assert out != "q"
        await driver.press(out)
        await driver.shows("today 4 May", f"{out} leave")


async def test_the_own_eye_says_what_was_learned_and_is_switched_off(
    few: Path, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    learned = OwnDetection(0.8, 0.62, 1.13, 12, 30)
    monkeypatch.setattr("rounds.tui.screens.settings.known_eye", lambda *_: learned)
    async with opened(few) as driver:
        await driver.shows("today 4 May")
        await to_settings(driver)
        codes = [setting.code for setting in driver.screen.settings()]
        await driver.press(*["space"] * codes.index("own-eye"))
        said = " ".join(driver.text.split())
        assert "how well you find" in said
        assert "0.8x as sharp as assumed (0.6 to 1.1), from 12 second looks and 30 finds" in said
        await driver.press("enter")
        await driver.shows("your own eye: as assumed from now on")


@pytest.mark.parametrize("size", [(80, 24), (40, 24)])
async def test_the_own_pace_says_how_it_came_about_and_is_set_aside(
    demo: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(demo, size=size) as driver:
        await driver.shows("today 4 May")
        learned = driver.screen.day.plan.pace
        assert learned > 1
        await to_settings(driver)
        codes = [setting.code for setting in driver.screen.settings()]
        await driver.press(*["space"] * codes.index("own-pace"))
        told = f"You take {learned:.1f}x as long as planned: the middle one of your last 50"
        assert told in " ".join(driver.text.split())
        assert "interrupted ones do not count." in " ".join(driver.text.split())
        assert complaints(driver.page, plain=True) == []
        await driver.press("enter")
        await driver.shows("your own pace: off")
        await to_today(driver)
        assert driver.screen.day.plan.pace == 1
        assert "you take " not in driver.text
        await to_settings(driver)
        await press_line(driver, "own-pace")
        await to_today(driver)
        assert driver.screen.day.plan.pace == learned


async def test_without_stops_the_round_goes_straight_on(few: Path, opened: Opened) -> None:
    async with opened(few) as driver:
        await driver.shows("today 4 May")
        await to_settings(driver)
        await press_line(driver, "hygiene")
        await driver.shows("stops for clean hands: off from now on")
        await to_today(driver)
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.screen, RoundScreen), "the round")
        await driver.look(1.0, "f", "z", "v")
        await driver.shows("plant 2 of 3")
        assert driver.screen.view.stage == "zone"


async def test_who_is_at_the_keyboard_is_kept_and_stands_in_the_round_and_the_history(
    few: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(few, who="") as driver:
        await driver.shows("today 4 May")
        await to_desk_line(driver, "who is at the keyboard")
        await driver.shows("name, then enter (blank keeps not said")
        await driver.press(*typed("Second Keeper"), "enter")
        await driver.shows("who is at the keyboard: Second Keeper from now on")
        await to_today(driver)
        await driver.press("enter")
        await driver.shows("Second Keeper is walking this round")
        await driver.look(30.0, "v", "q")
        await driver.press("l", "0", "enter", *"G02", "enter", "enter", "1", "enter")
        await driver.press("1", "enter")
        await driver.shows("Second Keeper")
    async with opened(few, who="Keeper") as driver:
        # a name given at the start wins, and what is set holds for later
        await driver.shows("a round is under way")
        assert driver.screen.who == "Keeper"
        await to_desk_line(driver, "who is at the keyboard")
        await driver.press(*"-", "enter")
        await driver.shows("in this one --who says Keeper")
    with Logbook(few, clock) as logbook:
        assert logbook.setting("who") == ""


async def test_what_cannot_be_kept_is_said_and_an_empty_line_changes_nothing(
    few: Path, opened: Opened
) -> None:
    async with opened(few) as driver:
        await driver.shows("10 minutes planned")
        await to_settings(driver)
        await press_line(driver, "minutes")
        await driver.press(*"700", "enter")
        await driver.shows("'700' is not a number of minutes")
        await press_line(driver, "minutes")
        await driver.press(*"qx", "enter")
        await driver.shows("'qx' is not a number")
        await press_line(driver, "minutes")
        await driver.press("enter")
        await press_line(driver, "usual")
        await driver.press(*"900", "enter")
        await driver.shows("not a temperature plants live at; try -60 degC to 70 degC")
        await press_line(driver, "minutes")
        await driver.press(*"12", "enter")
        await driver.shows("minutes for a round: 12 minutes from now on")
        await driver.press("h")
        await driver.shows("goes on to the next choice")
        await driver.press("h")
        await to_today(driver)
        await driver.shows("12 minutes planned")


async def test_the_page_holds_together_at_every_size_and_names_its_keys(
    few: Path, opened: Opened, clock: SetClock, keys_named: KeysNamed
) -> None:
    with Logbook(few, clock) as logbook:
        for number in range(12):
            name = f"{PLACES[number % 2]} {number}"
            put_place(logbook, local_noon(date(2026, 5, 1)), name, PlaceDetails())
        assert now(clock).day == date(2026, 5, 4)
    async with opened(few) as driver:
        await driver.shows("today 4 May")
        await to_settings(driver)
        for index in range(driver.screen.lines_count()):
            driver.screen.mark = index
            for page in (await driver.pages_at(sizes_in_turn(index))).values():
                assert complaints(page, plain=False) == []
                assert {"enter", "q", "h", "1-9"} <= keys_named(page)
        await press_line(driver, "usual")
        assert driver.screen.line is not None
        for page in (await driver.pages_at(SIZES)).values():
            assert complaints(page, plain=False) == []
            assert {"enter", "ctrl+q"} <= keys_named(page)


async def test_on_a_large_screen_the_choices_of_the_marked_line_are_listed(
    few: Path, opened: Opened
) -> None:
    async with opened(few, size=(120, 40)) as driver:
        await to_settings(driver)
        await driver.shows("to end quarantine", "it may be", "> default", "lenient", "strict")
        await driver.press("enter")
        await driver.shows("> lenient")
        assert "> default" not in driver.text
        # what is typed has no choices
        await driver.press("space")
        await driver.until(lambda: "it may be" not in driver.text, "no choices")
        assert "it may be" not in (await driver.page_at(80, 24)).text()

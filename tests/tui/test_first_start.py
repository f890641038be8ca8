"""The first start by keys alone: from an empty logbook into the first round."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

import pytest
from textual.events import Paste

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.tui.page import Page
from rounds.tui.screens.first_start import FirstStartScreen
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.reading import NAMES, PLACES, SIZES, complaints

Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]


async def line(driver: Any, typed: str, says: str = "") -> None:
    """One typed line, taken by enter."""
    await driver.press(*("space" if c == " " else c for c in typed), "enter")
    if says:
        await driver.shows(says)


async def to_plants(driver: Any) -> None:
    await driver.shows("first start", "saved line by line")
    await line(driver, "glass porch", "saved: glass porch")


async def paste(driver: Any, text: str) -> None:
    driver.app.post_message(Paste(text))
    await driver.whole()


async def test_from_nothing_into_the_first_round(empty: Path, opened: Opened) -> None:
    async with opened(empty) as driver:
        await to_plants(driver)
        await line(driver, "Thole", "P01 Thole is at glass porch")
        await line(driver, "G02 Cuddy", "G02 Cuddy is at")
        await line(driver, "Gaff", "G03 Gaff is at")
        await line(driver, "")
        await line(driver, "tiny", "is not a size; try small, mid-size or large")
        await driver.press(*["backspace"] * 4)
        await line(driver, "s", "all of them are small")
        await line(driver, "cud", "Where is the quarantine place?")
        await line(driver, "stair foot", "in quarantine from today at stair foot: G02")
        await driver.shows("G02 Cuddy: new here, or insects seen on it?")
        await line(driver, "i", "G02: insects seen, number unknown")
        await line(driver, "")
        await line(driver, "12", "12 minutes a round")
        await line(driver, "20", "usually 20 degC")
        await line(driver, "Cuddy axils 3 8:10", "3 removed at axils, G02, 8:10")
        await line(
            driver,
            "",
        )
        await driver.shows("enter  begin the first round", "3: Thole, Cuddy, Gaff", "G02 at stair")
        await driver.press("enter")
        await driver.until(lambda: isinstance(driver.screen, RoundScreen), "the round")
        await driver.shows("plant 1 of 3", "of 12:00")
        cuddy, thole = driver.record("G02"), driver.record("P01")
        assert cuddy.standing == "quarantine"
        assert thole.standing == "collection"
        assert [(look.zone, look.live(), look.seconds) for look in cuddy.log] == [("axils", 3, 0.0)]
        assert cuddy.log[0].began_at == int(driver.clock.instant.timestamp()) - 50 * 60
        assert cuddy.last_find_on == cuddy.on
        assert (cuddy.body.size, thole.body.size) == ("small", "small")
        assert not thole.temperature_assumed
        assert not cuddy.temperature_assumed


async def test_empty_lines_lead_through_with_what_is_usual(empty: Path, opened: Opened) -> None:
    async with opened(empty) as driver:
        await line(driver, "", "A place is needed")
        await to_plants(driver)
        await line(driver, "", "The first round needs a plant")
        await line(driver, "Thole", "P01 Thole")
        for _ in range(6):
            await line(driver, "")
        await driver.shows("enter  begin the first round", "18 degC, assumed")
        await driver.press("q")
        await driver.until(lambda: isinstance(driver.screen, TodayScreen), "today")
        await driver.shows("1 plant, and it fits", "10 minutes planned")
        assert driver.record("P01").temperature_assumed


async def test_several_lines_are_pasted_all_or_none(empty: Path, opened: Opened) -> None:
    async with opened(empty) as driver:
        await to_plants(driver)
        await paste(driver, "Thole\r\nG07 Lanyard\n\nBollard\n")
        await driver.shows("3 plants at glass porch", "P01  Thole", "G07  Lanyard", "G08  Bollard")
        await paste(driver, "Gimbal\nG07 Another\n")
        await driver.shows("G07")
        names = {plant.fact("name", driver.clock.today()) for plant in driver.screen.start.plants}
        assert names == {"Thole", "Lanyard", "Bollard"}
        await paste(driver, "Gimb")
        await line(driver, "al", "G09 Gimbal is at")


async def test_an_interrupted_start_is_gone_on_with(empty: Path, opened: Opened) -> None:
    async with opened(empty) as driver:
        await to_plants(driver)
        await line(driver, "Thole", "P01 Thole")
        await driver.press(*"Cud")
    async with opened(empty) as driver:
        # what was taken is there, what was not is not
        await driver.shows("first start", "P01  Thole")
        assert driver.row_with("_").startswith("  > ")
        for _ in range(3):
            await line(driver, "")
        await line(driver, "15", "15 minutes a round")
    async with opened(empty) as driver:
        await driver.shows("15", "> temperature", "day and night together")
        await driver.press("up", "up", "up", "up")
        await line(driver, "Cuddy", "P02 Cuddy")
        for _ in range(6):
            await line(driver, "")
        await driver.shows("begin the first round")
    async with opened(empty) as driver:
        await driver.shows("today 4 May", "all 2 plants fit")
        assert isinstance(driver.screen, TodayScreen)


async def test_without_a_place_they_stand_apart_where_they_are(empty: Path, opened: Opened) -> None:
    async with opened(empty) as driver:
        await to_plants(driver)
        await paste(driver, "Thole\nCuddy")
        await driver.shows("2 plants")
        await line(driver, "")
        await line(driver, "")
        await line(driver, "P01, Cuddy", "Where is the quarantine place?")
        await line(driver, "", "in quarantine from today: P01, P02")
        assert driver.record("P02").standing == "quarantine"
        assert len(driver.screen.start.places) == 1


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("Thole axils", "does not say what was removed where"),
        ("Thole axils 0", "does not say what was removed where"),
        ("Thole 3", "does not say what was removed where"),
        ("3", "does not say what was removed where"),
        ("9:00", "does not say what was removed where"),
        ("Halyard axils 3", "no plant 'Halyard'"),
        ("Thole wings 3", "no zone 'wings'"),
        ("Thole axils 3 23:10", "23:10 is still to come"),
        ("Thole axils 3 8:77", "8:77' is not a time of day"),
        ("Tho axils 3", "'Tho' may be P01, P02"),
    ],
)
async def test_a_removal_that_cannot_be_read_writes_nothing_and_stays_in_the_line(
    empty: Path, opened: Opened, typed: str, says: str
) -> None:
    async with opened(empty) as driver:
        await to_plants(driver)
        await paste(driver, "Thole\nThorn")
        await driver.shows("2 plants")
        for _ in range(5):
            await line(driver, "")
        await driver.shows("Insects you removed earlier")
        await line(driver, typed, says)
        assert driver.row_with(">").endswith(f" {typed}_")
        assert driver.record("P01").log == ()


async def test_a_removal_without_a_time_is_an_hour_ago_and_asks_to_put_it_apart(
    empty: Path, opened: Opened
) -> None:
    async with opened(empty) as driver:
        await to_plants(driver)
        await line(driver, "Jib Boom", "P01")
        for _ in range(5):
            await line(driver, "")
        await line(driver, "jib boom stem 12", "12 removed at stem base, P01, 8:00; P01: the first")
        await line(driver, "")
        await driver.press("q")
        await driver.shows("quarantine at once")


async def test_what_cannot_be_taken_is_said(empty: Path, opened: Opened) -> None:
    async with opened(empty) as driver:
        await to_plants(driver)
        await line(driver, "Thole", "P01")
        await line(driver, "P01 Other", "P01")
        assert len(driver.screen.start.plants) == 1
        await driver.press(*["backspace"] * 9)
        await line(driver, "")
        await line(driver, "")
        await line(driver, "Halyard", "no plant 'Halyard'")
        await driver.press(*["backspace"] * 7)
        await line(driver, "")
        await line(driver, "700", "is not a number of minutes; try 1 to 600")
        await driver.press(*["backspace"] * 3)
        await line(driver, "")
        await line(driver, "900", "not a temperature plants live at; try -60 degC to 70 degC")
        await driver.press(*["backspace"] * 3)
        await line(driver, "64F", "usually 17.8 degC")


async def test_a_collection_entered_otherwise_needs_no_first_start(
    few: Path, empty: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(few) as driver:
        await driver.shows("today 4 May")
    with Logbook(empty, clock) as logbook:
        put_place(logbook, now(clock), "porch shelf", PlaceDetails())
    async with opened(empty) as driver:
        # a place is there: the plants come next
        await driver.shows("first start", "One plant a line")
        with Logbook(empty, clock) as logbook:
            details = PlantDetails(name="Thole", place="porch shelf", already_here=True)
            add_plant(logbook, now(clock), "G02", details)
        await driver.shows("G02  Thole")


async def test_the_page_holds_together_at_every_size_and_names_its_keys(
    empty: Path, opened: Opened, clock: SetClock, keys_named: KeysNamed
) -> None:
    with Logbook(empty, clock) as logbook:
        at = now(clock)
        for name in PLACES:
            put_place(logbook, at, name, PlaceDetails())
    async with opened(empty) as driver:
        for code, name in NAMES:
            await paste(driver, f"{code}\nP1{code} {name}\n")
        await check_sizes(driver, keys_named)
        while driver.screen.step != "end":
            before = driver.screen.step
            await line(driver, "")
            assert isinstance(driver.screen, FirstStartScreen)
            assert driver.screen.step != before
            await check_sizes(driver, keys_named)


async def check_sizes(driver: Any, keys_named: KeysNamed) -> None:
    at_end = driver.screen.step == "end"
    for page in (await driver.pages_at(SIZES)).values():
        assert complaints(page, plain=False) == []
        assert ({"enter", "q"} if at_end else {"enter", "up", "ctrl+q"}) <= keys_named(page)
        assert any(cell.role == "here" for row in page.rows for cell in row) != at_end


async def to_starts(driver: Any) -> None:
    """Two plants in quarantine of three, of which nothing is said yet."""
    await to_plants(driver)
    await paste(driver, "Thole\nCuddy\nGaff")
    await driver.shows("3 plants")
    await line(driver, "")
    await line(driver, "")
    await line(driver, "P01, P02", "Where is the quarantine place?")
    await line(driver, "stair foot", "in quarantine from today at stair foot: P01, P02")


async def test_of_each_plant_in_quarantine_it_is_asked_whether_it_is_new_or_infested(
    empty: Path, opened: Opened
) -> None:
    async with opened(empty) as driver:
        await to_starts(driver)
        await driver.shows("P01 Thole: new here, or insects seen on it?")
        await line(driver, "", "Is P01 new here, or were insects seen on it?")
        await line(driver, "x", "Is P01 new here, or were insects seen on it?")
        await driver.press("backspace")
        await line(driver, "ins", "P01: insects seen, number unknown")
        await driver.shows("P02 Cuddy: new here", "P01  insects seen: Thole")
        await line(driver, "n", "P02: new here")
        await driver.shows("P02  new: Cuddy", "Code or name of each plant")
        infested, new, other = (driver.record(code) for code in ("P01", "P02", "P03"))
        assert infested.likely.chance_clean < 1e-9
        # a new arrival: one in four supposed infested, and .38 of these with no insect at all
        assert new.likely.chance_clean == pytest.approx(1 - 0.25 * (1 - 7**-0.5), abs=1e-9)
        assert other.likely.chance_clean > 0.98
        assert infested.last_find_on == infested.on
        assert (new.last_find_on, new.standing) == (None, "quarantine")


async def test_a_question_left_open_is_asked_again(empty: Path, opened: Opened) -> None:
    async with opened(empty) as driver:
        await to_starts(driver)
    async with opened(empty) as driver:
        await driver.shows("P01 Thole: new here, or insects seen on it?")
        await driver.press("up")
        await driver.shows("small, mid-size or large")
        await line(driver, "", "P01 Thole: new here, or insects seen on it?")


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (40, 24)])
async def test_the_question_is_in_sight_at_every_size(
    empty: Path, opened: Opened, width: int, height: int
) -> None:
    async with opened(empty, (width, height)) as driver:
        await to_plants(driver)
        await line(driver, "Thole", "P01")
        await line(driver, "")
        await line(driver, "")
        await line(driver, "P01")
        await line(driver, "")
        await driver.shows("P01", "new here, or insects seen on", "n new, i insects seen")
        assert "empty line: go on" not in driver.text


async def test_form_and_size_can_be_given_with_a_plant(empty: Path, opened: Opened) -> None:
    async with opened(empty) as driver:
        await to_plants(driver)
        await line(driver, "G02 Thole, fern, large", "G02 Thole is at glass porch")
        await line(driver, "Cuddy, sm", "G03 Cuddy is at")
        await line(driver, "Gaff", "G04 Gaff is at")
        await driver.shows("G02  Thole, fern, large", "G03  Cuddy, small", "G04  Gaff")
        await line(driver, "Jib, blue", "'blue' is neither a growth form nor a size")
        await driver.press(*["backspace"] * 9)
        await line(driver, "Jib, fern, bulb", "'bulb' is said twice over in one line")
        await driver.press(*["backspace"] * 15)
        await line(driver, "")
        await line(driver, "l", "large at glass porch: G04")
        bodies = [driver.record(code).body for code in ("G02", "G03", "G04")]
        assert [body.form for body in bodies] == ["fern", "leafy-plant", "leafy-plant"]
        assert [body.size for body in bodies] == ["large", "small", "large"]


async def test_a_second_place_never_changes_plants_of_the_first(
    empty: Path, opened: Opened
) -> None:
    async with opened(empty) as driver:
        await to_plants(driver)
        await paste(driver, "Thole\nCuddy")
        await driver.shows("2 plants")
        await line(driver, "")
        await line(driver, "small", "all of them are small")
        await line(driver, "cud", "Where is the quarantine place?")
        await line(driver, "stair foot", "in quarantine from today at stair foot: P02")
        await line(driver, "new", "P02: new here")
        await line(driver, "")
        await line(driver, "")
        await line(driver, "20", "usually 20 degC")
        before = {code: driver.record(code) for code in ("P01", "P02")}
        await driver.press(*["up"] * 6)
        await line(driver, "south sill", "saved: south sill")
        await line(driver, "Gaff", "P03 Gaff is at south sill")
        await line(driver, "")
        await line(driver, "large", "large at south sill: P03")
        await line(driver, "gaff", "in quarantine from today at stair foot: P03")
        await line(driver, "ins", "P03: insects seen")
        await line(driver, "")
        await line(driver, "")
        await line(driver, "25", "usually 25 degC")
        for code, record in before.items():
            after = driver.record(code)
            assert after.body == record.body
            assert (after.plant.moves, after.plant.facts) == (
                record.plant.moves,
                record.plant.facts,
            )
            assert (after.standing, after.standing_since) == (
                record.standing,
                record.standing_since,
            )
            assert after.temperatures.range_c(after.plant, after.on) == (20.0, 20.0)
        assert driver.record("P03").body.size == "large"

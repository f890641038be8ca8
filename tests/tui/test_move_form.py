"""Moving a plant by keys: what the question says before it is written."""

from datetime import timedelta
from pathlib import Path

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, move_plant, put_place
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.forms.move import move_form
from tests.tui.conftest import Opens


async def test_a_move_in_from_outdoors_is_said_to_count_as_arriving(
    few_for_long: Path, opened: Opens, clock: SetClock
) -> None:
    with Logbook(few_for_long, clock) as logbook:
        at = local_noon(clock.today() - timedelta(days=2))
        put_place(logbook, at, "yard", PlaceDetails(outdoors=True))
        move_plant(logbook, at, "G04", "yard")
    async with opened(few_for_long) as driver:
        assert driver.app.logbook is not None
        driver.app.push_screen(move_form(driver.app.logbook, "G04"))
        await driver.shows("A quarantine place")
        await driver.press(*"porch", "pagedown")
        said = "in from outdoors: counts as arriving, in quarantine from today"
        for size, page in (await driver.pages_at([(80, 24), (40, 24), (120, 40)])).items():
            assert said in " ".join(page.text().split()), size
        await driver.press("y")
        assert driver.record("G04").standing == "quarantine"


async def test_who_takes_insects_along_to_others_is_told_so(
    few_for_long: Path, opened: Opens, clock: SetClock
) -> None:
    with Logbook(few_for_long, clock) as logbook:
        at = local_noon(clock.today() - timedelta(days=2))
        enter_look(logbook, at, "G02", LookEntered(("axils",), 20, {"removed": 2}))
    async with opened(few_for_long) as driver:
        assert driver.app.logbook is not None
        risk = "not advised: insects were found on it 2 May, and plants near it there are at risk"
        for code, place, is_told in (
            ("G02", "stair", False), ("G02", "porch", True), ("G04", "porch", False)
        ):  # fmt: skip
            driver.app.push_screen(move_form(driver.app.logbook, code))
            await driver.shows("A quarantine place")
            await driver.press(*place, "enter", *"9", "pagedown")
            await driver.shows("write it?")
            assert (risk in " ".join(driver.text.split())) is is_told, (code, place)
            await driver.press("q")

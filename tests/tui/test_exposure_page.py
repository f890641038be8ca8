"""Who stood near a find, from the page of its plant: one key watches all, one takes it back."""

from datetime import timedelta
from pathlib import Path

from rounds.clock import SetClock
from rounds.service.collection.plants import move_plant, plant_gone
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.tui.pages.plant import lines_of
from rounds.tui.screens.exposure import ExposureScreen
from rounds.tui.screens.plant import PlantScreen
from tests.tui.conftest import Opens
from tests.tui.reading import complaints
from tests.tui.touring import worked_out


def codes_to_watch(page: ExposureScreen) -> list[str]:
    """The plants that one key would put on watch now."""
    return [exposed.status.code for exposed in page.found.to_watch]


async def test_one_key_watches_all_that_stood_near_and_one_takes_it_back(
    demo: Path, opened: Opens, clock: SetClock
) -> None:
    day = clock.today()
    with Logbook(demo, clock) as logbook:
        moment = local_noon(day - timedelta(1))
        enter_look(logbook, moment, "G06", LookEntered(("axils",), 30.0, {"removed": 1}))
        plant_gone(logbook, moment, "G05", "given-away")
        move_plant(logbook, local_noon(day), "G06", "stair foot")
    async with opened(demo, size=(80, 24)) as driver:
        await worked_out(driver)
        # what is said here rests on places and days: no key waits for the sums of the others
        driver.waits = False
        assert driver.app.logbook is not None
        await driver.app.push_screen(PlantScreen(driver.app.logbook, "G06", None))
        await driver.shows("who stood near")
        page_of_plant = driver.screen
        assert isinstance(page_of_plant, PlantScreen)
        at = lines_of(page_of_plant.detail.status).index("exposure") + 1
        await driver.press(*str(at), "enter")
        page = driver.screen
        assert isinstance(page, ExposureScreen)
        await driver.shows("who stood near", "Insects on G06", "watch all")
        (given,) = [exposed for exposed in page.found.plants if exposed.gone_on]
        assert (given.status.code, given.gone_on) == ("G05", day - timedelta(1))
        assert complaints(driver.page, plain=True) == []
        for size, shown in (await driver.pages_at([(40, 24), (60, 20), (120, 40)])).items():
            assert complaints(shown, plain=True) == [], size
        codes = codes_to_watch(page)
        assert len(codes) > 1
        await driver.press("y")
        await driver.shows("On watch now:")
        assert codes_to_watch(page) == []
        assert "watch all" not in driver.text
        await driver.press("x")
        assert codes_to_watch(page) == codes
        await driver.press(*str(len(page.found.plants) + 1), "space")
        await driver.shows("keep it empty until")
        await driver.press("enter", "y")
        await driver.shows("cleaned", "x undo")
        (spot,) = page.found.emptied
        assert spot.cleaned_on == day
        await driver.press("x")
        await driver.shows("undone")
        assert page.found.emptied[0].cleaned_on is None

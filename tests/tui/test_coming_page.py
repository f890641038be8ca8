"""The next days on the screen: from today by one key, and on to the plant of a line."""

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.core.away import Stretch
from rounds.core.quarantine.brood import Brood
from rounds.core.quarantine.criteria import CHANCE_CLEAN, CLEAN_LOOKS, DAYS_APART
from rounds.service.collection.away_entry import enter_away
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plan.agenda import of_coming
from rounds.service.plan.coming import TOLD, Coming
from rounds.service.plant.status import PlantStatus
from rounds.tui.screens.coming import ComingScreen
from rounds.tui.screens.round import RoundScreen
from tests.tui.conftest import Opens
from tests.tui.reading import complaints
from tests.tui.touring import worked_out


async def test_a_line_of_the_next_days_opens_its_plant_and_one_comes_back(
    demo: Path, opened: Opens
) -> None:
    async with opened(demo) as driver:
        await worked_out(driver)
        await driver.press("j")
        await driver.shows("next days", "to 18 May")
        screen = driver.screen
        assert isinstance(screen, ComingScreen)
        at = len(screen.lines) - 1
        status = screen.lines[at].status
        assert status is not None
        await driver.press(*str(at + 1), "enter")
        await driver.shows(f"{status.code}  {status.name}", "enter a look")
        await driver.press("q")
        await driver.shows("next days")
        assert screen.mark == at
        await driver.press("q")
        await driver.shows("enter  begin the round")


@pytest.mark.parametrize(
    ("size", "said"),
    [((80, 24), "may rejoin the others"), ((60, 24), "may rejoin"), ((40, 24), "may rejoin")],
)
async def test_every_kind_is_said_in_its_words(
    demo: Path, opened: Opens, clock: SetClock, size: tuple[int, int], said: str
) -> None:
    day = clock.today()
    kinds = ("release", "roots", "watch", *TOLD, "hatch", "hatch-most", "hatched")
    brood = Brood(date(2026, 9, 20), day, day, day)
    async with opened(demo, size=size) as driver:
        status = status_of(driver, "S05")
        of = dict.fromkeys(("hatch", "hatch-most", "hatched"), brood)
        on = day + timedelta(1)
        await show(driver, [Coming(on, status, kind, brood=of.get(kind)) for kind in kinds])
        assert complaints(driver.page, plain=True) == []
        rows = [row for row in driver.text.splitlines() if "S05" in row and "May" in row]
        assert len(rows) == len(set(row[12:] for row in rows)) == len(kinds)
        assert rows[0].endswith(said)
        assert ".." not in driver.text


def status_of(driver: Any, code: str) -> PlantStatus:
    """A plant as it stands today."""
    found = [status for status in driver.app.days.today().ordered if status.code == code]
    assert isinstance(found[0], PlantStatus)
    return found[0]


async def show(driver: Any, lines: list[Coming]) -> None:
    """The next days, with these lines."""
    await worked_out(driver)
    await driver.press("j")
    driver.screen.lines = [of_coming(line, driver.screen.day.on) for line in lines]
    driver.screen.paint()
    await driver.whole()


async def test_the_longest_meanings_have_room_beside_their_lines(demo: Path, opened: Opens) -> None:
    day = date(2026, 9, 10)
    brood = Brood(date(2026, 9, 20), day, day, day)
    away = Stretch(date(2026, 9, 28), date(2026, 11, 12))
    async with opened(demo, size=(120, 40)) as driver:
        status = status_of(driver, "S05")
        lines = [
            Coming(day, status, "hatch", brood=brood),
            Coming(day, status, "hatch-most", brood=brood),
            Coming(day, status, "hatched", brood=brood),
            Coming(day, None, "away", away=away),
            Coming(day, None, "back", away=away),
            *(Coming(day, status, code, waits=tuple({*TOLD, "medium_and_roots"} - {code}))
              for code in TOLD),
            *(Coming(day, status, kind) for kind in ("release", "roots", "watch", DAYS_APART)),
        ]  # fmt: skip
        await show(driver, lines)
        text = driver.text
    assert ".." not in text
    assert "nobody looks 28 September to 12 November" in text
    assert "laid by 20 September, the last find; all young by then" in text
    assert text.count("then still ") == len(TOLD)
    assert text.count("then all met") == 1


async def test_the_marked_line_says_what_it_means_and_at_120_columns_every_line(
    demo: Path, opened: Opens
) -> None:
    async with opened(demo) as driver:
        await worked_out(driver)
        await driver.press("j")
        screen = driver.screen
        assert isinstance(screen, ComingScreen)
        await driver.press(*["space"] * 6)
        (meaning,) = screen.told().otherwise
        assert screen.lines[6].text in meaning
        for size, page in (await driver.pages_at([(80, 24), (60, 20), (40, 24)])).items():
            assert meaning in " ".join(page.text().split()), size
            assert complaints(page, plain=True) == []
        wide = (await driver.page_at(120, 40)).text()
        # as many as are seen without scrolling
        for line in screen.told().lines[:18]:
            means = line.cells["means"]
            assert isinstance(means, tuple)
            assert f"{line.cells['what']} " in wide
            assert means[0] in wide
        assert "what it means" in wide
        assert ".." not in wide
        # a little narrower there is no room beside them
        assert "what it means" not in (await driver.page_at(119, 40)).text()


async def test_days_away_open_what_to_do_before_them_and_go_when_taken_back(
    demo: Path, opened: Opens, clock: SetClock
) -> None:
    day = clock.today()
    with Logbook(demo, clock) as logbook:
        enter_away(logbook, now(clock), day + timedelta(1), day + timedelta(10))
    async with opened(demo) as driver:
        await worked_out(driver)
        await driver.press("j")
        screen = driver.screen
        assert isinstance(screen, ComingScreen)
        at = [line.kind for line in screen.lines].index("away") + 1
        await driver.press(*str(at), "space")
        await driver.shows("5 May              10 days", "days away begin: nobody looks 5 to 14")
        back = next(line for line in screen.lines if line.kind == "back")
        assert (back.on, back.what) == (day + timedelta(11), "home again")
        narrow = " ".join((await driver.page_at(40, 24)).text().split())
        assert "5 May 10 days days away" in narrow
        # what is due leaves room for the plant it is about
        assert "today S03 finds rising" in narrow
        await driver.press(*str(at), "enter")
        await driver.shows("before leaving", "away 5 to 14 May, 10 days")
        await driver.press("x", "y", "q")
        await driver.shows("next days")
        assert not {"away", "back"} & {line.kind for line in screen.lines}


async def test_the_line_of_todays_looks_begins_the_round(demo: Path, opened: Opens) -> None:
    async with opened(demo) as driver:
        await worked_out(driver)
        await driver.press("j")
        screen = driver.screen
        assert isinstance(screen, ComingScreen)
        at = [line.kind for line in screen.lines].index("round")
        await driver.shows("due a look", f"{screen.lines[at].about}")
        await driver.press(*str(at + 1), "enter")
        await driver.shows("removed")
        assert isinstance(driver.screen, RoundScreen)
        # left, it comes back to today
        await driver.press("q")
        await driver.shows("enter  ")


async def test_the_same_of_several_plants_on_a_day_is_one_line_that_opens_who_they_are(
    demo: Path, opened: Opens, clock: SetClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    on = clock.today() + timedelta(3)
    async with opened(demo) as driver:
        await worked_out(driver)
        several = [status_of(driver, code) for code in ("S03", "S05", "S09")]
        expected = [Coming(on, status, CLEAN_LOOKS, waits=(CHANCE_CLEAN,)) for status in several]
        expected += [Coming(on, several[0], CHANCE_CLEAN), Coming(on, several[1], "watch")]
        expected += [Coming(on + timedelta(1), several[2], CLEAN_LOOKS)]
        lines = [of_coming(line, clock.today()) for line in expected]
        monkeypatch.setattr("rounds.tui.screens.coming.agenda", lambda *_, **__: lines)
        await driver.press("j")
        screen = driver.screen
        assert isinstance(screen, ComingScreen)
        assert [(line.about, line.code, line.kind) for line in screen.lines] == [
            ("3 plants", None, CLEAN_LOOKS), ("", "S03", CHANCE_CLEAN), ("", "S05", "watch"),
            ("", "S09", CLEAN_LOOKS),
        ]  # fmt: skip
        for size, page in (
            await driver.pages_at([(80, 24), (60, 20), (40, 24), (120, 40)])
        ).items():
            (row,) = (row for row in page.text().splitlines() if "3 plants" in row)
            assert "looks" in row, size
            assert complaints(page, plain=True) == []
        await driver.press("1", "enter")
        await driver.shows("next days", "enough clean looks", *(of.code for of in several))
        assert "3 plants" not in driver.text
        for page in (await driver.pages_at([(80, 24), (60, 20), (40, 24), (120, 40)])).values():
            assert complaints(page, plain=True) == []
            assert ".." not in page.text()
        await driver.press("2", "enter")
        await driver.shows(f"S05  {several[1].name}", "enter a look")
        # one is left of the three once it is expected of the others no more
        lines[:] = lines[1:2]
        await driver.press("q")
        assert isinstance(driver.screen, ComingScreen)
        assert [line.code for line in driver.screen.lines] == ["S05"]
        lines.clear()
        driver.screen.reload()
        await driver.shows("expected of nobody any more")
        await driver.press("q", "q")
        await driver.shows("enter  begin the round")


async def test_where_nothing_is_expected_it_says_so(few: Path, opened: Opens) -> None:
    async with opened(few) as driver:
        await worked_out(driver)
        await driver.press("j")
        await driver.shows("next days")
        screen = driver.screen
        assert isinstance(screen, ComingScreen)
        screen.lines = []
        screen.paint()
        await driver.shows("nothing due in the next 14 days")
        # without a line enter opens nothing, and space stays where it is
        await driver.press("space", "enter", "q")
        await driver.shows("enter  begin the round")

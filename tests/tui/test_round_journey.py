"""A whole round by keys alone: what the page says, and what then stands in the log."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.core.inference.answer import answer
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import now
from rounds.service.plant.record import PlantRecord
from rounds.service.round import live
from rounds.tui.screens.round import RoundScreen
from rounds.tui.screens.today import TodayScreen

Opened = Callable[..., AbstractAsyncContextManager[Any]]

SECONDS_PER_FIND = 8.0
OUTSIDE = ("new growth", "undersides", "axils", "sheaths", "stem base", "medium", "pot rim")
PLANTS = (
    ("G02", "Thole", "porch shelf"),
    ("G05", "Halyard", "porch shelf"),
    ("G14", "Gimbal", "porch shelf"),
    ("S03", "Pintle", "stair foot"),
)


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """An invented collection: three plants on the porch shelf, one newcomer apart."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        moment = now(clock)
        put_place(logbook, moment, "porch shelf", PlaceDetails())
        put_place(logbook, moment, "stair foot", PlaceDetails(apart=True))
        for code, name, place in PLANTS:
            details = PlantDetails(
                name=name, size="small", place=place, already_here=place == "porch shelf"
            )
            add_plant(logbook, moment, code, details)
        # one zone in twelve would ask for one, and has journeys of its own
        choose(logbook, "second-looks", "off")
    return path


def counts(record: PlantRecord) -> list[tuple[str, str, str | None, int]]:
    """What stands in the log of a plant: zone, kind, stage, how many."""
    return [
        (look.zone, tally.kind, tally.stage, tally.count)
        for look in record.log
        for tally in look.tallies
    ]


def outcomes(record: PlantRecord) -> list[tuple[str, str]]:
    """The closed looks of a plant, oldest first."""
    return [(look.zone, look.outcome) for look in record.log if not look.is_open]


def view_of(driver: Any) -> Any:
    screen = driver.screen
    assert isinstance(screen, RoundScreen)
    return screen.view


async def begin(driver: Any) -> None:
    await driver.shows("enter  begin the round")
    await driver.press("enter")
    await driver.shows("plant 1 of 4", "> new growth")


async def plant_without_finds(driver: Any) -> None:
    """One press for every clean step; those near a find have fewer of them than zones."""
    code = view_of(driver).plant.code
    for _ in OUTSIDE:
        await driver.look(55, "space")
        view = view_of(driver)
        if view.summary is not None or view.plant.code != code:
            return
    raise AssertionError("more steps than zones")


async def test_a_round_is_walked_by_keys_alone(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await begin(driver)
        first = view_of(driver).plant.code

        # one press an insect, a figure before a count, a stage after it
        await driver.look(4, "f")
        await driver.shows("G02 is infested. Quarantine from today?", "1 found")
        # counting goes on, and the question waits
        await driver.look(4, "3", "d", "a")
        await driver.shows("G02 is infested", "4 found")
        assert counts(driver.record(first)) == [
            ("new-growth", "removed", None, 1),
            ("new-growth", "killed", "adult", 3),
        ]
        await driver.press("s", "x")
        await driver.until(lambda: "untouched    0" in driver.text, "withdrawn")
        assert view_of(driver).message == "undone: 1 untouched at new growth"
        assert [kind for _, kind, _, _ in counts(driver.record(first))] == ["removed", "killed"]
        # every insect lifted takes seconds that are not spent looking
        await driver.look(44, "space")
        await driver.shows("saved: new growth of", "4 found alive, 0:52 min", "> undersides")

        # hidden, one back, a doubt
        await driver.press("c")
        await driver.shows("why can't you see it?", "2 covered")
        await driver.press("2")
        await driver.shows("undersides of G02, can't see", "> axils")
        await driver.look(25, "w", "space", "b")
        await driver.shows("back at axils", "3 of 7")
        await driver.press("space")
        await driver.shows("> sheaths")
        assert outcomes(driver.record(first))[:3] == [
            ("new-growth", "looked"),
            ("undersides", "cannot-see"),
            ("axils", "looked"),
        ]
        # the next plant waits for the answer
        await driver.press("v")
        await driver.shows("> sheaths", "G02 is infested. Quarantine from today?", "z not now")
        await driver.press("z")
        await driver.shows("G02 not quarantined")
        # nothing on the rest: four zones share the seconds
        await driver.look(30, "v")
        await driver.shows("clean your hands before", "swab", "no flame", "space  done, next")
        rest = [look for look in driver.record(first).log if look.reason == "rest-of-plant"]
        assert [look.zone for look in rest] == ["sheaths", "stem-base", "medium", "pot-rim"]
        assert sum(look.seconds for look in rest) == pytest.approx(30, abs=0.01)

        await driver.press("f")
        await driver.shows("clean hands and tools first")
        assert sum(number for *_, number in counts(driver.record(first))) == 5
        await driver.press("space")
        await driver.shows("plant 2 of 4")

        await plant_without_finds(driver)
        await driver.shows("plant 3 of 4", "done: nothing alive; streak 1 look")
        await plant_without_finds(driver)
        await driver.shows("plant 4 of 4", "S03  Pintle", "stair foot", "║ quarantined today")
        await plant_without_finds(driver)

        await driver.shows("all 4 plants", "4 found alive on 1 plant")
        assert driver.row_with("4 found, 1 unsure").split()[:2] == ["*", first]
        assert f"{first} undersides" in driver.row_with("couldn't be seen")
        await driver.press("space")
        await driver.until(lambda: isinstance(driver.screen, TodayScreen), "today again")
        await driver.shows("done for today: nothing is left to check")
        for code in ("G05", "G14", "S03"):
            record = driver.record(code)
            assert len(outcomes(record)) == len(OUTSIDE)
            assert record.last_complete_look_on == driver.clock.today()


async def test_leaving_in_the_middle_comes_back_to_the_very_zone(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await begin(driver)
        await driver.look(12, "space")
        await driver.look(7, "f", "q")
        await driver.shows("a round is under way", "enter  go on with the round")
        # what passes away from the round is not time spent looking
        await driver.look(500, "enter")
        await driver.shows("> undersides", "0:07 of about", "0:19 of 10:00 min", "1 found")
        assert counts(driver.record(view_of(driver).plant.code)) == [
            ("undersides", "removed", None, 1)
        ]
        # the whole program is left, from the middle of the round
        await driver.press("ctrl+q")
    async with opened(path) as driver:
        await driver.shows("a round is under way")
        await driver.press("enter")
        await driver.shows("> undersides", "1 found")


async def test_capital_letters_count_as_small_ones(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await begin(driver)
        await driver.press("F", "T", "W")
        code = view_of(driver).plant.code
        assert counts(driver.record(code)) == [
            ("new-growth", "removed", "young", 1),
            ("new-growth", "doubtful", None, 1),
        ]
        await driver.press("X")
        await driver.shows("undone: 1 unsure")
        await driver.press("H")
        await driver.shows("h  closes this")
        await driver.press("Q")
        await driver.shows("a round is under way")


async def test_help_swallows_no_press(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await begin(driver)
        await driver.press("h")
        await driver.shows("undoes the newest entry", "h  closes this")
        await driver.press("f")
        await driver.shows("saved: 1 removed, new growth of")
        await driver.press("h", "h")
        await driver.shows("saved: 1 removed, new growth of")
        assert counts(driver.record(view_of(driver).plant.code)) == [
            ("new-growth", "removed", None, 1)
        ]


@pytest.mark.parametrize("key", ["m", "M", "enter", "full_stop", "up", "tab", "end"])
async def test_a_key_without_meaning_clears_the_figures(
    path: Path, opened: Opened, key: str
) -> None:
    async with opened(path) as driver:
        await begin(driver)
        await driver.press("1", "2")
        await driver.shows("number: 12")
        await driver.press(key)
        await driver.until(lambda: "number: " not in driver.text, "number cleared")
        await driver.press("f")
        await driver.shows("saved: 1 removed, new growth of")


async def test_a_figure_beyond_the_most_is_not_taken(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await begin(driver)
        await driver.press("9", "9", "9")
        await driver.shows("99 at a time at most", "number: 99")
        await driver.press("f")
        await driver.shows("saved: 99 removed, new growth of")


async def test_a_find_after_a_pause_works_nothing_out_in_its_own_frame(
    path: Path, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[int] = []

    def counting(log: Any, budget: int, **asked: Any) -> Any:
        made.append(budget)
        return answer(log, budget, **asked)

    monkeypatch.setattr(live, "answer", counting)
    async with opened(path) as driver:
        await begin(driver)
        await driver.until(lambda: driver.screen.pause_after_press is None, "a pause")
        before = len(made)
        # the next pause is far off, however long the machine takes for a key
        monkeypatch.setattr("rounds.tui.screens.round.LOOK_AHEAD_AFTER", 3600.0)
        await driver.press("f")
        await driver.shows("1 found")
        assert before == len(made) == 2, "one for the zone as it is, and one for a find"


async def test_the_clock_stands_where_no_key_comes(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await begin(driver)
        await driver.look(20, "r")
        await driver.shows("paused; any key restarts")
        await driver.look(300, "f")
        await driver.shows("0:20 of about")
        await driver.look(300, "space")
        # 20 s, and of the rest only the minute after which the clock stops by itself
        await driver.shows("saved: new growth of", "1 found alive, 1:20 min")


async def test_what_a_press_wrote_can_be_taken_back_after_the_end(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await begin(driver)
        for _ in range(4):
            await driver.look(60, "v")
        await driver.shows("all 4 plants", "nothing alive seen")
        await driver.press("x")
        await driver.shows("plant 4 of 4", "undone: new growth is open again")
        await driver.press("f")
        await driver.shows("saved: 1 removed, new growth of")
        assert counts(driver.record("S03")) == [("new-growth", "removed", None, 1)]


async def test_a_terminal_too_small_for_a_page_still_counts(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await begin(driver)
        await driver.resize(39, 11)
        await driver.shows("40 columns and 12 rows are needed; 0")
        await driver.press("f", "f")
        await driver.shows("40 columns and 12 rows are needed; 2")
        await driver.resize(80, 24)
        await driver.shows("saved: 1 removed, new growth of", "2 found")


async def test_a_plant_left_among_the_others_is_quarantined_by_one_key_until_the_round_is_over(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await begin(driver)
        code = view_of(driver).plant.code
        await driver.press("f", "z", "v")
        await driver.shows("clean your hands before", f"p quarantine {code}", "can't be moved")
        await driver.press("p")
        await driver.shows(f"{code} is in quarantine from today")
        assert "p quarantine" not in driver.text
        assert driver.record(code).standing == "quarantine"
        await driver.press("p")
        await driver.shows("p answers a question; none is asked")

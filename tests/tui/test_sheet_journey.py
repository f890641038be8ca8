"""A stand-in's sheet is typed in afterwards; days away are entered, lived through, taken back."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.errors import Refused
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.exchange.sheet_entry import (
    SheetDraft,
    ZoneLine,
    draft_kept,
    enter_plant,
    order_of,
)
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.history import events_of
from rounds.service.plant.zones import PlannedZone
from rounds.tui.forms.fields import FieldFault
from rounds.tui.forms.sheet_line import line_letters, line_text, read_line
from rounds.tui.screens.desk import DeskScreen
from rounds.tui.screens.sheet_entry import SheetEntryScreen
from rounds.tui.screens.today import TodayScreen
from tests.tui.touring import desk_number

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
YESTERDAY = TODAY - timedelta(days=1)


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """Invented: two small plants of the collection, one apart, all since 10 April."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        moment = local_noon(date(2026, 4, 10))
        put_place(logbook, moment, "porch shelf", PlaceDetails())
        put_place(logbook, moment, "stair foot", PlaceDetails(apart=True))
        for code, name in (("G02", "Thole"), ("G04", "Cuddy")):
            here = PlantDetails(name=name, size="small", place="porch shelf", already_here=True)
            add_plant(logbook, moment, code, here)
        new = PlantDetails(name="Pintle", size="small", place="stair foot")
        add_plant(logbook, moment, "S03", new)
    return path


async def desk_line(driver: Any, code: str) -> None:
    """Open a line of the desk, from today or from the desk itself."""
    await driver.until(lambda: isinstance(driver.app.screen, TodayScreen | DeskScreen), "today")
    if isinstance(driver.app.screen, TodayScreen):
        await driver.press("0", "enter")
    await driver.press(*desk_number(code), "enter")


async def type_lines(driver: Any, *lines: str) -> None:
    """Each taken by enter; an empty one is enter alone."""
    for line in lines:
        await driver.press(*("space" if c == " " else c for c in line), "enter")


def day_of(driver: Any, code: str, day: date = YESTERDAY) -> list[Any]:
    """The looks of a plant on a day that stand."""
    return [look for look in driver.record(code).log if look.day == day]


def tallies(looks: list[Any]) -> list[tuple[str, str, int, str | None]]:
    return [(k.zone, t.kind, t.count, t.stage) for k in looks for t in k.tallies]


async def test_a_sheet_goes_in_as_one_round_of_its_day(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await desk_line(driver, "from-sheet")
        await type_lines(driver, "yesterday", "Ada")
        await driver.shows("Ada looked", "G02  Thole", "0 of 3 plants of the sheet are in")
        # enter alone; seconds; counts with their stages; hidden; then nothing on the rest
        await type_lines(driver, "", "40", "1:20 2fa 1ft 1w", "c", "v")
        await driver.shows("write G02, 3 May: 6 zones", "3 removed, 1 unsure, 1 not seen?")
        assert day_of(driver, "G02") == []
        await driver.press("y")
        await driver.shows("G04  Cuddy", "1 of 3 plants")
        await driver.shows(
            "saved: G02, 6 zones, 2:49, 3 removed", "alive, not in\n  quarantine yet"
        )
        looks = day_of(driver, "G02")
        by_zone = [(look.zone, look.outcome, look.seconds) for look in looks]
        assert by_zone[:2] == [("new-growth", "looked", 29.0), ("undersides", "looked", 40.0)]
        assert ("sheaths", "cannot-see", 0.0) in by_zone
        assert sum(look.seconds for look in looks if look.zone == "axils") == 80.0
        assert sorted(tallies(looks), key=str) == [
            ("axils", "doubtful", 1, None),
            ("axils", "removed", 1, "young"),
            ("axils", "removed", 2, "adult"),
        ]
        await type_lines(driver, "v")
        await driver.press("y")
        await type_lines(driver, "-", "v")
        await driver.shows("1 not checked?")
        await driver.press("y")
        await driver.shows("3 of 3 plants of the sheet are in")
        assert len(day_of(driver, "S03")) == 6
        rounds = {look.round_id for code in ("G02", "G04", "S03") for look in day_of(driver, code)}
        assert len(rounds) == 1
        assert {look.who for look in events_of(driver.record("S03")).looks} == {"Ada"}
        await type_lines(driver, "q")
        await driver.until(lambda: isinstance(driver.app.screen, DeskScreen), "the desk")
        # nothing is left to go on with
        await driver.press("enter")
        await driver.shows("> day")


async def test_a_sheet_can_be_left_and_gone_on_with(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(path) as driver:
        await desk_line(driver, "from-sheet")
        await type_lines(driver, "2026-05-02", "Ada", "v")
        await driver.press("y")
        await type_lines(driver, "", "3f")
        await driver.shows("G04  Cuddy", "3 removed")
    # the program was ended in the middle of a plant, and a day has passed
    clock.instant += timedelta(days=1)
    async with opened(path) as driver:
        await desk_line(driver, "from-sheet")
        await driver.shows("go on with the sheet of 2 May, Ada looked, 1 of 3 plants in?")
        await driver.press("f", "y")
        await driver.shows("G04  Cuddy", "3 removed", "> axils")
        assert day_of(driver, "G04", date(2026, 5, 2)) == []
        await type_lines(driver, "v")
        await driver.press("y")
        looks = day_of(driver, "G04", date(2026, 5, 2))
        assert tallies(looks) == [("undersides", "removed", 3, None)]
        await type_lines(driver, "q")
        await driver.press("enter")
        await driver.shows("2 of 3 plants in?")
        await driver.press("n")
        await driver.shows("> day")


async def test_x_takes_back_line_by_line_and_then_the_plant_before(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await desk_line(driver, "from-sheet")
        await type_lines(driver, "yesterday", "")
        await type_lines(driver, "x")
        await driver.shows("nothing was entered here yet")
        await type_lines(driver, "2f", "x")
        await driver.shows("undone: new growth", "> new growth")
        await type_lines(driver, "v")
        await driver.press("n")
        await driver.shows("undone: pot rim", "> pot rim")
        await type_lines(driver, "1w")
        await driver.press("y")
        await driver.shows("G04  Cuddy")
        assert len(day_of(driver, "G02")) == 7
        await type_lines(driver, "x")
        await driver.shows("G02  Thole", "> pot rim", "undone: G02, all but the lines here")
        assert day_of(driver, "G02") == []
        await type_lines(driver, "")
        await driver.press("y")
        assert len(day_of(driver, "G02")) == 7
        assert tallies(day_of(driver, "G02")) == []


async def test_any_plant_can_be_typed_and_one_can_wait(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await desk_line(driver, "from-sheet")
        await type_lines(driver, "today", "", "s03")
        await driver.shows("S03  Pintle", "of quarantine")
        await type_lines(driver, "", "g02")
        await driver.shows("S03 has lines that are not written: undo them first.")
        await driver.press(*["backspace"] * 3)
        await type_lines(driver, "z")
        await driver.shows("S03 has lines", "S03  Pintle")
        await type_lines(driver, "v")
        await driver.press("y")
        await driver.shows("G02  Thole")
        await type_lines(driver, "z")
        await driver.shows("G04  Cuddy", "G02 comes later")
        await type_lines(driver, *["-"] * 7)
        await driver.shows("nothing saved for G04", "G02  Thole")
        await type_lines(driver, "v")
        await driver.press("y")
        assert [len(day_of(driver, code, TODAY)) for code in ("G02", "G04", "S03")] == [7, 0, 7]


async def test_what_cannot_be_read_or_written_stays_on_the_line(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await desk_line(driver, "from-sheet")
        for wrong, said in (("soon", "'soon' is not a day"), ("2030-01-01", "has not come yet")):
            await type_lines(driver, wrong)
            await driver.shows(said, f"{wrong}_")
            await driver.press(*["backspace"] * len(wrong))
        # before any plant came: no plan, and no plant by its code
        await type_lines(driver, "2026-04-01", "")
        await driver.shows("no plant is planned for that day")
        await type_lines(driver, "G02")
        await driver.shows("G02_")
        await driver.press("backspace", "backspace", "backspace")
        await type_lines(driver, "q")
        await driver.press("enter")
        await type_lines(driver, "yesterday", "")
        for wrong, said in (
            ("2g", "'2g' is not a time"),
            ("rubbish", "'rubbish' cannot be read"),
            ("0f", "'0f' counts none"),
            ("40 50", "'50' cannot be read"),
            ("999999f", "999999"),
            ("99999", "99999"),
        ):
            await type_lines(driver, wrong)
            await driver.shows(said, f"{wrong}_", "> new growth")
            await driver.press(*["backspace"] * len(wrong))
        assert day_of(driver, "G02") == []


@pytest.mark.parametrize("code", ["2F", "40", "C", "Q", "-", ".C5"])
async def test_every_code_can_be_typed_with_a_dot_before_it(
    path: Path, opened: Opened, clock: SetClock, code: str
) -> None:
    with Logbook(path, clock) as logbook:
        details = PlantDetails(name="Bobstay", size="small", place="porch shelf", already_here=True)
        add_plant(logbook, local_noon(date(2026, 4, 10)), code, details)
    async with opened(path) as driver:
        await desk_line(driver, "from-sheet")
        await type_lines(driver, "yesterday", "", "z")
        await type_lines(driver, f".{code.lower()}")
        await driver.shows(f"{code}  Bobstay", "> new growth")
        assert driver.screen.draft.code == code
        # the short way of an ordinary code stays, and so does its long one
        await type_lines(driver, "g02")
        await driver.shows("G02  Thole")
        await type_lines(driver, ".S03")
        await driver.shows("S03  Pintle")


async def test_what_reads_as_a_count_says_how_the_plant_is_typed(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    with Logbook(path, clock) as logbook:
        for code in ("2F", "40"):
            details = PlantDetails(name="Fid", size="small", place="porch shelf", already_here=True)
            add_plant(logbook, local_noon(date(2026, 4, 10)), code, details)
    async with opened(path) as driver:
        await desk_line(driver, "from-sheet")
        await type_lines(driver, "yesterday", "")
        await driver.until(lambda: driver.screen.draft.code == "2F", "the first of the sheet")
        await driver.shows("G02  another plant", ".40  the plant 40")
        await type_lines(driver, "40")
        await driver.shows("40 was read as an entry; for the plant type .40", "> undersides")
        # lines of a plant at hand are not lost by it
        await type_lines(driver, ".40")
        await driver.shows("2F has lines that are not written", ".40_")
        await driver.press("backspace", "backspace", "backspace")
        await type_lines(driver, "x", ".99")
        await driver.shows("99", ".99_")
        await driver.press("backspace", "backspace", "backspace")
        await type_lines(driver, ".40")
        await driver.until(lambda: driver.screen.draft.code == "40", "the plant 40")


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 24), (40, 12)])
async def test_a_plant_without_finds_is_one_line(
    path: Path, opened: Opened, size: tuple[int, int]
) -> None:
    async with opened(path, size=size) as driver:
        await desk_line(driver, "from-sheet")
        await type_lines(driver, "yesterday", "Ada")
        for code in ("G02", "G04", "S03"):
            await driver.until(lambda code=code: driver.screen.plant.code == code, code)
            await type_lines(driver, "v")
            await driver.press("y")
        assert isinstance(driver.screen, SheetEntryScreen)
        for code in ("G02", "G04", "S03"):
            record = record_of(driver.app.logbook, driver.record(code).plant, YESTERDAY)
            assert record.last_complete_look_on == YESTERDAY


def test_two_windows_do_not_enter_a_plant_twice(path: Path, clock: SetClock) -> None:
    with Logbook(path, clock) as logbook:
        order = order_of(logbook, YESTERDAY).codes
        line = ZoneLine("axils", 30.0)
        draft = SheetDraft(YESTERDAY, "Ada", order, "G02", (line,))
        moment = local_noon(YESTERDAY, "Ada")
        entered = enter_plant(logbook, moment, draft)
        assert draft_kept(logbook) == entered
        with pytest.raises(Refused, match="another window"):
            enter_plant(logbook, moment, draft)
        (plant,) = (p for p in logbook.collection().plants.values() if p.code == "G02")
        assert len(record_of(logbook, plant, TODAY).log) == 1


def test_a_fault_in_the_last_line_leaves_nothing_of_a_plant(path: Path, clock: SetClock) -> None:
    with Logbook(path, clock) as logbook:
        lines = (ZoneLine("axils", 30.0), ZoneLine("pseudobulbs", 30.0))
        draft = SheetDraft(YESTERDAY, None, (), "G02", lines)
        before = logbook.file.last_number()
        with pytest.raises(Exception, match="pseudobulbs"):
            enter_plant(logbook, local_noon(YESTERDAY), draft)
        assert logbook.file.last_number() == before
        assert draft_kept(logbook) is None


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "0:22, nothing"),
        ("40", "0:40, nothing"),
        ("7.5", "0:07, nothing"),
        ("2f", "0:22, 2 removed"),
        ("f", "0:22, 1 removed"),
        ("40 wa", "0:40, 1 unsure adult"),
        ("2F1W", "0:22, 2 removed, 1 unsure"),
        ("1:20, 2fa 3st", "1:20, 2 removed adult, 3 untouched young"),
        ("2f a 1d e", "0:22, 2 removed adult, 1 killed eggs"),
        ("1w 40", "0:40, 1 unsure"),
        ("C", "couldn't see"),
        ("-", "not checked"),
    ],
)
def test_a_line_is_read_as_it_stands_on_paper(typed: str, said: str) -> None:
    assert line_text(read_line(typed, PlannedZone("axils", 22))) == said


def test_where_room_is_short_a_line_shows_as_it_was_typed() -> None:
    line = read_line("1:20 2fa 1w", PlannedZone("axils", 22))
    assert line_letters(line) == "1:20 2fa 1w"
    assert line_letters(read_line("c", PlannedZone("axils", 22))) == "couldn't see"


@pytest.mark.parametrize("typed", ["a", "af", "2x", "1:99", "--", "c 40", "2f 40 40", "٤", "2ff"])
def test_what_is_no_line_is_refused(typed: str) -> None:
    with pytest.raises(FieldFault):
        read_line(typed, PlannedZone("axils", 22))


async def test_days_away_from_the_form_to_the_first_day_back(
    path: Path, opened: Opened, clock: SetClock
) -> None:
    async with opened(path) as driver:
        await desk_line(driver, "away")
        await type_lines(driver, "14 May", "tomorrow")
        await driver.shows("end on 5 May 2026, before they begin")
        await driver.press("n", "up")
        await type_lines(driver, "today")
        await driver.press("pagedown")
        await driver.shows("away 4 to 5 May, 2 days")
        await driver.press("n", "down")
        await type_lines(driver, "2026-05-14")
        await driver.shows("write it? away 4 to 14 May, 11 days")
        await driver.press("y")
        await driver.shows("saved: away 4 to 14 May")
        await driver.press("enter")
        await desk_line(driver, "leaving")
        await driver.shows(
            "away 4 to 14 May, 11 days", "S03  Pintle", "A stand-in should check S03"
        )
        await driver.press("q", "q")
        clock.instant = datetime.combine(date(2026, 5, 15), clock.instant.timetz())
        await driver.press("l", "q")
        await driver.shows("back after 11 days: 26 minutes today, 16 more than usual")
        await driver.press("m", "8", "enter")
        await driver.shows(
            "8 minutes today; the usual minutes stay as they are", "8 minutes planned"
        )
        clock.instant += timedelta(days=1)
        await driver.press("l", "q")
        await driver.shows("26 minutes planned")
        await driver.press("enter")
        await driver.shows("plant 1 of ")
        await driver.press("q")
        clock.instant += timedelta(days=1)
        await driver.press("l", "q")
        await driver.shows("10 minutes planned")
        assert "back after" not in driver.text


async def test_days_away_are_taken_back_before_leaving(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await desk_line(driver, "leaving")
        await driver.shows("no days away entered")
        await driver.press("q")
        await desk_line(driver, "away")
        await type_lines(driver, "2026-05-05", "2026-05-14")
        await driver.press("y", "enter")
        await desk_line(driver, "leaving")
        await driver.press("x", "y")
        await driver.shows("no days away entered", "undone: days away 5 to 14 May")
        await driver.press("enter")
        await driver.shows("S03  Pintle", "stair foot")

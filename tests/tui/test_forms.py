"""A collection is entered, edited and corrected at the desk, by keys alone."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from textual import events

from rounds.clock import SetClock
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon, now
from rounds.service.plant.history import events_of
from rounds.tui.forms.correct import replace_form
from rounds.tui.forms.look import look_form
from rounds.tui.forms.place import new_place_form
from rounds.tui.forms.plant import edit_form, gone_form, move_form, new_plant_form
from rounds.tui.screens.first_start import FirstStartScreen
from rounds.tui.screens.form import FormScreen
from rounds.tui.screens.today import TodayScreen

Opened = Callable[..., AbstractAsyncContextManager[Any]]

TODAY = date(2026, 5, 4)
EARLIER = date(2026, 4, 10)

HOSTILE = (
    "[bold red]Thole[/bold red][/] [link=x]",
    "綿虫の鉢植えの長い長い名前の植物" * 4,
    "Halyard of the long name, " * 7 + "end",
    "e\u0301\u0301 {plant} %s 'Cuddy'; --",
)


@pytest.fixture
def path(tmp_path: Path, clock: SetClock) -> Path:
    """Two invented plants in the collection, which touch, and one apart, since 10 April."""
    path = tmp_path / "logbook.db"
    with Logbook(path, clock) as logbook:
        moment = local_noon(EARLIER)
        put_place(logbook, moment, "porch shelf", PlaceDetails())
        put_place(logbook, moment, "stair foot", PlaceDetails(apart=True))
        here: dict[str, Any] = {"size": "small", "place": "porch shelf", "already_here": True}
        add_plant(logbook, moment, "G02", PlantDetails(name="Thole", **here))
        add_plant(logbook, moment, "G04", PlantDetails(name="Cuddy", touches=("G02",), **here))
        new = PlantDetails(name="Pintle", size="small", place="stair foot")
        add_plant(logbook, moment, "S03", new)
    return path


async def show(driver: Any, make: Callable[..., FormScreen], *given: Any, **also: Any) -> None:
    """Push a form on the screens, as a desk key does."""
    await driver.until(lambda: driver.app.logbook is not None, "the logbook")
    await driver.app.push_screen(make(driver.app.logbook, *given, **also))
    await says(driver, "ctrl+q leave")


async def says(driver: Any, *texts: str) -> None:
    """Wait until the page says all of this, wherever its lines break."""
    await driver.until(
        lambda: all(text in " ".join(driver.text.split()) for text in texts), f"{texts} on the page"
    )


async def fill(driver: Any, *lines: str) -> None:
    """Type lines, each taken by enter; an empty one keeps what stands there."""
    for line in lines:
        await driver.press(*line, "enter")


async def leave(driver: Any) -> None:
    """Enter after writing leads back."""
    await driver.press("enter")
    await driver.until(lambda: isinstance(driver.app.screen, TodayScreen), "back where one was")


async def test_an_own_collection_is_entered_by_keys_alone(tmp_path: Path, opened: Opened) -> None:
    async with opened(tmp_path / "new.db") as driver:
        await show(driver, new_place_form)
        await says(driver, "new place")
        await fill(driver, "glass porch", "", "19,5", "", "", "")
        await says(driver, "write it? glass porch: a place of the collection", "19.5 degC")
        await driver.press("y")
        await says(driver, "saved: glass porch. another place?")
        await driver.press("n")
        await show(driver, new_plant_form)
        await says(driver, "new plant", "P01", "already here")
        await fill(driver, "", "Thole", "", "spot 1", "leafy", "s", "", "", "", "", "")
        await says(driver, "write it? P01 Thole; leafy plant, small; at glass porch, spot 1")
        await driver.press("y")
        await says(driver, "saved: P01 Thole at glass porch, spot 1. another one")
        await driver.press("y")
        # the same place, form and size; the next code
        assert driver.row_with("code").split() == [">", "code", "_", "P02"]
        assert "small" in driver.row_with("size")
        await fill(driver, "", "Cuddy", *[""] * 6, "p01", "the ferry", "")
        await says(driver, "touches P01", "from the ferry")
        await driver.press("y", "n")
        await show(driver, new_place_form, "stair foot")
        await fill(driver, "", "yes", *[""] * 4)
        await driver.press("y")
        await says(driver, "saved: stair foot. another place?")
        await driver.press("n")
        await show(driver, new_plant_form, "S03 Pintle")
        await fill(driver, "", "", "stair", "", "", "", "new", "", "", "", "")
        await says(driver, "write it? S03 Pintle", "new today: its quarantine begins")
        await driver.press("y")
        await says(driver, "saved: S03 Pintle at stair foot, in quarantine from today. another")
        await driver.press("n")
        assert [driver.record(code).standing for code in ("P01", "P02", "S03")] == [
            "collection",
            "collection",
            "quarantine",
        ]
        thole, cuddy = driver.record("P01"), driver.record("P02")
        assert thole.plant.touching(TODAY) == (cuddy.plant.id,)
        assert cuddy.plant.fact("source", TODAY) == "the ferry"
        assert (cuddy.body.size, cuddy.place_name(), cuddy.spot()) == ("small", "glass porch", None)
        place = thole.logbook.collection().place("glass porch")
        assert place is not None
        assert place.usual_c(TODAY) == 19.5
        assert isinstance(driver.screen, FirstStartScreen)


async def test_a_wrong_name_is_said_and_the_mark_stays(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, new_plant_form, "G15 Gaff")
        await fill(driver, "", "", "porsh")
        await says(driver, "'porsh' is none of these; the nearest is porch shelf.")
        assert driver.row_with(">").split() == [">", "place", "porsh_"]
        await driver.press(*["backspace"] * 2, "enter")
        await driver.until(lambda: "> spot" in driver.text, "the next line")
        assert "porch shelf" in driver.row_with("   place")


async def test_a_beginning_that_two_have_is_asked_about(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, new_plant_form, "G15 Gaff")
        await fill(driver, "", "", "", "", "s")
        await says(driver, "'s' may be shrub or stem succulent")
        await driver.press("t", "enter")
        await driver.until(lambda: "> size" in driver.text, "the next line")
        assert "stem succulent" in driver.row_with("growth form")


async def test_the_number_of_a_choice_takes_it(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, new_plant_form, "G15 Gaff")
        await fill(driver, "", "", "2", "", "9", "3")
        assert "stair foot" in driver.row_with("place")
        assert "fern" in driver.row_with("growth form")
        assert "large" in driver.row_with("size")
        await fill(driver, "3")
        await says(driver, "'3' is not a day; try today, yesterday, or a date like 4 May.")


async def test_a_fault_of_writing_marks_its_line_and_loses_nothing(
    path: Path, clock: SetClock, opened: Opened
) -> None:
    async with opened(path) as driver:
        await show(driver, new_plant_form, "G15 Gaff")
        await fill(driver, "", "", "1", "spot 9", "", "", "2", "", "G02", "", "mealybug, spider")
        await says(driver, "write it? G15 Gaff", "checked for mealybug, spider mite")
        # meanwhile the code is taken elsewhere
        details = PlantDetails(name="Gimbal", place="porch shelf", already_here=True)
        with Logbook(path, clock) as elsewhere:
            add_plant(elsewhere, now(clock), "G15", details)
        await driver.press("y")
        await says(driver, "There is a plant G15 already. Give another code.")
        assert driver.row_with(">").split() == [">", "code", "G15_"]
        for kept in ("Gaff", "porch shelf", "spot 9", "already here", "G02"):
            assert kept in driver.text
        await driver.press("backspace", "6", "pagedown", "y")
        await says(driver, "saved: G16 Gaff at porch shelf, spot 9")
        assert driver.record("G15").name() == "Gimbal"
        assert driver.record("G16").spot() == "spot 9"
        assert driver.record("G16").pests == ("mealybug", "spider-mite")


async def test_nothing_is_written_without_a_yes(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, new_plant_form, "G15 Gaff")
        # q, y and n are letters in a line
        await fill(driver, "", "Quay n")
        await driver.press("pagedown")
        await says(driver, "write it? G15 Quay n")
        # a held enter answers no question
        await driver.press("enter", "enter", "n")
        await says(driver, "> code")
        # before the first line stands the same question
        await driver.press("up")
        await says(driver, "q back, nothing written")
        await driver.press("q")
        assert isinstance(driver.screen, TodayScreen)
        assert driver.app.is_running
    with Logbook(path) as logbook:
        assert logbook.collection().plant("G15") is None


async def test_what_is_missing_is_said_before_the_question(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, new_plant_form)
        await driver.press("pagedown")
        await says(driver, "name: nothing entered yet.")
        assert "y write it" not in driver.text
        await driver.press("y", "n")
        await says(driver, "> name")


async def test_a_line_is_kept_edited_or_emptied(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, edit_form, "G04")
        # the first backspace brings in what stands there
        await driver.press("backspace", "backspace", *"ie", "down")
        assert driver.row_with("name").split() == ["name", "Cuddie"]
        await fill(driver, "Rosa invented", *[""] * 8)
        await driver.press("up")
        await fill(driver, "by the window")
        await driver.press("pagedown")
        await says(driver, "name Cuddie, was Cuddy", "note by the window, was nothing")
        await driver.press("n", "up", "up", "n")
        await says(driver, "from day")
        await driver.press("backspace", "up", "up")
        await fill(driver, "-")
        assert driver.row_with("note").split() == ["note"]
        # a held backspace empties the line, and what stands there stays
        await driver.press(*["up"] * 10)
        await driver.press(*["backspace"] * 12)
        assert driver.row_with("> name").split() == [">", "name", "_", "Cuddie"]


async def test_an_edit_writes_only_what_changed_from_its_day_on(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, edit_form, "G04")
        await fill(driver, "Coaming", "", "rosette", "", "2,5", "yes", "", "G02 s03", "alc", "", "")
        await fill(driver, "2026-04-20")
        await says(driver, "write it? G04 Cuddy; from 20 April on; name Coaming, was Cuddy")
        await driver.press("y")
        await says(driver, "saved: G04, name Coaming, was Cuddy")
        await leave(driver)
        plant = driver.record("G04").plant
        changed = {fact.what for fact in plant.facts if fact.from_day == date(2026, 4, 20)}
        assert changed == {"name", "form", "value", "clear_pot", "touching", "dislikes"}
        assert plant.fact("name", date(2026, 4, 19)) == "Cuddy"
        assert plant.fact("name", date(2026, 4, 20)) == "Coaming"
        assert plant.fact("value", TODAY) == "2.5"
        assert len(plant.touching(TODAY)) == 2


async def test_insects_seen_when_it_came_are_said_at_once_or_later(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await show(driver, new_plant_form, "S04 Gaff")
        await fill(driver, "", "", "stair", "", "", "", "new", "yes", "", "", "")
        await says(driver, "insects seen on it: infested, number unknown")
        await driver.press("y", "n")
        assert driver.record("S04").insects_seen_on == TODAY
        await show(driver, edit_form, "S03")
        await fill(driver, *[""] * 6, "yes")
        await driver.press("pagedown")
        await says(driver, "insects seen yes, was no")
        await driver.press("y")
        await says(driver, "saved: S03, insects seen yes, was no")
        await leave(driver)
        # whenever it is said, it is about the day it came
        record = driver.record("S03")
        assert record.insects_seen_on == record.plant.first_day == EARLIER
        assert record.last_find_on == EARLIER
        await show(driver, edit_form, "S03")
        await fill(driver, *[""] * 6, "no")
        await driver.press("pagedown", "y")
        await says(driver, "saved: S03, insects seen no, was yes")
        assert driver.record("S03").insects_seen_on is None


async def test_an_edit_that_changes_nothing_or_cannot_hold_is_refused(
    path: Path, opened: Opened
) -> None:
    async with opened(path) as driver:
        await show(driver, edit_form, "G04")
        # the order of those it touches is no change
        await fill(driver, "", "", "", "", "1.0", "", "", "g02", "", "", "", "")
        await says(driver, "nothing has been changed yet.")
        await driver.press("n")
        await fill(driver, "Coaming", *[""] * 10, "2026-04-01")
        await says(driver, "G04 had not come yet on 1 April 2026; it is here since 10 April 2026.")
        await driver.press("n")
        await fill(driver, "yesterday")
        await driver.press("y")
        await says(driver, "saved: G04, name Coaming")
        await leave(driver)
        await show(driver, edit_form, "G04")
        await fill(driver, "Cuddy", *[""] * 10, "2026-04-30")
        await says(driver, "name was changed on 3 May: give that day or a later one.")


async def test_a_move_into_a_place_apart_begins_a_quarantine(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, move_form, "G04")
        await driver.press("pagedown")
        await says(driver, "G04 is there already.")
        await driver.press("n")
        await fill(driver, "stair", "spot 2", "", "yesterday")
        await says(driver, "at stair foot, spot 2; from 3 May on; its quarantine begins;")
        await driver.press("y")
        await says(driver, "G04 is at stair foot, spot 2 from 3 May on")
        await leave(driver)
        record = driver.record("G04")
        period = record.plant.quarantine(TODAY)
        assert period is not None
        assert (period.began_on, period.began_because) == (date(2026, 5, 3), "moved-apart")
        assert (record.place_name(), record.spot()) == ("stair foot", "spot 2")
        assert record.plant.touching(TODAY) == ()


async def test_apart_in_its_own_place_keeps_the_spot(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, move_form, "G04")
        await fill(driver, "", "spot 7", "", "")
        await driver.press("y", "enter")
        await show(driver, move_form, "G04")
        await fill(driver, "", "", "yes", "")
        await says(driver, "at porch shelf, spot 7; from today on; its quarantine begins")
        await driver.press("y")
        assert driver.record("G04").standing == "quarantine"
        assert driver.record("G04").spot() == "spot 7"


async def test_a_look_of_a_past_day_is_entered(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, look_form, "G04", "axils", who="Keeper")
        await fill(
            driver, "2026-04-28", "", "1:20", "2", "", "", "1", "adult", "", "by day", "", ""
        )
        await says(
            driver, "write it? G04 axils, 1:20 min, 28 April; 2 removed, 1 unsure, adult; note: by"
        )
        await driver.press("y")
        await says(driver, "alive, and G04 is not in quarantine yet")
        await leave(driver)
        (look,) = events_of(driver.record("G04")).looks
        assert (look.day, look.zone, look.seconds) == (date(2026, 4, 28), "axils", 80.0)
        assert (look.counted("removed"), look.counted("doubtful"), look.who) == (2, 1, "Keeper")
        assert {tally.stage for tally in look.tallies} == {"adult"}


@pytest.mark.parametrize(
    ("lines", "sentence", "mark"),
    [
        (("tomorrow",), "5 May has not come yet.", "day"),
        (
            ("some day",),
            "'some day' is not a day; try today, yesterday, or a date like 4 May.",
            "day",
        ),
        (("4.5.",), "'4.5.' is not a day; try today, yesterday, or a date like 4 May.", "day"),
        (("2026-05-05",), "5 May has not come yet.", "day"),
        (("0001-01-01",), "is further away than a logbook reaches", "day"),
        (("", "crown"), "'crown' is none of these; try a number", "zone"),
        (
            ("", "", "a while"),
            "'a while' is not a time; try seconds such as 40, or 1:20.",
            "seconds",
        ),
        (("", "", "1:75"), "'1:75' is not a time", "seconds"),
        (("", "", "-3"), "'-3' is not a time", "seconds"),
        (("", "", "nan"), "'nan' is not a time", "seconds"),
        (("", "", "99999:00"), "'99999:00' is not a time", "seconds"),
        (("", "", "40", "100001"), "'100001' is not a count", "removed"),
        (("", "", "40", "2.5"), "'2.5' is not a count; try a whole number from 0 up.", "removed"),
        (("", "", "40", "²"), "'²' is not a count", "removed"),
    ],
)
async def test_bad_input_is_said_in_one_sentence_at_its_line(
    path: Path, opened: Opened, lines: tuple[str, ...], sentence: str, mark: str
) -> None:
    async with opened(path) as driver:
        await show(driver, look_form, "G04", "axils")
        await fill(driver, *lines)
        await says(driver, sentence, f"> {mark}", f"{lines[-1]}_")


@pytest.mark.parametrize(
    ("lines", "sentence", "mark"),
    [
        (("", ""), "seconds: nothing entered yet.", "seconds"),
        (("", "whole", "40", "1"), "a count belongs to one zone, not to the whole plant.", "zone"),
        (("", "", "40", *[""] * 4, "eggs"), "Say how many, or take the stage away.", "stage"),
        (("", "", "40", *[""] * 5, "yes"), "only roots come out of the pot", "out of pot"),
        (("2026-04-09", "", "40"), "G04 had not come yet on 9 April 2026", "day"),
        (("", "", "99999"), "99999 seconds is not a time for a look.", "seconds"),
    ],
)
async def test_what_does_not_go_together_marks_its_line(
    path: Path, opened: Opened, lines: tuple[str, ...], sentence: str, mark: str
) -> None:
    async with opened(path) as driver:
        await show(driver, look_form, "G04", "axils")
        await fill(driver, *lines)
        await driver.press("pagedown")
        await says(driver, sentence, "n back to the lines")
        await driver.press("n")
        await says(driver, f"> {mark}")
        assert events_of(driver.record("G04")).looks == ()


async def test_further_stages_go_into_the_same_look(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, look_form, "G04", "axils")
        await fill(driver, "", "", "60", "2", "", "", "", "adult", "", "", "3x")
        await says(driver, "'3x' is not a count with its letters; try 2fa 1ft.")
        await driver.press("backspace")
        await fill(driver, "ft 1sa", "")
        await says(driver, "2 removed, 1 untouched, adult, 3 removed, young")
        await driver.press("y")
        (look,) = events_of(driver.record("G04")).looks
        assert look.seconds == 60
        assert [(t.kind, t.stage, t.count) for t in look.tallies] == [
            ("removed", "adult", 2), ("left", "adult", 1), ("removed", "young", 3)
        ]  # fmt: skip


async def test_a_plant_gone_by_keys_is_gone(path: Path, opened: Opened) -> None:
    async with opened(path) as driver:
        await show(driver, gone_form, "G04")
        await says(driver, "its history can undo this")
        await fill(driver, "give", "yesterday", "to the harbour office")
        await says(driver, "G04 Cuddy is gone for good: given away, 3 May")
        await driver.press("y")
        await says(driver, "G04 is gone for good: given away, 3 May")
        await leave(driver)
        plant = driver.record("G04").plant
        assert plant.gone(date(2026, 5, 2)) is None
        assert plant.gone(date(2026, 5, 3)) == "given-away"
        assert plant.fact("note", TODAY) == "to the harbour office"
        await show(driver, look_form, "G04", "axils")
        await fill(driver, "", "", "40")
        await driver.press("pagedown")
        await says(driver, "G04 is gone")


async def test_a_wrong_count_and_a_wrong_look_are_corrected(
    path: Path, clock: SetClock, opened: Opened
) -> None:
    with Logbook(path, clock) as logbook:
        entered = LookEntered(("axils",), 30.0, {"removed": 4})
        written, _ = enter_look(logbook, local_noon(TODAY - timedelta(days=1)), "G04", entered)
    async with opened(path) as driver:
        await show(driver, replace_form, written.tally_ids[0])
        await says(driver, "the day stays 3 May")
        await driver.press("pagedown")
        await says(driver, "nothing has been changed yet.")
        await driver.press("n")
        await fill(driver, "unsure", "2", "")
        await says(driver, "write it? 2 unsure in place of 4 removed")
        await driver.press("y")
        await says(driver, "saved: G04, 2 unsure in place of 4 removed")
        await leave(driver)
        await show(driver, replace_form, written.look_ids[0])
        await fill(driver, "crown")
        await says(driver, "none of these")
        await driver.press(*["backspace"] * 5)
        await fill(driver, "roots", "0:45")
        await says(driver, "write it? roots, 0:45 in place of axils, 0:30")
        await driver.press("y")
        await says(driver, "saved: G04, roots, 0:45")
        await leave(driver)
        record = driver.record("G04")
        (look,) = record.log
        assert (look.zone, look.seconds, look.day) == ("roots", 45.0, date(2026, 5, 3))
        assert [(tally.kind, tally.count) for tally in look.tallies] == [("doubtful", 2)]
        # what was corrected already cannot be corrected once more
        await show(driver, replace_form, written.tally_ids[0])
        await fill(driver, "", "9", "")
        await driver.press("y")
        await says(driver, "has been withdrawn already", "q back, nothing written")


@pytest.mark.parametrize("name", HOSTILE)
async def test_a_hostile_name_is_plain_text(path: Path, opened: Opened, name: str) -> None:
    async with opened(path) as driver:
        await show(driver, new_plant_form)
        await driver.press("enter")
        driver.app.post_message(events.Paste(f"{name}\nand a second line\x1b[2J"))
        await driver.until(lambda: bool(driver.screen.line.text), "the paste")
        # the end of a long line is seen
        assert f"{name[-8:]}_" in driver.text
        await driver.press("pagedown", "y")
        await says(driver, "saved: S04", "another one of the same")
        assert driver.record("S04").name() == name
        await show(driver, move_form, "S04")
        await driver.press("pagedown")
        await says(driver, "S04 is there already.")

"""The forms as pages: whole at every size and with any name, and every key of theirs named."""

import ast
from collections.abc import Callable, Iterator
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding

from rounds import words
from rounds.clock import SetClock
from rounds.errors import BadInput, LogbookUnusable
from rounds.service.calculate.dilution import dilution_cautions
from rounds.service.collection import division, plants, repot
from rounds.service.collection.next_code import next_code
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries import corrections, looks
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook import moment, named
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.logbook.parameters import load_parameters
from rounds.service.plant.history import events_of
from rounds.tui.forms.away import away_form
from rounds.tui.forms.begin_course import begin_course_form
from rounds.tui.forms.correct import replace_form
from rounds.tui.forms.dilution import dilution_form, millilitres_of, mixing_form
from rounds.tui.forms.fields import Choice, Field, FieldFault, take
from rounds.tui.forms.look import look_form
from rounds.tui.forms.place import new_place_form
from rounds.tui.forms.plant import (
    divide_form,
    edit_form,
    gone_form,
    move_form,
    new_plant_form,
    repot_form,
)
from rounds.tui.forms.temperatures import temperatures_form
from rounds.tui.forms.values import seconds_of
from rounds.tui.forms.wording import record_today
from rounds.tui.page import Page
from rounds.tui.screens.form import FormScreen, sentence_of
from tests.tui.reading import NAMES, PLACES, SIZES, complaints

OFTEN = ((80, 24), (40, 24), (40, 12))
"""for the demo the first two are held at every line where all is explained"""
Opened = Callable[..., AbstractAsyncContextManager[Any]]
KeysNamed = Callable[[Page], set[str]]


@pytest.fixture
def hostile(tmp_path: Path, clock: SetClock) -> Path:
    """Invented plants and many places whose names hold markup, wide characters, or no end."""
    path = tmp_path / "hostile.db"
    with Logbook(path, clock) as logbook:
        at = now(clock)
        for number in range(15):
            put_place(logbook, at, f"{PLACES[number % 2]} {number}", PlaceDetails(apart=True))
        for code, name in NAMES:
            details = PlantDetails(
                name=name,
                # the form with the most zones
                form="sympodial-orchid",
                place=f"{PLACES[1]} 1",
                spot=f"spot {name}",
                note=name,
            )
            add_plant(logbook, at, code, details)
    return path


def forms_of(logbook: Logbook) -> Iterator[tuple[str, FormScreen]]:
    """Every form there is, about the plant entered first."""
    code = next(iter(logbook.collection().plants.values())).code
    entered = LookEntered(("axils",), 30.0, {"removed": 2})
    enter_look(logbook, now(logbook.clock), code, entered)
    look = events_of(record_today(logbook, code)).looks[-1]
    yield "place", new_place_form(logbook)
    yield "plant", new_plant_form(logbook, "Gaff")
    yield "temperatures", temperatures_form(logbook)
    yield "move", move_form(logbook, code)
    yield "edit", edit_form(logbook, code)
    yield "look", look_form(logbook, code, "axils")
    yield "tally", replace_form(logbook, look.tallies[0].id)
    yield "correct-look", replace_form(logbook, look.id)
    yield "gone", gone_form(logbook, code)
    yield "repot", repot_form(logbook, code)
    yield "divide", divide_form(logbook, code)
    yield "away", away_form(logbook)
    yield "begin-course", begin_course_form(logbook, code, "labelled-product")
    yield "dilution", dilution_form(logbook)


def marks(page: Page) -> int:
    return sum(cell.text == ">" and cell.role == "here" for cells in page.rows for cell in cells)


@pytest.mark.parametrize("book", ["demo", "hostile"], indirect=True)
async def test_forms_hold_together_at_every_size(
    book: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    plain, found, seen = book.stem == "demo", [], set()
    async with opened(book) as driver:
        await driver.until(lambda: driver.app.logbook is not None, "the logbook")
        for name, screen in forms_of(driver.app.logbook):
            seen.add(name)
            await driver.app.push_screen(screen)
            for line in range(len(screen.form.fields) + 1):
                asks = screen.stage != "lines"
                # a sum says at its line what is missing; what is written is asked about first
                assert asks == (line == len(screen.form.fields) and name != "dilution"), name
                # another of the sizes at each line: to lay out a form anew takes long
                sizes = {SIZES[line % len(SIZES)], OFTEN[line % len(OFTEN)]}
                for size, page in (await driver.pages_at(sizes)).items():
                    where = f"{name}, line {line} at {size}"
                    found += [f"{where}, {what}" for what in complaints(page, plain=plain)]
                    if marks(page) != (0 if asks else 1):
                        found.append(f"{where}: {marks(page)} marks")
                    if ("q" if asks else "ctrl+q") not in keys_named(page):
                        found.append(f"{where}: no way out is named")
                await driver.press("down")
            await driver.press("up", "pagedown", "q")
    assert len(seen) == 14
    assert "\n".join(found) == ""


@pytest.mark.parametrize("size", [(80, 24), (40, 24)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_every_line_of_a_form_is_explained_whole_beside_it(
    demo: Path, opened: Opened, keys_named: KeysNamed, size: tuple[int, int]
) -> None:
    """In a form letters are text: there is no help behind a key, so all of it is on the page."""
    missing, seen = [], 0
    async with opened(demo, size) as driver:
        await driver.until(lambda: driver.app.logbook is not None, "the logbook")
        for name, screen in forms_of(driver.app.logbook):
            await driver.app.push_screen(screen)
            await driver.whole()
            lead = " ".join(screen.form.lead.split())
            for field in screen.form.fields:
                page = " ".join(driver.text.split())
                where = f"{name}, {field.code}"
                missing += [f"{where}: {what}" for what in complaints(driver.page, plain=True)]
                missing += [] if marks(driver.page) == 1 else [f"{where}: no one mark"]
                missing += [] if "ctrl+q" in keys_named(driver.page) else [f"{where}: no way out"]
                missing += [f"{where}: the lead"] if lead not in page else []
                missing += [f"{where}: what may be typed"] if field.hint not in page else []
                if not field.hint:
                    missing.append(f"{where}: nothing is said")
                value = field.shown(screen.entered[field.code])
                kept = f"enter alone keeps {value}" if size[0] == 80 else "enter keeps"
                if value and kept not in page:
                    missing.append(f"{where}: how what stands there is kept")
                offered = [choice.name for choice in field.choices]
                missing += [f"{where}: {choice}" for choice in offered if choice not in page]
                seen += 1
                await driver.press("down")
            await driver.press("up", "pagedown", "q")
    assert "\n".join(missing) == ""
    assert seen > 60


async def test_a_fault_and_its_line_hold_together_at_every_size(
    hostile: Path, opened: Opened
) -> None:
    async with opened(hostile) as driver:
        await driver.until(lambda: driver.app.logbook is not None, "the logbook")
        screen = new_plant_form(driver.app.logbook, "Gaff")
        await driver.app.push_screen(screen)
        await driver.press("down", "down")
        assert screen.line is not None
        screen.line.text = "\u7dbf\u866b[/]" * 30
        await driver.press("e", "n", "d", "enter")
        for page in (await driver.pages_at(SIZES)).values():
            assert complaints(page, plain=False) == []
            assert "end_" in page.text()
            assert marks(page) == 1


def test_every_key_of_a_form_has_a_name_and_both_cases() -> None:
    bound = [binding for binding in FormScreen.BINDINGS if isinstance(binding, Binding)]
    assert {binding.id for binding in bound} == {"form.leave", "form.yes", "form.no", "form.begin"}
    assert {key for binding in bound for key in binding.key.split(",")} == {*"qQyYnN", "enter"}


async def test_every_key_that_works_is_named(
    demo: Path, opened: Opened, keys_named: KeysNamed
) -> None:
    async with opened(demo) as driver:
        await driver.until(lambda: driver.app.logbook is not None, "the logbook")
        await driver.app.push_screen(edit_form(driver.app.logbook, "G04"))
        await driver.press("down")
        in_lines = {"ctrl+q", "enter", "up", "down", "page"}
        for page in (await driver.pages_at(SIZES)).values():
            assert in_lines - keys_named(page) == set()
        await driver.press(*"Rosa", "pagedown")
        for page in (await driver.pages_at(SIZES)).values():
            assert {"y", "n", "q", "up", "down", "ctrl+q"} - keys_named(page) == set()
        await driver.press("y")
        for page in (await driver.pages_at(SIZES)).values():
            assert {"q", "enter"} - keys_named(page) == set()


SERVICES = (corrections, division, looks, moment, named, plants, repot)
NOT_BY_A_FORM = {
    # of days and instants, temperatures and plants as commands give them
    "days-disagree", "not-a-date", "not-an-instant", "weather-known", "max-below-min",
    "arrival-stays", "arrived-or-here",
    # a form says these itself, or has no way to them
    "bad-count", "cannot-see-with-looking", "count-needs-one-zone", "empty-name", "not-a-doubt",
    "not-one-of", "only-move", "plant-needs-name", "plant-needs-place", "unknown-entry",
    "unknown-form", "unknown-place", "unknown-place-none", "unpotted-needs-roots",
}  # fmt: skip


def faults_of_the_services() -> set[str]:
    """Codes of the faults that what the forms call may raise."""
    kinds = ("plant", "plant-none", "place", "place-none", "zone", "form", "pest")
    found = {f"unknown-{kind}" for kind in kinds}
    for module in SERVICES:
        for node in ast.walk(ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in (
                "BadInput",
                "Refused",
                "_bad",
            ):
                code = node.args[0] if node.args else None
                if isinstance(code, ast.Constant):
                    found.add(str(code.value))
    return found


@pytest.mark.parametrize("code", sorted(faults_of_the_services() - NOT_BY_A_FORM))
def test_a_fault_on_a_form_speaks_of_no_command_and_no_option(code: str) -> None:
    # without values the sentences stand as they are written
    sentence = sentence_of(BadInput(code))
    assert "--" not in sentence
    assert "`" not in sentence


def test_what_is_said_instead_belongs_to_a_fault() -> None:
    for code in words.section("desk_forms.instead"):
        assert words.say(f"errors.{code}.message")


def test_no_code_is_left_out_that_no_service_raises() -> None:
    assert sorted(NOT_BY_A_FORM - faults_of_the_services()) == []


def test_every_growth_form_has_a_word_of_its_own() -> None:
    known = load_parameters().forms
    names = words.section("desk_forms.growth-forms")
    assert set(names) == set(known)
    assert len(set(names.values())) == len(names)


@pytest.mark.parametrize(
    ("codes", "offered"),
    [
        ([], "P01"),
        (["Thole"], "P01"),
        (["G13", "G14"], "G15"),
        (["G99"], "G100"),
        (["G02", "S03"], "S04"),
        (["S03", "S10", "S04"], "S11"),
        (["7"], "8"),
        (["p01", "Thole"], "p02"),
        (["a-009", "A-010"], "A-011"),
        # figures without end, and those of another script
        (["9" * 9], "1" + "0" * 9),
        (["1" * 40], "1" * 39 + "2"),
        (["G\u0663"], "P01"),
    ],
)
def test_the_next_code_goes_on_in_the_style_of_the_newest(codes: list[str], offered: str) -> None:
    assert next_code(codes) == offered


PLACES_OFFERED = Field(
    "place",
    "place",
    choices=tuple(Choice(name, name) for name in ("stair foot", "stair top", "2", "porch shelf")),
    may_be_empty=False,
)


@pytest.mark.parametrize(
    ("typed", "taken"),
    [
        ("STAIR FOOT", "stair foot"),
        ("stair f", "stair foot"),
        ("top", "stair top"),
        ("4", "porch shelf"),
        # a name comes before a number
        ("2", "2"),
        ("p", "porch shelf"),
    ],
)
def test_a_choice_is_taken_by_word_number_or_beginning(typed: str, taken: str) -> None:
    assert take(PLACES_OFFERED, typed) == taken


@pytest.mark.parametrize("typed", ["stair", "s", "0", "5", "-", "-1", "\u00b2", "cellar", "1 2"])
def test_what_is_no_choice_is_refused(typed: str) -> None:
    with pytest.raises(FieldFault, match=r"none of these|may be"):
        take(PLACES_OFFERED, typed)


@pytest.mark.parametrize(
    ("typed", "seconds"), [("40", 40), ("7,5", 7.5), ("0", 0), ("1:20", 80), ("0:05", 5)]
)
def test_a_time_is_read(typed: str, seconds: float) -> None:
    assert seconds_of(typed) == seconds


async def test_a_full_file_is_said_and_written_once_more(
    demo: Path, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with opened(demo) as driver:
        await driver.until(lambda: driver.app.logbook is not None, "the logbook")
        await driver.app.push_screen(new_plant_form(driver.app.logbook, "K01 Gaff"))
        await driver.press("pagedown")
        with monkeypatch.context() as full:

            def refuse() -> None:
                raise LogbookUnusable("logbook-full", file="logbook.db")

            full.setattr(driver.app.logbook.file, "writing", refuse)
            await driver.press("y")
            await driver.shows("no room left", "try it once more?", "y write it")
        await driver.press("y")
        await driver.shows("saved: K01 Gaff")
        assert driver.record("K01").name() == "Gaff"


@pytest.mark.parametrize("keys", ["", "70 enter 35 enter 100 enter"])
@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20), (40, 24)])
async def test_all_cautions_stand_beside_a_dilution_at_every_size(
    few: Path, opened: Opened, keys: str, size: tuple[int, int]
) -> None:
    async with opened(few, size) as driver:
        await driver.until(lambda: driver.app.logbook is not None, "the logbook")
        screen = dilution_form(driver.app.logbook)
        await driver.app.push_screen(screen)
        for key in keys.split():
            await driver.press(*(key if key.isdigit() else [key]))
        await driver.whole()
        said = " ".join(driver.text.split())
        assert ("50 ml of stock" in said) == bool(keys)
        for note in dilution_cautions():
            assert note.text in said


def mixed(logbook: Logbook, **typed: str) -> str:
    """What the form of a dilution answers to what is typed into its lines."""
    form = mixing_form(logbook, {})
    lines = {field.code: typed.get(field.code, "") for field in form.fields}
    return form.write({
        field.code: take(field, lines[field.code]) if lines[field.code] else ""
        for field in form.fields
    })  # fmt: skip


@pytest.mark.parametrize(
    ("rate", "whole", "says"),
    [
        # 1 l of water and 5 ml to it are 1005 ml
        (
            "5 ml per litre",
            "1005 ml",
            "5 ml of it, 1000 ml of water: 1005 ml. By a cup: 5 ml; just",
        ),
        ("5 ml/l", "1005 ml", "5 ml of it, 1000 ml of water"),
        # a US gallon of water and 2 fl oz to it are 130 fl oz: 59.1 ml in 3845 ml
        ("2 fl oz per gallon", "130 fl oz", "59.1 ml of it, 3785 ml of water: 3845 ml"),
    ],
)
def test_the_rate_of_a_label_needs_no_strength(
    logbook: Logbook, rate: str, whole: str, says: str
) -> None:
    assert says in mixed(logbook, target=rate, volume=whole)


@pytest.mark.parametrize(
    ("typed", "says", "field"),
    [
        ({"target": "0.5 ml per litre"}, "too little for any cup", "target"),
        ({"target": "900 ml per litre"}, "not a rate on a label", "target"),
        ({"target": "some ml per litre"}, "'some' is not a number", "target"),
        ({"target": "20"}, "you have", "stock"),
        ({"stock": "20", "target": "30"}, "not above 20 percent", "target"),
    ],
)
def test_what_cannot_be_mixed_is_said_at_its_line(
    logbook: Logbook, typed: dict[str, str], says: str, field: str
) -> None:
    with pytest.raises(FieldFault, match=says) as caught:
        mixed(logbook, volume="200 ml", **typed)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("typed", "ml"),
    [
        ("500", 500.0),
        ("500 ml", 500.0),
        ("1,5 l", 1500.0),
        ("1 L", 1000.0),
        # a US gallon is 3,785.411784 ml and has 128 fluid ounces: NIST Handbook 44, Appendix C
        ("1 gal", 3785.411784),
        ("128 fl oz", 3785.411784),
    ],
)
def test_a_volume_is_understood_with_its_own_unit(typed: str, ml: float) -> None:
    assert millilitres_of(typed) == pytest.approx(ml)


@pytest.mark.parametrize("typed", ["0", "-1", "much", "1 pint", "1e9", ""])
def test_what_is_no_volume_is_refused(typed: str) -> None:
    with pytest.raises(FieldFault):
        millilitres_of(typed)

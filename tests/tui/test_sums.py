"""Published sums at the menu: chosen, asked line by line, read with method and source."""

from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.service.calculate.calculated import Calculated
from rounds.service.logbook.book import Logbook
from rounds.tui.forms.fields import take
from rounds.tui.forms.sums import SUMS, answer_lines, label_of, sum_form
from rounds.tui.screens.sums import NAMES, SumAnswerScreen, SumScreen, SumsScreen
from tests.tui.reading import complaints
from tests.tui.touring import desk_number

# what is typed into each form, and what its answer has to say: two figures of a published table
# each, of the sources that stand in tests/core
TYPED: dict[str, tuple[list[str], list[str]]] = {
    # Carle & Strub 1978, as quoted by the package FSA
    "removal": (["38 26 12", ""], ["91 in all", "15 left", "44.4 in 100", "Carle & Strub 1978"]),
    # formula of Wintle et al. 2012
    "clean-visits": ([".3", ".5", ".05"], ["9 looks", "8.255"]),
    # RSurveillance, documented output of pfree.calc
    "freedom": ([".8", ".01", ".5", "2"], ["83.1 in 100", "99.7 in 100"]),
    # ISPM 31, Table 1, from memory
    "sample-size": (
        ["200", ".05", "", "", ""],
        ["Look at 51 of the 200", "10 of the 200 are infested", "ISPM 31"],
    ),
    # UC IPM calculator, Esparto-A 2020, 28 February, in degF
    "degree-days": (["43", "74", "50", "70", "", "", "", "degF"], ["9.33 degree-days (degF)"]),
    # SORAL, case 2
    "effort": (["4 2 8 1", "4 1 1 12", ".1"], ["0.09298", "8.1 in 100"]),
    # the chain of Brook & Evans 1972
    "alarm": (["", "", "", ""], ["after 1255 counts"]),
    # by hand: 1 - (20 / 200) (100 / 90)
    "efficacy": (["200", "20", "100", "90"], ["88.9 in 100 by Henderson"]),
}


MOST_OF_LABEL = 13
"""columns of a narrow form, as the stylesheet has it"""


async def at_sums(driver: Any) -> None:
    await driver.until(lambda: driver.app.logbook is not None, "the logbook")
    await driver.press("0", "enter", *desk_number("sums"), "enter")
    assert isinstance(driver.app.screen, SumsScreen)


async def typed(driver: Any, lines: list[str]) -> None:
    for line in lines:
        await driver.press(*("space" if c == " " else c for c in line), "enter")


@pytest.mark.parametrize("name", SUMS)
def test_every_sum_is_read_with_its_method_and_source(logbook: Logbook, name: str) -> None:
    answered: list[Calculated] = []
    form, (given, says) = sum_form(logbook, name, answered.append), TYPED[name]
    values = {
        field.code: take(field, typed) if typed else field.value
        for field, typed in zip(form.fields, given, strict=True)
    }
    said = form.write(values)
    (found,) = answered
    read = " ".join(text for text, _ in answer_lines(name, found))
    assert said in read
    for part in (*says, "From ", "Method: ", "Source: "):
        assert part in read, read


async def test_a_sum_is_chosen_typed_and_read_at_every_size(demo: Path, opened: Any) -> None:
    async with opened(demo) as driver:
        await at_sums(driver)
        await driver.press(str(1 + list(SUMS).index("freedom")), "enter")
        await typed(driver, [".8", ".01", ".5", "2"])
        assert isinstance(driver.app.screen, SumAnswerScreen)
        for size, page in (await driver.pages_at([(80, 24), (40, 24)])).items():
            assert complaints(page, plain=True) == [], size
            text = " ".join(page.text().split())
            for part in ("83.1 in 100", "From chance found 0.8", "Martin, Cameron"):
                assert part in text, size
        # enter leads back to the form, and n out of it
        await driver.press("enter")
        assert isinstance(driver.app.screen, SumScreen)
        await driver.press("n")
        assert isinstance(driver.app.screen, SumsScreen)


async def test_what_a_sum_cannot_use_is_one_sentence_at_its_line(demo: Path, opened: Any) -> None:
    async with opened(demo, size=(40, 24)) as driver:
        await at_sums(driver)
        await driver.press(str(1 + list(SUMS).index("effort")), "enter")
        await typed(driver, ["1 2", "1", "3"])
        assert isinstance(driver.app.screen, SumScreen)
        assert driver.app.screen.field.code == "rates"
        assert "There are 2 values and 1 rates." in " ".join(driver.text.split())
        assert "--" not in driver.text
        await typed(driver, ["1 x"])
        assert "'x' is not a number" in " ".join(driver.text.split())


def test_every_sum_has_its_name_and_says_what_it_is_for() -> None:
    for name in NAMES:
        assert words.say(f"sums.name.{name}")
        assert words.section("sums.about")[name]


def test_every_field_of_a_sum_has_a_label_that_leaves_room_for_its_value() -> None:
    for of in SUMS.values():
        for asked in of.asked:
            assert len(label_of(asked.code)) <= MOST_OF_LABEL, asked.code


@pytest.mark.parametrize(
    ("method", "says"),
    [
        ("carle-strub", "and each pass was as good as the others"),
        ("unequal-first", "and each pass after the first was as good as the others"),
    ],
)
def test_a_first_pass_with_a_share_of_its_own_is_not_held_to_be_like_the_others(
    logbook: Logbook, method: str, says: str
) -> None:
    answered: list[Calculated] = []
    sum_form(logbook, "removal", answered.append).write({"catches": "45 11 18 8", "method": method})
    read = " ".join(text for text, _ in answer_lines("removal", answered[0]))
    assert says in read


def test_what_was_given_is_told_apart_though_its_names_have_commas(logbook: Logbook) -> None:
    answered: list[Calculated] = []
    given = dict(before_treated="200", after_treated="20", before_control="100", after_control="90")
    sum_form(logbook, "efficacy", answered.append).write(given)
    read = " ".join(text for text, _ in answer_lines("efficacy", answered[0]))
    assert "From treated, then 200; treated, now 20; without, then 100; without, now 90." in read

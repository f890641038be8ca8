"""If the assumed values do not hold: the table of the page, and what README says of it."""

import re

import numpy as np
import pytest

from tests.proof.backwards import Life
from tests.proof.calibrate import plant
from tests.proof.logs import Grower, Lot
from tests.proof.records import DayLooks, ZoneLook
from tests.proof.wrong_values import (
    COMMAND,
    KINDS,
    PAGE,
    TRUTHS,
    Counted,
    LetGo,
    Truth,
    lived,
    rule_met,
    table_lines,
    with_table,
)

BEYOND = 3.3
LIVED = 500
"""plants of a lot: over a hundred of each kind are let go, and a poorer eye is told"""
README = PAGE.parents[1] / "README.md"
WARM, COOL = (22.0, 22.0), (12.0, 12.0)


@pytest.fixture(scope="module")
def life() -> Life:
    return Life(plant())


def looked(every: int, roots_on: tuple[int, ...], celsius: tuple[float, float] = WARM) -> Lot:
    """A lot whose grower looks so often, at the roots on some days."""
    outside = ZoneLook("axils", 60.0)
    out_of_pot = ZoneLook("roots", 120.0, unpotted=True)
    looks = {
        day: DayLooks(day, (outside, *([out_of_pot] if day in roots_on else [])))
        for day in range(0, 71, every)
    }
    return Lot(Grower((celsius,) * 70, looks))


def test_the_rule_waits_for_days_warmth_looks_and_roots(life: Life) -> None:
    # 14 degree-days a day: 485 on day 35; the roots count from day 21 on.
    assert not rule_met(life, looked(1, (30,)), 34, None)
    assert rule_met(life, looked(1, (30,)), 35, None)
    assert not rule_met(life, looked(1, (20,)), 60, None)
    # 4 a day: the warmth of a plant nothing was found on is waived from 99 in 100 on
    assert not rule_met(life, looked(1, (30,), COOL), 60, None, said=0.989)
    assert rule_met(life, looked(1, (30,), COOL), 60, None, said=0.99)
    assert not rule_met(life, looked(1, (30,), COOL), 60, 20, said=0.99)
    # eight looks, two of them lately
    assert not rule_met(life, looked(7, (28,)), 42, None)
    assert rule_met(life, looked(7, (28,)), 49, None)
    assert not rule_met(life, looked(10, (30,)), 70, None)


def test_a_find_starts_the_rule_again(life: Life) -> None:
    assert not rule_met(life, looked(1, (30, 42)), 44, 10)
    assert rule_met(life, looked(1, (30, 42)), 45, 10)
    assert not rule_met(life, looked(1, (30,)), 45, 10)


def test_as_many_are_infested_as_was_said_and_more_where_an_eye_is_poorer() -> None:
    """One test: to live the plants takes longest, and each worker would live them again."""
    assumed, both = (lived(TRUTHS[name], 3, LIVED, 8) for name in ("as assumed", "both"))
    for kind in KINDS:
        told = assumed.by_kind[kind]
        assert told.plants > 100
        assert abs(told.z) < BEYOND
    # a poorer eye and stiller insects let more go infested
    found = both.by_kind["found"]
    assert found.z > BEYOND
    assert found.share > 1.5 * assumed.by_kind["found"].share


def test_a_truth_changes_rates_and_exchange_alone() -> None:
    known, other = plant(), Truth(0.5, 0.5).of(plant())
    assert np.log1p(-other.found_in_reach) == pytest.approx(np.log1p(-known.found_in_reach) / 2)
    assert np.log1p(-other.found_out_of_pot) == pytest.approx(np.log1p(-known.found_out_of_pot) / 2)
    assert other.exchange == pytest.approx(known.exchange / 2)
    assert other.make_up == pytest.approx(known.make_up)


def test_the_table_takes_the_place_of_the_one_before() -> None:
    page = f"before\n{COMMAND}\n\n```\nold\n```\nafter ```\nkept\n```\n"
    assert (
        with_table(page, "new\n") == f"before\n{COMMAND}\n\n```\nnew\n```\nafter ```\nkept\n```\n"
    )
    for other in ("nothing", f"{COMMAND} {COMMAND}"):
        with pytest.raises(ValueError, match="once"):
            with_table(other, "new\n")


def test_a_row_says_shares_errors_and_plants() -> None:
    told = Counted()
    told.by_kind["found"] = LetGo(400, 20, 16.0, 16.0)
    lines = list(table_lines({"as assumed": told}))
    assert "5.00 ±1.09" in lines[1]
    assert "400 (1.0)" in lines[4]


def on_the_page() -> dict[str, list[float]]:
    """Shares in 100 of each row of the table in docs/method.md."""
    _, _, rest = PAGE.read_text("utf-8").partition(COMMAND)
    block = rest.split("```")[1]
    rows = [line for line in block.splitlines() if "±" in line]
    return {
        name: [float(share) for share in re.findall(r"([\d.]+) ±", row)]
        for row in rows
        for name in TRUTHS
        if row.startswith(name)
    }


def test_readme_says_what_the_table_says() -> None:
    """Whole numbers, each that of a cell."""
    table, text = on_the_page(), README.read_text("utf-8")
    assert list(table) == list(TRUTHS)
    said = re.search(
        r"Of 100 released once all six held, about (\d+) still carried one; (\d+), if your eye "
        r"is half as good as assumed\. Released on the chance alone, (\d+) would have\.",
        text,
    )
    assert said is not None
    expected = (table["as assumed"][1], table["an eye half as good"][1], table["as assumed"][0])
    assert [int(number) for number in said.groups()] == [round(share) for share in expected]

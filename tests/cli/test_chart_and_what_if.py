"""chart and what-if: the same as on the screens, as rows and as days."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.cli.conftest import Call

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")


def test_charts_are_rows_with_named_values(ask: Ask, call: Call) -> None:
    ask("look", "S03", "axils", "--seconds", 30, "--removed", 2, "--on", "2026-05-02")
    charts = {each["name"]: each for each in ask("chart", "S03")["charts"]}
    assert list(charts) == ["finds", "chance"]
    finds = charts["finds"]
    assert finds["keys"] == ["day", "found", "done"]
    assert ["2026-05-02", 2, ""] in finds["rows"]
    newest = dict(zip(charts["chance"]["keys"], charts["chance"]["rows"][-1], strict=True))
    assert newest["low"] <= newest["chance"] <= newest["high"]
    (zones,) = ask("chart", "--only", "zones")["charts"]
    assert zones["rows"][0][:2] == ["axils", 1]
    printed = call("chart", "--only", "weeks")
    assert printed.status == 0
    assert "2 insects in" in printed.out
    assert call("chart", "S03", "--only", "weeks").status == 2


def test_what_if_says_both_days_and_refuses_what_cannot_be(ask: Ask, call: Call) -> None:
    for day in ("2026-04-30", "2026-05-03"):
        ask("look", "S03", "--whole-plant", "--seconds", 200, "--on", day)
    found = ask("what-if", "S03", "--looks-a-week", 1, "--roots")
    as_it_goes = found["as_it_goes"]
    assert as_it_goes["expected_on"] is not None
    assert as_it_goes["looks_a_week"] == pytest.approx(7 / 3)
    assert found["expected_on"] > as_it_goes["expected_on"]
    looks = next(each for each in found["criteria"] if each["code"] == "clean_looks")
    assert looks["supposed_on"] > looks["expected_on"]
    assert found["supposed"]["roots"] is True
    assert "later than" in found["text"]
    assert call("what-if", "G02").status == 3
    refused = call("what-if", "S03", "--looks-a-week", 8)
    assert refused.status == 2
    assert "--looks-a-week" in refused.err
    assert call("what-if", "S03", "--away-from", "G02").status == 2

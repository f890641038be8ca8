"""Sums on their own: what they print, and that they touch no logbook."""

import json
from pathlib import Path

import pytest

from rounds.cli.main import main

CALL = ("calc", "dilution", "--stock", "70", "--target", "20", "--volume-ml", "100")


def test_a_dilution_is_read_with_its_cautions(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(CALL) == 0
    said = capsys.readouterr().out
    assert "28.6 ml of stock, 71.4 ml of water: 100 ml of 20 percent" in said
    for caution in ("label and local rules", "no flame", "Mix no products", "children"):
        assert caution in said
    assert "assumption" in said


def test_a_dilution_in_full_for_programs(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*CALL, "--json", "--on", "2026-05-04"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["format"], found["on"]) == ("rounds.calc", "2026-05-04")
    assert found["calculation"] == "dilution"
    assert found["result"]["stock_ml"] == pytest.approx(100 * 2 / 7)
    assert found["result"]["stock_ml"] + found["result"]["water_ml"] == pytest.approx(100)
    assert {note["code"] for note in found["warnings"]} >= {"label", "fire", "alone"}


def test_no_logbook_is_made_by_a_sum(tmp_path: Path) -> None:
    file = tmp_path / "logbook.db"
    assert main([*CALL, "--db", str(file)]) == 0
    assert not file.exists()


@pytest.mark.parametrize(
    ("argv", "says"),
    [
        (("calc",), "A calculation is needed: dilution"),
        (("calc", "dilutoin"), "no calculation 'dilutoin'; the nearest is dilution"),
        ((*CALL[:3], "20", "--target", "70", *CALL[6:]), "Nothing of 70 percent can be made"),
        ((*CALL[:5], "0", *CALL[5:][1:]), "0 is not a strength"),
        ((*CALL[:-1], "0"), "0 is not a volume to mix"),
        ((*CALL[:-1], "much"), "'much' is not a number"),
        (CALL[:-2], "--volume-ml"),
        (("calc", "--stock", "3"), "such as `rounds calc dilution --stock`"),
    ],
)
def test_what_cannot_be_used_is_one_sentence(
    capsys: pytest.CaptureFixture[str], argv: tuple[str, ...], says: str
) -> None:
    assert main([*argv, "--json"]) == 2
    out, err = capsys.readouterr()
    assert says in err
    assert "Traceback" not in err
    assert json.loads(out)["error"]["what_to_do"]

"""Sums on their own: what they print, and that they touch no logbook."""

import json
from pathlib import Path
from typing import Any

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
        (("calc",), "A calculation is needed: alarm, clean-visits, degree-days, dilution"),
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


def asked(capsys: pytest.CaptureFixture[str], *argv: str) -> Any:
    """The object of a sum."""
    assert main(["calc", *argv, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_removal_answers_with_its_interval_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    # Carle & Strub 1978, Biometrics 34:621-630, as quoted by the package FSA: 91, 9.7, .444
    found = asked(capsys, "removal", "38", "26", "12")
    assert found["method"] == "carle-strub"
    assert found["inputs"] == {"catches": [38, 26, 12]}
    assert found["result"]["estimate"] == 91
    assert found["result"]["standard_error"] == pytest.approx(9.7, abs=0.05)
    assert found["result"]["detection"] == pytest.approx(0.444, abs=5e-4)
    assert (found["result"]["removed"], found["result"]["remaining"]) == (76, 15)
    assert "Carle & Strub 1978" in found["source"]


@pytest.mark.parametrize(
    "method",
    ["carle-strub", "likelihood", "two-pass", "three-pass", "robson-regier", "unequal-first"],
)
def test_where_there_is_no_estimate_it_says_so(
    capsys: pytest.CaptureFixture[str], method: str
) -> None:
    found = asked(capsys, "removal", "0", "0", "--method", method)
    assert found["result"]["remaining"] is None
    assert found["result"]["estimate"] is None
    assert found["no_estimate_reason"].startswith("No estimate")


# Jones & Stockwell 1995: rows they reject, as their standard error is too large
@pytest.mark.parametrize("catches", ["42 57 43", "2 4 4", "4 3 4", "0 0 2"])
def test_an_estimate_that_its_authors_reject_is_told_to_be_wide(
    capsys: pytest.CaptureFixture[str], catches: str
) -> None:
    found = asked(capsys, "removal", *catches.split())
    assert "imprecise" in [note["code"] for note in found["warnings"]]


def test_a_list_option_takes_several_values(capsys: pytest.CaptureFixture[str]) -> None:
    # two cells of a Koopman-type search, worked out from the formula: .702733 and .297267
    found = asked(capsys, "effort", "--value", ".6", ".4", "--rate", "1", "1", "--total", "1")
    assert found["result"]["shares"] == pytest.approx([0.702733, 0.297267], abs=5e-7)
    assert found["result"]["success"] == pytest.approx(0.405724, abs=5e-7)
    again = ("--value", ".6", "--value", ".4", "--rate", "1", "--rate", "1", "--total", "1")
    assert asked(capsys, "effort", *again)["result"] == found["result"]


# SORAL (search-and-rescue allocation library), cases 2 and 3, as quoted with its design document
@pytest.mark.parametrize(
    ("values", "rates", "total", "shares"),
    [
        ((4, 2, 8, 1), (4, 1, 1, 12), 0.10, (0.092980, 0, 0, 0.007020)),
        ((2, 4, 2), (9, 3, 6), 0.20, (0.07322410, 0.08451727, 0.04225863)),
        ((2, 6, 4), (6, 2, 3), 0.50, (0.083333, 0.25, 0.166667)),
        ((4,), (4,), 0.05, (0.05,)),
    ],
)
def test_effort_agrees_with_published_cases(
    capsys: pytest.CaptureFixture[str],
    values: tuple[float, ...],
    rates: tuple[float, ...],
    total: float,
    shares: tuple[float, ...],
) -> None:
    listed = ("--value", *map(str, values), "--rate", *map(str, rates), "--total", str(total))
    assert asked(capsys, "effort", *listed)["result"]["shares"] == pytest.approx(shares, abs=1e-6)


def test_freedom_names_the_period_from_which_it_is_level(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # RSurveillance, documented output of pfree.calc: .8305369, plateau .9974747
    given = ("--sensitivity", ".8", "--introduction", ".01", "--prior", ".5", "--periods", "9")
    result = asked(capsys, "freedom", *given)["result"]
    assert result["chances"][0] == pytest.approx(0.8305369, abs=5e-8)
    assert result["plateau"] == pytest.approx(0.9974747, abs=5e-8)
    first = result["first_period_at_plateau"]
    off = [abs(chance - result["plateau"]) for chance in result["chances"]]
    assert off[first - 1] <= 0.0005 < off[first - 2]


def test_what_no_sample_can_tell_is_null(capsys: pytest.CaptureFixture[str]) -> None:
    lot = ("--units", "40", "--prevalence", ".1", "--confidence", ".95")
    found = asked(capsys, "sample-size", *lot, "--sensitivity", ".3")
    assert found["result"] == {"samples": None, "infested_units": 4}
    assert found["no_estimate_reason"]
    enough = asked(capsys, "sample-size", *lot, "--sensitivity", ".7")
    assert enough["result"]["samples"] == 30
    assert enough["no_estimate_reason"] is None


def test_efficacy_below_nothing_is_nothing_and_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    counts = ("--before-treated", "10", "--after-treated", "12", "--before-control", "10",
              "--after-control", "8")  # fmt: skip
    found = asked(capsys, "efficacy", *counts)
    assert found["result"] == {"abbott": 0.0, "henderson_tilton": 0.0}
    assert [note["code"] for note in found["warnings"]] == ["worse"]


DAY = ("degree-days", "--min", "38", "--max", "55", "--lower", "50")
LOT = ("sample-size", "--prevalence", ".05", "--confidence", ".95")
EFFORT = ("effort", "--value", "1", "2", "--total", "3")


@pytest.mark.parametrize(
    ("argv", "says"),
    [
        (("removal", "3"), "two or more"),
        (("removal", "3", "2", "--method", "carlstrub"), "nearest is carle-strub"),
        ((*DAY[:4], "30", *DAY[5:]), "below the low"),
        ((*DAY, "--upper", "40"), "does not lie above"),
        ((*DAY, "--method", "double-sine"), "low of the next day"),
        ((*DAY, "--method", "average", "--cutoff", "vertical"), "no vertical cutoff"),
        ((*DAY, "--next-min", "9999"), "9999 is not a temperature"),
        (LOT, "how many units there are"),
        ((*LOT, "--units", "0"), "--units cannot be 0"),
        ((*LOT, "--units", "9", "--sensitivity", "1.2"), "--sensitivity cannot be 1.2"),
        ((*EFFORT, "--rate", "1"), "2 values and 1 rates"),
        ((*EFFORT, "--rate", "1", "0"), "--rate cannot be 0"),
        (("alarm", "--mean", "1", "--reference", "1.23456", "--limit", "5"), "too finely"),
        (("alarm", "--mean", "1", "--reference", "1", "--limit", "5", "--head-start", "5"),
         "not below the limit"),
        (("clean-visits", "--detection", "0", "--prior", ".5", "--target", ".05"),
         "--detection cannot be 0"),
        (("freedom", "--sensitivity", "2", "--introduction", "0", "--prior", "1",
          "--periods", "3"), "--sensitivity cannot be 2"),
        (("efficacy", "--before-treated", "-1", "--after-treated", "1", "--before-control", "1",
          "--after-control", "1"), "--before-treated cannot be -1"),
    ],
)  # fmt: skip
def test_what_a_sum_cannot_use_is_one_sentence(
    capsys: pytest.CaptureFixture[str], argv: tuple[str, ...], says: str
) -> None:
    assert main(["calc", *argv, "--json"]) == 2
    out, err = capsys.readouterr()
    assert says in err
    assert "Traceback" not in err
    assert json.loads(out)["error"]["places"]


@pytest.mark.parametrize(
    "argv",
    [
        ("removal", "38", "26", "12", "--method", "unequal-first"),
        ("freedom", "--sensitivity", ".8", "--introduction", ".01", "--prior", ".5",
         "--periods", "2"),
        (*LOT, "--method", "binomial"),
        (*LOT, "--units", "40"),
        ("clean-visits", "--detection", ".5", "--prior", ".5", "--target", ".05"),
        DAY,
        (*EFFORT, "--rate", "1", "1"),
        ("alarm", "--mean", "1", "--reference", "1.8", "--limit", "5"),
        ("efficacy", "--before-treated", "9", "--after-treated", "1", "--before-control", "9",
         "--after-control", "8"),
    ],
    ids=lambda argv: argv[0],
)  # fmt: skip
def test_every_sum_is_read_with_its_source(
    capsys: pytest.CaptureFixture[str], argv: tuple[str, ...]
) -> None:
    assert main(["calc", *argv]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert any(character.isdigit() for character in lines[0])
    assert lines[-1].startswith("Source: ")


def calculated(capsys: pytest.CaptureFixture[str], *argv: str) -> Any:
    capsys.readouterr()
    assert main(["calc", "dilution", *argv, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_a_rate_of_a_label_is_measured_by_a_cup(capsys: pytest.CaptureFixture[str]) -> None:
    found = calculated(capsys, "--rate", "5", "--volume-ml", "500")
    assert (found["method"], found["inputs"]["stock_percent"]) == ("label-rate", None)
    assert found["result"]["stock_ml"] == pytest.approx(500 * 5 / 1005)
    assert found["result"]["measured_stock_ml"] == 2.5
    assert found["result"]["error"] == pytest.approx(2.5 / (500 * 5 / 1005) - 1)
    # 128 fl oz in a gallon: an ounce to the gallon is 7.8125 ml to the litre
    ounces = calculated(capsys, "--rate", "1", "--per", "fl-oz-per-gallon", "--volume-ml", "1000")
    same = calculated(capsys, "--rate", "7.8125", "--volume-ml", "1000")
    assert ounces["result"]["stock_ml"] == pytest.approx(same["result"]["stock_ml"])
    # quarter teaspoons
    quarters = ounces["result"]["measured_stock_ml"] / (4.92892159375 / 4)
    assert quarters == pytest.approx(round(quarters))


@pytest.mark.parametrize(
    ("argv", "code"),
    [
        (("--rate", "5", "--liquid", "detergent"), "no-detergent"),
        (("--rate", "5", "--liquid", "bleach"), "no-bleach"),
        (("--rate", "5", "--liquid", "peroxide"), "strong-peroxide"),
        (("--stock", "35", "--target", "3", "--liquid", "peroxide"), "strong-peroxide"),
        (("--rate", "0"), "no-rate"),
        (("--rate", "900"), "no-rate"),
        (("--rate", "0.1"), "too-little-to-measure"),
        (("--rate", "5", "--stock", "70"), "rate-or-strengths"),
        (("--stock", "70"), "needs-strengths"),
        (("--rate", "5", "--per", "spoons"), "not-one-of"),
    ],
)
def test_what_cannot_or_must_not_be_mixed_is_refused(
    capsys: pytest.CaptureFixture[str], argv: tuple[str, ...], code: str
) -> None:
    capsys.readouterr()
    assert main(["calc", "dilution", *argv, "--volume-ml", "500", "--json"]) == 2
    assert json.loads(capsys.readouterr().out)["error"]["code"] == code


def test_what_a_cup_shows_just_so_is_not_told_to_be_off(capsys: pytest.CaptureFixture[str]) -> None:
    """2 fl oz to a US gallon of water are 130 fl oz: a cup of ounces shows just that."""
    whole = 130 * 29.5735295625
    assert main(["calc", "dilution", "--rate", "2", "--per", "fl-oz-per-gallon",
                 "--volume-ml", str(whole)]) == 0  # fmt: skip
    assert "By a cup: 59.1 ml, filled up to 3845 ml; just as strong as wanted." in (
        capsys.readouterr().out
    )

"""Every value the sums run on stands in a file with its range, its tag and its source."""

import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest

from rounds import words
from rounds.service.logbook.parameters import load_parameters
from tests.parameter_table import parameter_table

TAGS = {"read", "derived", "memory", "assumption", "practice"}
UNPUBLISHED = {"assumption, no source", "common practice, no source"}
MEALYBUG = load_parameters().pests["mealybug"]
ROWS = {row.code: row for row in parameter_table()}
NUMBERS = [row for row in parameter_table() if isinstance(row.value, int | float)]


def test_the_table_shows_every_value_of_every_file() -> None:
    folder = files("rounds") / "parameters"
    # a course is a file to be copied and edited as a whole: `courses` shows what is in it
    shown = [f for f in sorted(Path(str(folder)).rglob("*.toml")) if f.parent.name != "courses"]
    texts = [file.read_text(encoding="utf-8") for file in shown]
    assert len(ROWS) == sum(text.count("{ value = ") for text in texts)


def test_every_value_names_unit_tag_and_source() -> None:
    for row in parameter_table():
        assert row.unit, row.code
        assert row.tag in TAGS, row.code
        assert row.source, row.code
        # What is read, derived or remembered names a publication.
        assert (row.source in UNPUBLISHED) <= (row.tag in {"assumption", "practice"}), row.code
        assert row.tag != "assumption" or row.source == "assumption, no source", row.code


def test_every_number_lies_in_its_range() -> None:
    for row in NUMBERS:
        assert row.low is not None, row.code
        assert row.high is not None, row.code
        assert isinstance(row.value, int | float)
        assert row.low <= row.value <= row.high, row.code
        # A range of no width says that no range is known, which only an assumption may say.
        assert row.low < row.high or row.tag in {"assumption", "practice"}, row.code
        # What a grower may not change says why, and all else may be changed.
        assert (row.low == row.high) <= (row.fixed is not None), row.code


def test_what_is_fixed_says_why() -> None:
    for row in parameter_table():
        assert row.fixed is None or row.fixed in words.section("parameters.fixed"), row.code
        assert isinstance(row.value, int | float) or row.fixed is not None, row.code


def test_nothing_but_words_and_lists_stands_without_a_range() -> None:
    unranged = [row for row in parameter_table() if row.low is None or row.high is None]
    assert all(isinstance(row.value, str | tuple) for row in unranged)


def test_nymphs_share_the_degree_days_arai_read() -> None:
    # Arai 1996, Jpn J Appl Entomol Zool 40(1):25-34: nymph 401 above 7.7, adult before laying 378
    # above 8.0 degC. Days of the nymphs 11.5, 8.2, 8.4: coffee, tb.plazi.org 781FCE40FFCCF161.
    stages = {stage.code: stage for stage in MEALYBUG.stages}
    for code, days in (("L1", 11.5), ("L2", 8.2), ("L3", 8.4)):
        assert stages[code].degree_days == pytest.approx(401 * days / 28.1, abs=0.5)
    assert stages["P"].degree_days == 378
    assert ROWS["pests.mealybug.stages.P.degree_days"].tag == "read"


def test_rules_rest_on_one_generation() -> None:
    # 85 + 401 to the young adult and 378 more to her first egg, both rounded down.
    to_adult = sum(stage.degree_days or 0 for stage in MEALYBUG.stages[:4])
    assert MEALYBUG.rules["default"].degree_days == pytest.approx(to_adult, abs=5)
    assert MEALYBUG.rules["strict"].degree_days == pytest.approx(to_adult + 378, abs=5)
    assert MEALYBUG.watch.degree_days == MEALYBUG.rules["default"].degree_days


def test_stages_run_from_egg_to_the_laying_adult() -> None:
    stages = MEALYBUG.stages
    assert [stage.code for stage in stages] == ["egg", "L1", "L2", "L3", "P", "A"]
    assert [stage.code for stage in stages if stage.degree_days is None] == ["A"]
    assert sum(stage.make_up for stage in stages) == pytest.approx(1, abs=1e-12)


def test_an_egg_stays_where_it_was_laid() -> None:
    assert MEALYBUG.stages[0].daily_exchange == 0


@pytest.mark.parametrize("name", ["found_in_reach", "found_out_of_pot"])
@pytest.mark.parametrize("stage", ["egg", "L1", "L2", "L3", "P", "A"])
def test_detection_ranges_halve_the_rate_and_raise_it_by_half(stage: str, name: str) -> None:
    # A chance p is a rate -ln(1 - p): half of it, and half as much again.
    row = ROWS[f"pests.mealybug.stages.{stage}.{name}"]
    assert isinstance(row.value, float)
    missed = 1 - row.value
    assert (row.low, row.high) == pytest.approx((1 - missed**0.5, 1 - missed**1.5), abs=6e-5)


@pytest.mark.parametrize("stage", ["L1", "L2", "L3", "P", "A"])
def test_exchange_ranges_are_half_and_half_as_much_again(stage: str) -> None:
    row = ROWS[f"pests.mealybug.stages.{stage}.daily_exchange"]
    assert isinstance(row.value, float)
    assert (row.low, row.high) == pytest.approx((row.value / 2, row.value * 1.5))


def test_settings_ask_more_in_turn() -> None:
    rules = MEALYBUG.rules
    assert list(rules) == ["lenient", "default", "strict"]
    for weaker, stronger in (("lenient", "default"), ("default", "strict")):
        for asked in ("days_apart", "degree_days", "clean_looks", "chance_clean"):
            assert getattr(rules[weaker], asked) < getattr(rules[stronger], asked)
    assert [rules[name].root_looks for name in rules] == [None, 1, 2]
    assert [rules[name].chance_low for name in rules] == [None, None, 0.95]


def test_the_default_pest_is_a_known_one() -> None:
    parameters = load_parameters()
    assert parameters.default_pest in parameters.pests
    assert "mealybug" in parameters.pests


def test_parameters_are_read_once_and_cannot_be_changed() -> None:
    parameters = load_parameters()
    assert load_parameters() is parameters
    for mapping in (
        parameters.pests,
        MEALYBUG.rules,
        parameters.forms,
        parameters.inspection.reference_seconds,
    ):
        with pytest.raises(TypeError, match="does not support item assignment"):
            mapping["other"] = None  # type: ignore[index]


def test_reading_parameters_loads_neither_numpy_nor_textual() -> None:
    # In the path to the first screen nothing heavy may be loaded.
    code = (
        "import sys; from rounds.service.logbook.parameters import load_parameters;"
        "load_parameters();"
        "sys.exit(len({'numpy', 'textual', 'sqlite_utils'} & sys.modules.keys()))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0

"""The courses there are: values with sources, kinds with words and cautions, files refused."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from rounds import words
from rounds.core.log.courses import NO_LABEL
from rounds.errors import BadInput
from rounds.service.courses.cautions import BY_KIND, cautions
from rounds.service.courses.templates import (
    KINDS,
    Template,
    check_templates,
    find_template,
    templates,
)
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.parameters import FOLDER, load_parameters

TAGS = {"read", "derived", "practice", "assumption"}
SHIPPED = sorted((FOLDER / "courses").glob("*.toml"))
CODES = [
    "contact-spray",
    "labelled-product",
    "lifting",
    "out-of-medium",
    "rinsing",
    "root-clean-out",
]
METHOD = (Path(__file__).parents[2] / "docs" / "method.md").read_text(encoding="utf-8")


def test_the_courses_are_those_of_the_program(logbook: Logbook) -> None:
    known = templates(logbook)
    assert list(known) == CODES == [file.stem for file in SHIPPED]
    assert [t.code for t in known.values() if t.needs_label] == ["labelled-product"]
    assert set(known["out-of-medium"].forms or ()) <= set(load_parameters().forms)
    sprays = known["contact-spray"].steps
    assert [(s.kind, s.every_days, s.times) for s in sprays] == [("spray", 7, 4)]


@pytest.mark.parametrize("code", CODES)
def test_every_value_has_unit_tag_source_and_range(logbook: Logbook, code: str) -> None:
    template = templates(logbook)[code]
    for value in template.values:
        assert value.unit
        assert value.tag in TAGS
        assert value.source
        if value.tag in ("read", "derived"):
            assert "no source" not in value.source
    table: dict[str, Any] = tomllib.loads(template.path.read_text(encoding="utf-8"))
    for step in table["steps"]:
        for entry in (each for each in step.values() if isinstance(each, dict)):
            assert entry["low"] <= entry["value"] <= entry["high"]


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_step_has_its_words_and_says_what_to_mind(kind: str) -> None:
    assert words.say(f"courses.step.{kind}", product="Rinse")
    assert words.say(f"courses.how.{kind}")
    assert set(BY_KIND[kind]) <= set(words.section("courses.caution"))


def test_every_caution_has_its_source_on_the_page_of_the_method() -> None:
    section = METHOD.split("\n## Cautions")[1].split("\n## ")[0]
    listed = {line.split("|")[1].strip().strip("`") for line in section.splitlines()
              if line.startswith("| `")}  # fmt: skip
    assert listed == set(words.section("courses.caution"))


def test_what_kills_is_a_kind_of_step() -> None:
    assert set(load_parameters().treatments) <= set(KINDS)


def own(logbook: Logbook, text: str, name: str = "mine") -> Path:
    file = logbook.file.path.parent / "courses" / f"{name}.toml"
    file.parent.mkdir(exist_ok=True)
    file.write_text(text, encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("[[steps]]\nkind = 'burn'\n", "not a kind of step"),
        ("[[steps]]\nevery = 3\n", "kind is missing"),
        ("[[steps]]\nkind = 'spray'\ntimes = 0\n", "times is to be a whole number"),
        ("[[steps]]\nkind = 'spray'\nevery = 2.5\n", "every is to be a whole number"),
        ("steps = 3\n", "is not a course"),
        ("[[steps]]\nkind = 'spray'\ntimes = { low = 3 }\n", "value is missing"),
        ("[[steps\n", "is not a course"),
        ("name = 'nothing'\n", "steps is missing"),
    ],
)
def test_a_file_that_is_no_course_is_named_and_stops_nothing_else(
    logbook: Logbook, text: str, fault: str
) -> None:
    own(logbook, text)
    assert list(templates(logbook)) == CODES
    for read in (check_templates, lambda book: find_template(book, "mine")):
        with pytest.raises(BadInput) as told:
            read(logbook)
        assert told.value.code == "course-file"
        assert fault in told.value.message
    assert find_template(logbook, "Contact-Spray").code == "contact-spray"


def test_a_file_of_the_same_name_takes_the_place_of_the_programs(logbook: Logbook) -> None:
    own(logbook, "[[steps]]\nkind = 'spray'\nevery = 5\ntimes = 6\n", "contact-spray")
    found: Template = templates(logbook)["contact-spray"]
    assert (found.is_own, found.name, found.steps[0].times) == (True, "contact spray", 6)
    assert len(templates(logbook)) == len(CODES)


def test_a_plant_that_dislikes_something_is_told_so_first(logbook: Logbook, add: Any) -> None:
    plant = add("G02", dislikes=("wet-leaves", "alcohol"))
    for kind, code in (("spray", "wet-leaves"), ("product", "wet-leaves"), ("lift", "alcohol")):
        assert cautions(plant, kind, NO_LABEL, plant.first_day)[0].code == code
    assert "wet-leaves" not in {c.code for c in cautions(plant, "lift", NO_LABEL, plant.first_day)}

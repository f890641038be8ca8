"""--key: the same call writes once."""

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]

pytestmark = pytest.mark.usefixtures("porch")

LOOK = ("look", "S03", "axils", "--seconds", "40", "--removed", "2", "--key", "morning")


def test_the_same_key_and_content_writes_once_and_answers_the_first_ids(ask: Ask) -> None:
    first = ask(*LOOK)
    again = ask(*LOOK)
    assert first["already_known"] is False
    assert again["already_known"] is True
    for ids in ("look_ids", "tally_ids", "found"):
        assert again[ids] == first[ids]
    assert again["plant"] == first["plant"]
    assert len(ask("plant", "S03")["looks"]) == 1


@pytest.mark.parametrize(
    "other",
    [
        ("look", "S03", "axils", "--seconds", "41", "--removed", "2"),
        ("look", "S03", "axils", "--seconds", "40", "--removed", "2", "--at", "2026-05-04T08:00"),
        ("look", "S03", "axils", "--seconds", "40", "--removed", "2", "--who", "Ada"),
        ("look", "G02", "axils", "--seconds", "40", "--removed", "2"),
        ("gone", "S03", "died"),
    ],
)
def test_a_key_used_for_something_else_is_refused(
    ask: Ask, refused: Ask, other: tuple[str, ...]
) -> None:
    ask(*LOOK)
    error = refused(2, *other, "--key", "morning")
    assert error["code"] == "key-reused"
    assert error["places"][0]["argument"] == "--key"
    assert len(ask("plant", "S03")["looks"]) == 1
    assert ask("plant", "G02")["looks"] == []


def test_a_call_that_failed_leaves_its_key_free(ask: Ask, refused: Ask) -> None:
    refused(2, "look", "S03", "axlis", "--seconds", "4", "--key", "k")
    assert ask("look", "S03", "axils", "--seconds", "4", "--key", "k")["already_known"] is False


def test_every_writing_command_can_be_repeated(ask: Ask) -> None:
    kept = ask("look", "S03", "axils", "--seconds", "9", "--doubtful", "1")
    calls = [
        ("place", "sill"),
        ("add", "G05", "--name", "Halyard", "--place", "sill"),
        ("move", "G05", "porch shelf"),
        ("weather", "sill", "2026-05-01", "--min", "9", "--max", "20"),
        ("settle", kept["tally_ids"][0], "alive"),
        ("withdraw", kept["look_ids"][0]),
        ("release", "G05", "--early", "mistaken"),
        ("gone", "G05", "given-away"),
    ]
    for number, words in enumerate(calls):
        first = ask(*words, "--key", number)
        again = ask(*words, "--key", number)
        assert (first.pop("already_known"), again.pop("already_known")) == (False, True)
        assert again == first


def test_a_person_is_told_that_it_was_known(call: Ask) -> None:
    call(*LOOK)
    assert call(*LOOK).out.startswith("Known already; nothing was written.\n")


YOUNG = ("look", "S03", "axils", "--removed", "3", "--stage", "young", "--key", "morning")


def test_another_stage_under_the_key_joins_its_look(ask: Ask) -> None:
    first = ask(*LOOK, "--stage", "adult")
    second = ask(*YOUNG)
    assert second["look_ids"] == first["look_ids"]
    assert (second["found"], second["already_known"]) == (3, False)
    third = ask("look", "s03", "Axils", "--seconds", "40", "--doubtful", "1", "--key", "morning")
    assert third["look_ids"] == first["look_ids"]
    (look,) = ask("plant", "S03")["looks"]
    assert (look["seconds"], look["removed"], look["doubtful"]) == (40, 5, 1)
    assert [tally["stage"] for tally in look["tallies"]] == ["adult", "young", None]
    # and each of the calls is known
    for words, answered in ((YOUNG, second), ((*LOOK, "--stage", "adult"), first)):
        again = ask(*words)
        assert again["already_known"] is True
        assert again["tally_ids"] == answered["tally_ids"]
    assert len(ask("plant", "S03")["looks"][0]["tallies"]) == 3


@pytest.mark.parametrize(
    "other",
    [
        ("look", "S03", "axils", "--removed", "2", "--stage", "young"),
        ("look", "S03", "axils", "--seconds", "41", "--removed", "1", "--stage", "eggs"),
        ("look", "S03", "medium", "--removed", "1", "--stage", "eggs"),
        ("look", "G02", "axils", "--removed", "1", "--stage", "eggs"),
        ("look", "S03", "axils", "--removed", "1", "--stage", "eggs", "--who", "Ada"),
        ("look", "S03", "axils", "--removed", "1", "--stage", "eggs", "--on", "2026-05-03"),
        ("look", "S03", "axils", "--removed", "1", "--stage", "eggs", "--note", "more"),
        ("look", "S03", "axils", "--seconds", "40"),
    ],
)
def test_what_is_no_further_stage_of_the_look_is_refused(
    ask: Ask, refused: Ask, other: tuple[str, ...]
) -> None:
    ask(*LOOK, "--stage", "adult")
    ask(*YOUNG)
    assert refused(2, *other, "--key", "morning")["code"] == "key-reused"
    assert len(ask("plant", "S03")["looks"][0]["tallies"]) == 2


def test_nothing_joins_a_look_that_was_withdrawn(ask: Ask, refused: Ask) -> None:
    first = ask(*LOOK, "--stage", "adult")
    ask("withdraw", first["look_ids"][0])
    assert refused(3, *YOUNG)["code"] == "look-of-key-withdrawn"


def test_a_first_call_under_a_key_needs_its_seconds(refused: Ask) -> None:
    assert refused(2, *YOUNG)["code"] == "look-needs-seconds"

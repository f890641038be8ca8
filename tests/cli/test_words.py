"""Every sentence of the commands is used, and none is missing."""

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

import rounds
from rounds import words
from rounds.cli.main import GROUPS, command_of
from rounds.errors import BadInput, Place
from rounds.tui.forms.sums import SUMS

HOUSE = Path(rounds.__file__).parent
ERRORS = tomllib.loads((HOUSE / "words" / "en" / "errors.toml").read_text(encoding="utf-8"))
CLI = tomllib.loads((HOUSE / "words" / "en" / "cli.toml").read_text(encoding="utf-8"))


def commands() -> Iterator[click.Command]:
    """Every command, and those below a group of them."""
    for name in (name for modules in GROUPS.values() for name in modules):
        command = command_of(name)
        yield command
        if isinstance(command, click.Group):
            yield from command.commands.values()


COMMANDS = list(commands())

COMPUTED = re.compile(
    r"unknown-(plant|place|spot|zone|form|pest|value|course)(-none)?|in-file(-line)?"
)
"""Codes put together from what is not known, or asked for by their whole path."""


def test_every_failure_has_two_sentences_and_is_raised_somewhere() -> None:
    source = "\n".join(file.read_text(encoding="utf-8") for file in sorted(HOUSE.rglob("*.py")))
    for code in ERRORS:
        said = words.section(f"errors.{code}")
        assert set(said) == {"message", "what_to_do"}, code
        for sentence in said.values():
            assert sentence[0].isupper() or sentence[0] in "`'{-", code
            assert sentence.endswith((".", "`.", "}")), code
        assert f'"{code}"' in source or COMPUTED.fullmatch(code), code


@pytest.mark.parametrize("what", ["plant", "place", "zone", "form", "pest"])
def test_a_name_that_is_not_there_has_its_sentence(what: str) -> None:
    fault = BadInput(f"unknown-{what}", given="X", nearest="Y", places=[Place(argument="CODE")])
    assert "'X'" in fault.message
    assert "Y" in fault.message
    assert fault.what_to_do


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: str(command.name))
def test_every_command_and_every_option_says_what_it_does(command: object) -> None:
    assert command.help.endswith(".")  # type: ignore[attr-defined]
    helps = [
        getattr(param, "help", None)
        for param in command.params  # type: ignore[attr-defined]
        if param.param_type_name == "option"
    ]
    assert helps
    assert all(text and text.endswith(".") for text in helps)


def test_no_word_of_the_help_is_left_over() -> None:
    used = {param.help for command in COMMANDS for param in command.params
            if param.param_type_name == "option"}  # fmt: skip
    of_group = {
        words.say(f"cli.options.{name}") for name in ("version", "help", "db", "who", "keys")
    }
    sums = {part: words.section(f"sums.{part}") for part in ("options", "about")}
    # the forms of the sums ask in the words of their options, and for what is no option
    of_forms = {
        sums["options"][asked.about or asked.code] for form in SUMS.values() for asked in form.asked
    }
    options = {*words.section("cli.options").values(), *sums["options"].values()}
    assert options == used | of_group | of_forms
    assert {*CLI["about"], *sums["about"]} == {command.name for command in COMMANDS}
    assert set(CLI["groups"]) == set(GROUPS)

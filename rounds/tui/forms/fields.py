"""What a form is made of: its fields, what may be typed into them, and what writes it."""

import difflib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rounds import words

if TYPE_CHECKING:
    # slow to load, and few forms have any
    from rounds.service.courses.cautions import Mind

Values = Mapping[str, str]
"""What every field of a form holds, by the field's code: text as typed, or a choice's code."""

EMPTIES = "-"
"""Typed alone, it empties a field that may be empty."""

LIKE_ENOUGH = 0.5
"""How alike a choice must be, 0 to 1, to be named as the nearest."""


class FieldFault(Exception):
    """What a field holds cannot be used. None: the field at hand, or none in particular."""

    def __init__(self, sentence: str, field: str | None = None) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several answers: what is kept of it, and the word for it."""

    code: str
    name: str


@dataclass(frozen=True, slots=True)
class Field:
    """One line of a form. `value` is what it holds at first.

    `check` answers what is kept of a typed text, and raises FieldFault or BadInput where it is
    none; with choices it reads what is no choice, and without it only choices are taken.
    """

    code: str
    label: str
    value: str = ""
    choices: tuple[Choice, ...] = ()
    hint: str = ""
    check: Callable[[str], str] | None = None
    may_be_empty: bool = True

    def shown(self, value: str) -> str:
        """A value as a person reads it."""
        return next((choice.name for choice in self.choices if choice.code == value), value)

    def leaves(self, value: str) -> bool:
        """Whether an empty line leaves the form: there is nothing to keep, and there has to be."""
        return not (value or self.may_be_empty)

    def offered(self, typed: str) -> list[tuple[int, Choice]]:
        """The choices that what was typed so far may still become, with their numbers; else all."""
        folded = typed.strip().casefold()
        numbered = list(enumerate(self.choices, 1))
        return [
            (number, choice)
            for number, choice in numbered
            if str(number).startswith(folded) or _begins(choice, folded, any_word=True)
        ] or numbered


@dataclass(frozen=True, slots=True)
class Header:
    """The plant a form is about."""

    code: str
    name: str
    where: str
    standing: str
    standing_text: str


@dataclass(frozen=True, slots=True)
class Again:
    """What is asked after writing, and the form that follows a yes."""

    question: str
    form: Callable[[Values], "Form"]


@dataclass(frozen=True, slots=True)
class Form:
    """Fields, and what becomes of them.

    `sentence` says what will be written, and `write` writes it and says what was done; both may
    raise FieldFault or RoundsError. Without a sentence nothing is written: what `write` says is
    the answer, and no yes is asked for. `cautions` stand under the lines all the while, in
    sight with the question at the latest. `does` is the code of what a yes to it does.
    """

    title: str
    plant: Header | None
    fields: tuple[Field, ...]
    write: Callable[[Values], str]
    sentence: Callable[[Values], str] | None
    day: str = ""
    lead: str = ""
    cautions: "tuple[Mind, ...]" = ()
    does: str = "write"
    again: Again | None = None


def take(of: Field, given: str) -> str:
    """What a field keeps of a typed line. FieldFault or BadInput where it cannot be used."""
    if given == EMPTIES and of.may_be_empty:
        return ""
    if of.choices:
        chosen = _chosen(of.choices, given)
        if chosen is not None:
            return chosen.code
        if of.check is None or len(_beginning(of.choices, given)) > 1:
            raise FieldFault(_why_not(of.choices, given), of.code)
    return of.check(given) if of.check else given


def _chosen(choices: tuple[Choice, ...], given: str) -> Choice | None:
    """The choice of that name, code or number, or the only one that begins so."""
    folded = given.casefold()
    for choice in choices:
        if folded in (choice.name.casefold(), choice.code.casefold()):
            return choice
    if given.isascii() and given.isdigit() and len(given) < 7 and 1 <= int(given) <= len(choices):
        return choices[int(given) - 1]
    begun = _beginning(choices, given)
    return begun[0] if len(begun) == 1 else None


def _beginning(choices: tuple[Choice, ...], given: str) -> list[Choice]:
    """The choices that begin so; where there is none, those with a later word that begins so."""
    folded = given.casefold()
    return [choice for choice in choices if _begins(choice, folded)] or [
        choice for choice in choices if _begins(choice, folded, any_word=True)
    ]


def _begins(choice: Choice, folded: str, *, any_word: bool = False) -> bool:
    name = choice.name.casefold()
    return name.startswith(folded) or (any_word and f" {folded}" in name)


def _why_not(choices: tuple[Choice, ...], given: str) -> str:
    begun = [choice.name for choice in _beginning(choices, given)]
    if begun:
        both = {"first": begun[0], "second": begun[1]}
        return words.say("desk_forms.faults.several", given=given, **both)
    names = {choice.name.casefold(): choice.name for choice in choices}
    near = difflib.get_close_matches(given.casefold(), list(names), n=1, cutoff=LIKE_ENOUGH)
    if not near:
        return words.say("desk_forms.faults.none", given=given)
    return words.say("desk_forms.faults.none-of", given=given, nearest=names[near[0]])

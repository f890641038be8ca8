"""The values the sums run on, in words: what each is called, what it moves, how it is written."""

from collections.abc import Mapping
from functools import cache

from rounds import words
from rounds.words.pests import pest_name

DIGITS = 6
SMALL = 8
"""Decimals of a value too small to be written in a few figures."""


@cache
def name_of_value(code: str) -> str:
    """What a value is called: egg: daily survival. KeyError for a code without a name."""
    shape = _fitting(words.section("parameters.name"), code)
    return words.section("parameters.name")[shape].format(it=_it(shape, code))


def group_of_value(code: str) -> str:
    """What the values of a code's file are about."""
    first, second, *_ = code.split(".")
    if group_is_pest(code):
        return words.say("parameters.group.pest", pest=pest_name(second))
    return words.say(f"parameters.group.{first}")


def group_is_pest(code: str) -> bool:
    """Whether a value is one of the file of a pest, which the second part of its code names."""
    first, second, *_ = code.split(".")
    return first == "pests" and second != "followed"


@cache
def moves_of_value(code: str) -> str:
    """What moves where the value does."""
    said = words.section("parameters.moves")
    parts = code.split(".")
    for length in range(len(parts), 0, -1):
        fitting = [shape for shape in said if _fits(shape, ".".join(parts[:length]))]
        if fitting:
            return said[fitting[0]]
    raise KeyError(code)


def unit_of_value(unit: str) -> str:
    """A unit in words."""
    return words.section("parameters.unit")[unit]


def written_value(value: float | int | str | tuple[str, ...], digits: int = DIGITS) -> str:
    """A value as it is read and typed, in so many figures: 0.98, 30, or words."""
    if isinstance(value, tuple):
        return ", ".join(map(_word, value))
    if isinstance(value, str):
        return _word(value)
    text = f"{value:.{digits}g}"
    return f"{value:.{SMALL}f}".rstrip("0") if "e-" in text else text


def _fitting(said: Mapping[str, str], code: str) -> str:
    shape = next((shape for shape in said if _fits(shape, code)), None)
    if shape is None:
        raise KeyError(code)
    return shape


def _fits(shape: str, code: str) -> bool:
    wanted, given = shape.split("."), code.split(".")
    return len(wanted) == len(given) and all(
        w in ("*", g) for w, g in zip(wanted, given, strict=True)
    )


def _it(shape: str, code: str) -> str:
    """What the last free part of a code is called."""
    free = [g for w, g in zip(shape.split("."), code.split("."), strict=True) if w == "*"]
    return _word(free[-1]) if free else ""


def _word(part: str) -> str:
    """A zone, a growth form, a stage or a setting by its word; else its code without marks."""
    own = words.section("parameters.it")
    if part in own:
        return own[part]
    if part in words.tables("zones"):
        return words.section(f"zones.{part}")["name"]
    forms = words.section("desk_forms.growth-forms")
    return forms.get(part, part.replace("_", " ").replace("-", " "))

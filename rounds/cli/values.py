"""What options and arguments take: text, numbers and counts, refused with a sentence of ours."""

import math
import unicodedata
from collections.abc import Iterable
from typing import Any

import click

from rounds.errors import BadInput
from rounds.near import nearest

NO_TEXT = {"Cc", "Cs"}
"""Unicode categories that no name holds: control characters and surrogates."""


def argument_name(param: click.Parameter | None) -> str:
    """An option or argument as it is typed: --seconds, CODE."""
    if param is None:
        return ""
    if isinstance(param, click.Option):
        return max(param.opts, key=len)
    return param.metavar or (param.name or "").upper()


class Text(click.ParamType):  # type: ignore[type-arg]  # generic in newer versions only
    """Text without control characters; `lines` allows breaks and tabs, as in a note."""

    name = "text"

    def __init__(self, *, lines: bool = False) -> None:
        self.allowed = "\n\r\t" if lines else ""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The text itself. BadInput for what is none."""
        text = str(value)
        if not is_text(text, self.allowed):
            raise _bad("not-text", param)
        return text


class Number(click.ParamType):  # type: ignore[type-arg]  # generic in newer versions only
    """A finite number."""

    name = "number"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """The number. BadInput for anything else, infinity and NaN included."""
        try:
            number = float(value)
        except ValueError:
            raise _bad("not-a-number", param, given=value) from None
        if not math.isfinite(number):
            raise _bad("not-a-number", param, given=value)
        return number


class Count(click.ParamType):  # type: ignore[type-arg]  # generic in newer versions only
    """A whole number."""

    name = "count"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """The number. BadInput for anything else."""
        try:
            return int(value)
        except ValueError:
            raise _bad("not-a-count", param, given=value) from None


class OneOf(click.ParamType):  # type: ignore[type-arg]  # generic in newer versions only
    """One of some names."""

    name = "name"

    def __init__(self, known: Iterable[str]) -> None:
        self.known = tuple(known)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The name. BadInput, with the nearest, for any other."""
        text = str(value)
        if text not in self.known:
            raise _bad("none-of", param, given=text, nearest=nearest(text, self.known))
        return text


def is_text(text: str, allowed: str = "") -> bool:
    """Whether a text holds no control character or surrogate but those allowed."""
    return not any(unicodedata.category(c) in NO_TEXT and c not in allowed for c in text)


def _bad(code: str, param: click.Parameter | None, **values: Any) -> BadInput:
    return BadInput(code, argument=argument_name(param), **values)


TEXT = Text()
LINES = Text(lines=True)
NUMBER = Number()
COUNT = Count()

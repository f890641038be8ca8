"""Every sentence a user reads, by code: `say("errors.unknown-plant.message", plant="G02")`.

The first part of a code is the data file, the rest the path in it. A sentence stands once: where
another code is to say the same, its text is the code of that sentence behind `@`.
"""

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

LANGUAGE = "en"
ELSEWHERE = "@"
"""Before a code that stands in the place of a sentence."""
_FOLDER = Path(__file__).parent / LANGUAGE


def say(code: str, /, **values: object) -> str:
    """The sentence of a code, filled. KeyError for a code that is not there."""
    found = _at(code)
    if not isinstance(found, str):
        raise KeyError(code)
    return found.format(**values) if values else found


def title(page: str, /) -> str:
    """The title of a page whose sentences stand in a file of its own name."""
    return str(_said(_at(page)["title"]))


@cache
def section(code: str, /) -> Mapping[str, str]:
    """All sentences directly under a code, in the order of the file."""
    under = {key: _said(text) for key, text in _at(code).items() if isinstance(text, str)}
    return MappingProxyType(under)


@cache
def tables(code: str, /) -> tuple[str, ...]:
    """The names of the tables directly under a code, in the order of the file."""
    return tuple(key for key, found in _at(code).items() if isinstance(found, dict))


def _at(code: str) -> Any:
    found: Any = _file(code.partition(".")[0])
    for part in code.split(".")[1:]:
        found = found[part]
    return _said(found)


def _said(found: Any) -> Any:
    """What is found, or what the code says that stands there in its place."""
    is_elsewhere = isinstance(found, str) and found.startswith(ELSEWHERE)
    return _at(found.removeprefix(ELSEWHERE)) if is_elsewhere else found


@cache
def _file(name: str) -> dict[str, Any]:
    try:
        return tomllib.loads((_FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise KeyError(name) from None

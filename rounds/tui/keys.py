"""The keys: roles in code, what they lie on in data files, and the set that is in use."""

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path

from textual import events
from textual.binding import Binding, BindingType
from textual.keys import _character_to_key

FOLDER = Path(__file__).parent / "keysets"
FIGURES = tuple("0123456789")
SETS = ("left", "right", "pad")
"""The sets that come with the program; screens bind the first, others are laid over it."""

BASE = SETS[0]

POINT, COMMA = ".", ","

BESIDE_SETS = ("ctrl+q", "up", "down", "pageup", "pagedown")
"""Keys a page names that belong to no set."""

_in_use: dict[str, str] = {}
_bound: dict[str, set[str]] = {}


@cache
def key_set(name: str = BASE) -> dict[str, str]:
    """The key of every role in a set."""
    return tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def use(keys: Mapping[str, str]) -> dict[str, str]:
    """Use these keys from now on; the key map, by binding id, that moves the bindings to them.

    Bindings that keep their usual key are left out.
    """
    global _in_use
    _in_use = dict(keys)
    usual = key_set()
    # Textual reads the map at every press, so that it is kept short
    return {
        f"{screen}.{role}": both_cases(_in_use[role])
        for screen, roles in _bound.items()
        for role in roles
        if _in_use[role] != usual[role]
    }


def keys_in_use() -> dict[str, str]:
    """The key of every role as it lies now."""
    return _in_use or key_set()


def key_of(role: str) -> str:
    """The key of a role; a figure is its own."""
    return role if role in FIGURES else keys_in_use()[role]


def pressed(event: events.Key) -> str:
    """A key as sets name it: a sign by itself, a letter small, others by their name."""
    character = event.character
    if character and character.isprintable() and not character.isspace():
        return POINT if character == COMMA else character.lower()
    return event.key.lower()


def can_be_clicked(key: str) -> bool:
    """Whether what a page prints as a key is one that can be pressed, and not 1-9 or an example."""
    return key in FIGURES or key in BESIDE_SETS or key in keys_in_use().values()


def key_event(key: str) -> events.Key:
    """The press of a key, by the name it has in a set."""
    if len(key) == 1:
        return events.Key(_character_to_key(key), key)
    return events.Key(key, " " if key == "space" else None)


def bindings(screen: str, actions: Iterable[tuple[str, str]]) -> list[BindingType]:
    """Bindings of (role, action) pairs: both cases, as Caps Lock may be on, and an id each."""
    pairs = list(actions)
    _bound.setdefault(screen, set()).update(role for role, _ in pairs if role not in FIGURES)
    keys = key_set()
    return [
        Binding(
            role if role in FIGURES else both_cases(keys[role]),
            action,
            id=f"{screen}.{role}",
            show=False,
        )
        for role, action in pairs
    ]


def bound_together() -> dict[str, frozenset[str]]:
    """The roles that can be pressed on one and the same screen, by screen."""
    return {screen: frozenset(roles) for screen, roles in _bound.items()}


def both_cases(key: str) -> str:
    """A key as it is bound: a letter in both cases, a point also as the comma of some pads."""
    if key == POINT:
        return f"{POINT},comma"
    return f"{key},{key.upper()}" if len(key) == 1 and key.isalpha() else key

"""The keys: roles in code, the letters they lie on in data files."""

import tomllib
from collections.abc import Iterable
from functools import cache
from importlib import resources

from textual.binding import Binding, BindingType

FIGURES = tuple("0123456789")


@cache
def key_set(name: str = "left") -> dict[str, str]:
    """The key of every role in a set."""
    source = resources.files("rounds.tui").joinpath("keysets", f"{name}.toml")
    return tomllib.loads(source.read_text(encoding="utf-8"))


def key_of(role: str) -> str:
    """The key of a role; a figure is its own."""
    return role if role in FIGURES else key_set()[role]


def bindings(screen: str, actions: Iterable[tuple[str, str]]) -> list[BindingType]:
    """Bindings of (role, action) pairs: both cases, as Caps Lock may be on, and an id each."""
    return [
        Binding(_both_cases(key_of(role)), action, id=f"{screen}.{role}", show=False)
        for role, action in actions
    ]


def _both_cases(key: str) -> str:
    return f"{key},{key.upper()}" if len(key) == 1 and key.isalpha() else key

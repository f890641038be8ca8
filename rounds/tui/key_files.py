"""A grower's own keys: a file that moves roles to other keys, checked before any is pressed."""

import importlib
import pkgutil
import tomllib
from collections.abc import Iterator, Mapping
from itertools import combinations
from pathlib import Path
from typing import Any

from rounds.errors import BadInput, Place
from rounds.near import nearest
from rounds.tui import screens
from rounds.tui.keys import BASE, FIGURES, SETS, bound_together, key_set

BASE_ENTRY = "base"
"""The one entry of a file that is no role: the set that fills what the file does not name."""

FIXED = "begin"
"""Lines that are typed are taken by enter, so this role stays on it."""

NAMED = ("space",)


def keys_named(given: str, own: Path) -> dict[str, str]:
    """The keys of a set by its name, of the grower's own file (`own`), or of a file by its path.

    Raises:
        BadInput: no such file, no keys in it, or keys that cannot work.
    """
    if given == BASE:
        return key_set()
    # the key map covers all screens at once, those that open later too
    bind_all()
    if given in SETS:
        return key_set(given)
    return read_keys(own if given == "own" else Path(given).expanduser())


def read_keys(path: Path) -> dict[str, str]:
    """The keys of a file, filled up from the set it is based on.

    Raises:
        BadInput: the file cannot be read, or names what cannot work.
    """
    given = _read(path)
    base = given.pop(BASE_ENTRY, BASE)
    if base not in SETS:
        raise _fault(path, "keys-base", BASE_ENTRY, given=base, known=", ".join(SETS))
    keys = dict(key_set(base))
    for role, key in given.items():
        _check(path, role, key, keys)
    keys |= given
    for screen, first, second in _clashes(keys):
        raise _fault(
            path, "keys-clash", second, key=keys[first], first=first, second=second, screen=screen
        )
    return keys


def bind_all() -> None:
    """Import every screen, so that `keys` knows which roles each binds."""
    for found in pkgutil.iter_modules(screens.__path__):
        importlib.import_module(f"{screens.__name__}.{found.name}")


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as trouble:
        reason = (trouble.strerror or str(trouble)).lower()
        raise _fault(path, "keys-file", None, reason=reason) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as trouble:
        raise _fault(path, "keys-toml", None, reason=str(trouble)) from None


def _check(path: Path, role: str, key: object, known: Mapping[str, str]) -> None:
    """BadInput for a role that is unknown or fixed, or a key that cannot be pressed."""
    if role not in known:
        raise _fault(path, "keys-role", role, given=role, nearest=nearest(role, known))
    if role == FIXED and key != known[FIXED]:
        raise _fault(path, "keys-fixed", role, role=role, key=known[FIXED])
    if role != FIXED and not (isinstance(key, str) and _can_be_pressed(key)):
        raise _fault(path, "keys-key", role, role=role, given=key)


def _can_be_pressed(key: str) -> bool:
    """Whether a key is a small letter, a sign or a named key, and no figure."""
    if key in NAMED:
        return True
    # a comma parts the keys of one binding
    is_sign = len(key) == 1 and key.isprintable() and not key.isspace() and key != ","
    return is_sign and key not in FIGURES and key == key.lower()


def _clashes(keys: Mapping[str, str]) -> Iterator[tuple[str, str, str]]:
    """Screens on which two roles lie on one key, with both roles."""
    for screen, roles in sorted(bound_together().items()):
        for first, second in combinations(sorted(roles & set(keys)), 2):
            if keys[first] == keys[second]:
                yield screen, first, second


def _fault(path: Path, code: str, column: str | None, **values: Any) -> BadInput:
    return BadInput(code, file=path, places=[Place(file=str(path), column=column)], **values)

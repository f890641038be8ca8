"""What the library and the program do again at each step or start, done once by the tests."""

import gc
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import pytest
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet
from textual.screen import Screen

from tests.tui.sparing_styles import apply_once

TO_PAINT = "_rounds_to_paint"
PAINT = Screen._compositor_refresh
"""as the library does it"""
_parse = Stylesheet._parse_rules


def spare(patch: pytest.MonkeyPatch) -> None:
    """Do so until the patch is undone."""
    patch.setattr(Screen, "_compositor_refresh", _hold_back)
    patch.setattr(Stylesheet, "_parse_rules", _parse_once)
    patch.setattr(Stylesheet, "apply", apply_once)
    # the program exempts all there is from the collection of garbage once it has started: over
    # many starts that would keep every app there was
    gc.collect()
    gc.freeze()
    kept = SimpleNamespace(collect=lambda: None, freeze=lambda: None, enable=lambda: None)
    patch.setattr("rounds.tui.app.gc", kept)


def paint(screen: Screen[Any]) -> None:
    """Paint what was held back: a test looks at it."""
    if getattr(screen, TO_PAINT, False):
        setattr(screen, TO_PAINT, False)
        PAINT(screen)


def _hold_back(screen: Screen[Any]) -> None:
    """To paint takes longer than all else that a key leads to, and few steps are looked at."""
    if screen is screen.app.screen:
        setattr(screen, TO_PAINT, True)
        screen._dirty_widgets.clear()
    else:
        PAINT(screen)


def _parse_once(sheet: Stylesheet, css: str, read_from: Any, **told: Any) -> tuple[RuleSet, ...]:
    """The library parses every stylesheet anew at each start, and for each new screen."""
    return _parsed(_Same(sheet), css, read_from, tuple(sorted(told.items())))


class _Same:
    """A stylesheet, equal to any other with the same values of its variables."""

    def __init__(self, sheet: Stylesheet) -> None:
        self.sheet = sheet
        self.values = frozenset(sheet._variables.items())

    def __hash__(self) -> int:
        return hash(self.values)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.values == other.values


@lru_cache(maxsize=1024)
def _parsed(
    same: _Same, css: str, read_from: Any, told: tuple[tuple[str, Any], ...]
) -> tuple[RuleSet, ...]:
    return tuple(_parse(same.sheet, css, read_from, **dict(told)))

"""What the stylesheet says of a part, worked out once for all parts that stand as it does.

The library holds every rule against every part anew, at each start and each change of a class or
a size, which takes a third of a screen's time. What comes of it rests on the rules and on what
selectors can ask of the part and of those it lies in: that is the key it is kept by here.
Rules that ask for a place among others (`first-child`) are left to the library, as it does itself.
"""

from dataclasses import dataclass
from typing import Any

from textual.css.stylesheet import Stylesheet
from textual.dom import DOMNode

APPLY = Stylesheet.apply
"""as the library does it"""
FLAGS = ("_has_hover_style", "_has_focus_within", "_has_order_style", "_has_odd_or_even")
"""what it notes at a part besides"""


@dataclass(frozen=True, slots=True)
class _Said:
    """What came of the rules at a part."""

    rules: dict[str, Any]
    """as the stylesheet says them"""
    worn: dict[str, Any] | None
    """as the part then has them; None where it goes there by and by"""
    flags: tuple[bool, ...]


Kept = dict[tuple[Any, ...], _Said]

_kept: dict[tuple[int, ...], tuple[list[Any], Kept]] = {}
"""by the rules that are in force, which are held so that no other ones get their numbers"""


def apply_once(
    sheet: Stylesheet,
    node: DOMNode,
    *,
    animate: bool = False,
    cache: dict[Any, Any] | None = None,
) -> None:
    """Apply a stylesheet to a part, as the library does."""
    kept, key = _of_rules(sheet), _standing(node)
    said = kept.get(key)
    if said is None:
        own: dict[Any, Any] = {}
        APPLY(sheet, node, animate=animate, cache=own)
        for rules in own.values():
            worn = None if "transitions" in rules else dict(node.styles.base._rules)
            flags = tuple(getattr(node, flag) for flag in FLAGS)
            kept[key] = _Said(rules, worn, flags)
        return
    for flag, value in zip(FLAGS, said.flags, strict=True):
        setattr(node, flag, value)
    if _wear(sheet, node, said, animate):
        sheet._process_component_classes(node)


def _wear(sheet: Stylesheet, node: DOMNode, said: _Said, animate: bool) -> bool:
    """Have a part wear what was said; False where it did already, with all that it has inside."""
    base = node.styles.base
    before, node._rounds_wears = getattr(node, "_rounds_wears", None), said  # type: ignore[attr-defined]
    if said.worn is not None and base._rules == said.worn:
        if not animate:
            node.notify_style_update()
        return before is not said
    if type(node) is DOMNode and said.worn is not None and not base._rules:
        # not a widget, but a style that a widget looks up: nothing follows from a change
        base._rules.update(said.worn)  # type: ignore[typeddict-item]
        base._updates += 1
        return True
    sheet.replace_rules(node, said.rules, animate=animate)  # type: ignore[arg-type]
    return True


def _of_rules(sheet: Stylesheet) -> Kept:
    """What is kept under the rules of a sheet, which change when one is added."""
    names = sheet.rules_map
    mine: Any = getattr(sheet, "_rounds_kept", None)
    if mine is None or mine[0] is not names:
        rules = sheet.rules
        kept = _kept.setdefault(tuple(map(id, rules)), (list(rules), {}))[1]
        mine = names, kept
        sheet._rounds_kept = mine  # type: ignore[attr-defined]
    return mine[1]  # type: ignore[no-any-return]


def _standing(node: DOMNode) -> tuple[Any, ...]:
    """All that a selector can ask of a part and of those it lies in, and of the app."""
    standing: list[Any] = []
    part: Any = node
    while isinstance(part, DOMNode):
        standing += (
            part._css_type_name, type(part), part._id, frozenset(part._classes),
            part._pseudo_classes_cache_key, getattr(part, "can_focus", None),
        )  # fmt: skip
        last, part = part, part._parent
    app: Any = node.app
    standing += (last is app, app.current_theme.dark, app.native_ansi_color, app.no_color,
                 app.app_focus, app.is_inline)  # fmt: skip
    return tuple(standing)

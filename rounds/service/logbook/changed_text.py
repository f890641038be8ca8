"""What a page says where its figures rest on values that the grower changed."""

from collections.abc import Iterable, Sequence

from rounds import words
from rounds.core.changes import ChangedValue
from rounds.words.parameters import written_value

OF_FIGURES = ("forms", "infestation", "inspection", "places", "risk.share_reached")
"""First parts of the codes of values that the chance clean of every plant rests on."""


def changed_text(changed: Sequence[ChangedValue]) -> str:
    """That figures rest on changed values: with a changed value: ...; empty where none is."""
    if not changed:
        return ""
    first = changed[0]
    return words.say(
        f"parameters.said.with-{'one' if len(changed) == 1 else 'some'}",
        count=len(changed),
        name=first.name,
        value=written_value(first.value),
        default=written_value(first.default),
    )


def bearing_on(
    changed: Iterable[ChangedValue], pests: Iterable[str], rules: str
) -> tuple[ChangedValue, ...]:
    """Those that the figures and dates of a plant rest on.

    Args:
        changed: all of the day.
        pests: those the plant is followed for.
        rules: the setting of the criteria that was chosen.
    """
    followed = tuple(pests)
    return tuple(value for value in changed if _bears_on(value.code, followed, rules))


def _bears_on(code: str, pests: tuple[str, ...], rules: str) -> bool:
    first = (*OF_FIGURES, *(f"pests.{pest}" for pest in pests), f"quarantine.settings.{rules}")
    return any(code.startswith(f"{part}.") for part in first)

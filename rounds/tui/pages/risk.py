"""The risk of a plant in the list of all: what it is, what it was, and bars of what makes it up."""

from rounds import words
from rounds.core.plan.score import PlantRisk
from rounds.service.plant.before import Before
from rounds.service.plant.status_text import part_text
from rounds.tui.page import Page, Role
from rounds.tui.pages.parts import say
from rounds.words.forms import whole_number

BAR, BAR_COLUMNS = "\u2584", 24
"""The lower half of a cell, so that bars of two rows do not touch."""


def head_of(what: str) -> str:
    """What a column tells, over it."""
    heads = {"last-look": "look", "last-find": "find", "streak": "streak"}
    if what in heads:
        return say(f"plants.column-{heads[what]}")
    return words.say(f"origins.ranking.{'place' if what == 'place' else 'look'}")


def value_of(risk: PlantRisk | None) -> str:
    """The risk; two points until it is worked out."""
    return words.say("origins.ranking.working") if risk is None else whole_number(risk.value)


def word_of(risk: PlantRisk | None) -> str:
    """The word of a risk: first, today, or can wait."""
    if risk is None:
        return words.say("origins.ranking.working")
    codes = {"look first": "first", "today": "today", "can wait": "can-wait"}
    return words.say(f"origins.ranking.{codes[risk.word]}")


def was_text(before: Before | None, plant_id: int) -> tuple[str, Role]:
    """The risk at the end of the last round; two points until it is worked out."""
    if before is None or before.on is None:
        return "", "quiet"
    if not before.is_known(plant_id):
        return words.say("origins.ranking.working"), "quiet"
    was = before.changes[plant_id].was
    return (
        (words.say("origins.ranking.new"), "quiet") if was is None else (whole_number(was), "ink")
    )


def put_bars(page: Page, rows: int, risk: PlantRisk | None) -> int:
    """What the risk is made of on so many rows, each part with its word, its figure and a bar.

    Returns how many rows it takes.
    """
    if risk is None:
        page.put(0, 0, words.say("calculating.risk"), "quiet", until=page.width)
        return 1
    shown = [part for part in risk.parts if round(part.value)]
    value = whole_number(risk.value)
    code = "made-of" if shown else "made-small"
    page.put(0, 0, words.say(f"origins.ranking.{code}", value=value), "quiet", until=page.width)
    each = 3 if len(shown) * 3 <= rows else 2
    end, top = BAR_COLUMNS + 1, 1
    for part in shown[: rows // each + (rows % each > 1)]:
        figure = str(round(part.value))
        page.put(top, 0, part_text(part), until=end - len(figure) - 1)
        page.put_right(top, end, figure)
        page.put(top + 1, 0, BAR * max(1, round(BAR_COLUMNS * part.value / risk.value)))
        top += each
    return top


def parts_behind(risk: PlantRisk | None) -> list[tuple[str, str]]:
    """The same without bars, for the help of a page that has no room for them."""
    if risk is None:
        return []
    parts = [(part_text(part), str(value)) for part in risk.parts if (value := round(part.value))]
    total = words.say("origins.ranking.made-of", value=whole_number(risk.value))
    return [(total, ""), *parts]

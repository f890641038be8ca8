"""How the finds on a plant go, and when its eggs hatch, as its page in a shell says it."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from rounds import words
from rounds.core.parameters import AlarmRules
from rounds.service.calculate.alarm import run_length
from rounds.service.growth.eggs import brood_text
from rounds.service.growth.rising import growth_text
from rounds.service.plant.status import PlantStatus, is_alarmed


def growth_lines(status: PlantStatus, rules: AlarmRules) -> Iterator[str]:
    """Whether finds rise or fall, how seldom that is said for nothing, and when eggs hatch."""
    said = growth_text(status.growth, status.on)
    if said:
        yield said
    looks = false_alarm_looks(rules)
    if is_alarmed(status) and looks is not None:
        yield words.say("growth.by-chance", looks=f"{looks:,.0f}")
    eggs = brood_text(status.brood, status.on)
    if eggs:
        yield eggs


def false_alarm_looks(rules: AlarmRules) -> float | None:
    """Full looks between alarms where there are stragglers alone, on average; None: never.

    The chart alone, so that with the growth rate asked besides there are more.
    """
    return run_length(rules.mean, rules.reference, rules.limit)


def brood_fields(status: PlantStatus, on: date) -> dict[str, Any] | None:
    """The last eggs, where some are still to hatch."""
    brood = status.brood
    if brood is None:
        return None
    return {
        "pest": brood.pest,
        "laid_by": brood.laid_by,
        "first_on": brood.first,
        "look_hardest_on": brood.usual,
        "last_on": brood.last,
        "text": brood_text(brood, on) or None,
    }

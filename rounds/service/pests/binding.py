"""Which of the pests of a plant binds: the one that holds it longest, by what was seen alone.

No chance is read: which pest binds is told before anything is worked out.
"""

from collections.abc import Sequence
from datetime import date
from typing import Protocol, Self

from rounds.core.away import Stretch
from rounds.core.collection import Plant
from rounds.core.parameters import Biology, QuarantineRules
from rounds.core.quarantine.criteria import (
    CLEAN_LOOKS,
    DAYS_APART,
    DEGREE_DAYS,
    MEDIUM_AND_ROOTS,
    Criterion,
    QuarantineHistory,
    judge,
    root_looks_wanted,
    roots_count_from,
)
from rounds.core.quarantine.interval import usual_interval
from rounds.core.quarantine.streak import Streak
from rounds.service.logbook.temperatures import Temperatures


class Regarded(Protocol):
    """What is asked of a plant with regard to one of its pests (`PlantRecord`)."""

    on: date
    lived: Plant
    temperatures: Temperatures

    @property
    def pests(self) -> tuple[str, ...]:
        """Those it is followed for."""

    @property
    def streak(self) -> Streak:
        """Clean looks in a row."""

    @property
    def history_seen(self) -> QuarantineHistory | None:
        """What the criteria are judged by; None outside quarantine."""

    @property
    def rules(self) -> QuarantineRules:
        """The criteria."""

    @property
    def biology(self) -> Biology:
        """How the pest lives."""

    @property
    def away(self) -> Sequence[Stretch]:
        """Days on which nobody looks."""

    def regarding(self, pest: str) -> Self:
        """The same plant with regard to another pest."""


def binding_pest(record: Regarded) -> str:
    """The pest that binds; the first one where several do."""
    pests = record.pests
    return pests[0] if len(pests) == 1 else max(pests, key=lambda p: _held(record.regarding(p)))


def _held(record: Regarded) -> tuple[float, int]:
    """How long a pest holds its plant: days to wait, then how few clean looks there are in a row.

    Outside quarantine the latter alone.
    """
    return days_to_wait(record), -record.streak.looks


def days_to_wait(record: Regarded) -> float:
    """About how many days are left until all that is asked of its looks is met; 0 if it is.

    As looks and warmth went lately; 0 outside quarantine too.
    """
    history = record.history_seen
    if history is None:
        return 0.0
    judged = {criterion.code: criterion for criterion in judge(history, record.on, record.rules)}
    warmth = record.temperatures.rate(record.lived, record.on, record.biology.warmth)
    interval = usual_interval(history.days, record.on, record.away)
    waits = [
        _lacks(judged[DAYS_APART]),
        _lacks(judged[DEGREE_DAYS]) / warmth if warmth > 0 else 0.0,
        _lacks(judged[CLEAN_LOOKS]) * interval,
    ]
    if judged[MEDIUM_AND_ROOTS].met is not True:
        wanted = root_looks_wanted(history, record.on, record.rules)
        first = (roots_count_from(history, record.on, record.rules) - record.on).days
        waits.append(first + max(0, wanted - 1) * record.rules.roots_apart_days)
    return max(waits)


def _lacks(criterion: Criterion) -> float:
    """How much is missing of what is asked."""
    if criterion.met is True:
        return 0.0
    return max(0.0, (criterion.need or 0) - (criterion.have or 0))

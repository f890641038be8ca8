"""What the next days bring: who may rejoin, whose roots are due, whose watch ends."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from rounds.core.quarantine.criteria import CHANCE_CLEAN, CLEAN_LOOKS, DAYS_APART, DEGREE_DAYS
from rounds.service.standing import PlantRecord
from rounds.service.today import roots_due

DAYS = 14
"""How far ahead is told."""

Kind = str
"""`release`, `roots`, `watch`, or the code of a criterion that will be met."""

TOLD = (DAYS_APART, DEGREE_DAYS, CLEAN_LOOKS, CHANCE_CLEAN)
"""Criteria with a day of their own; the roots have one on which they can first be looked at."""


@dataclass(frozen=True, slots=True)
class Coming:
    """One thing that is expected on a day, of one plant."""

    on: date
    record: PlantRecord
    kind: Kind


def coming(records: Iterable[PlantRecord], on: date, days: int = DAYS) -> list[Coming]:
    """What is expected on the `days` days after `on`, the nearest first.

    A plant whose forecast is not worked out yet gives what is known without it. Releases suppose
    that looks go on as they have and stay clean.
    """
    until = on + timedelta(days=days)
    found = [
        Coming(day, record, kind)
        for record in records
        for kind, day in _days_of(record)
        if day is not None and on < day <= until
    ]
    return sorted(found, key=lambda c: (c.on, c.record.plant.code.casefold(), c.kind))


def _days_of(record: PlantRecord) -> list[tuple[Kind, date | None]]:
    """The days known of one plant."""
    days: list[tuple[Kind, date | None]] = [("roots", roots_due(record))]
    if record.forecast_is_quick and record.forecast is not None:
        days.append(("release", record.forecast.ready_on))
        days += [
            (criterion.code, criterion.expected_on)
            for criterion in record.forecast.criteria
            if criterion.code in TOLD and criterion.met is not True
        ]
    if record.standing == "watch":
        days.append(("watch", record.watch_until))
    return days

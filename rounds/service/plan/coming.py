"""What the next days bring: who may rejoin, whose roots are due, whose eggs hatch, who is away."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rounds.core.away import DAY, Stretch
from rounds.core.quarantine.brood import Brood, EggWarmth, last_brood
from rounds.core.quarantine.criteria import CHANCE_CLEAN, CLEAN_LOOKS, DAYS_APART, DEGREE_DAYS
from rounds.core.quarantine.forecast import Forecast
from rounds.service.plan.today import roots_due
from rounds.service.plant.record import PlantRecord

DAYS = 14
"""How far ahead is told."""

Kind = str
"""`release`, `roots`, `watch`, the code of a criterion that will be met, `hatch` where the last
eggs begin to hatch and `hatched` where all have, `away` and `back` of days on which nobody looks.
"""

TOLD = (DAYS_APART, DEGREE_DAYS, CLEAN_LOOKS, CHANCE_CLEAN)
"""Criteria with a day of their own; the roots have one on which they can first be looked at."""


@dataclass(frozen=True, slots=True)
class Coming:
    """One thing that is expected on a day, of one plant or of days away."""

    on: date
    record: PlantRecord | None
    """None where it is of days away"""
    kind: Kind
    waits: tuple[str, ...] = ()
    """of what will be met: the codes of the criteria that are not met by then"""
    brood: Brood | None = None
    away: Stretch | None = None


def coming(
    records: Iterable[PlantRecord], on: date, days: int = DAYS, away: Sequence[Stretch] = ()
) -> list[Coming]:
    """What is expected on the `days` days after `on`, the nearest first.

    A plant whose forecast is not worked out yet gives what is known without it. Releases suppose
    that looks go on as they have and stay clean.
    """
    until = on + timedelta(days=days)
    of_plants = (line for record in records for line in _of_plant(record))
    found = [line for line in (*of_plants, *_of_days_away(away)) if line and on < line.on <= until]
    return sorted(found, key=_in_order)


def _in_order(line: Coming) -> tuple[date, str, str]:
    code = line.record.plant.code.casefold() if line.record else ""
    return line.on, code, line.kind


def _of_plant(record: PlantRecord) -> list[Coming | None]:
    """What is known of one plant."""
    found = [_line(roots_due(record), record, "roots"), *_eggs(record)]
    if record.forecast_is_quick and record.forecast is not None:
        found.append(_line(record.forecast.ready_on, record, "release"))
        found += _criteria(record, record.forecast)
    if record.standing == "watch":
        found.append(_line(record.watch_until, record, "watch"))
    return found


def _criteria(record: PlantRecord, forecast: Forecast) -> list[Coming | None]:
    """What will be met of what is asked, each with what is not met by then."""
    by_code = {c.code: c.expected_on for c in forecast.criteria if c.met is not True}
    return [
        Coming(
            day, record, code, waits=tuple(c for c, d in by_code.items() if d is None or d > day)
        )
        for code, day in by_code.items()
        if code in TOLD and day is not None
    ]


def brood_of(record: PlantRecord) -> Brood | None:
    """The eggs laid up to the last find that may have laid; None without one, or where all hatched.

    What was left there may lay on: its later eggs are not told.
    """
    laid_by = record.known.laid_on
    if laid_by is None:
        return None
    biology = record.logbook.biology(record.pest)
    brood = last_brood(
        laid_by,
        EggWarmth(*biology.egg_degree_days),
        record.degree_days_between,
        record.temperatures.rate(record.lived, record.on, biology.warmth),
        record.on,
    )
    return brood if brood.last is None or brood.last > record.on else None


def _eggs(record: PlantRecord) -> list[Coming | None]:
    """Where the last eggs begin to hatch, and where all have."""
    brood = brood_of(record)
    if brood is None:
        return []
    days = (("hatch", brood.first), ("hatched", brood.last))
    return [Coming(day, record, kind, brood=brood) for kind, day in days if day is not None]


def _line(day: date | None, record: PlantRecord, kind: Kind) -> Coming | None:
    return None if day is None else Coming(day, record, kind)


def _of_days_away(away: Iterable[Stretch]) -> list[Coming]:
    """The first day away, and the first one back."""
    return [
        line
        for stretch in away
        for line in (
            Coming(stretch.first_day, None, "away", away=stretch),
            Coming(stretch.last_day + DAY, None, "back", away=stretch),
        )
    ]

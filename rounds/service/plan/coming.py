"""What the next days bring: who may rejoin, whose roots are due, whose eggs hatch, who is away."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rounds.core.away import DAY, Stretch
from rounds.core.quarantine.brood import Brood
from rounds.core.quarantine.criteria import CHANCE_CLEAN, CLEAN_LOOKS, DAYS_APART, DEGREE_DAYS
from rounds.service.plant.status import PlantStatus, ReleaseStatus

DAYS = 14
"""Days ahead of which is told."""
LEAST_LAYING = 5.0
"""Points of a risk by laying adults from which on they are expected there: an assumption."""

HATCHING = "hatch-most"
Kind = str
"""`release`, `roots`, `watch`, the code of a criterion that will be met, `hatch` where the last
eggs begin to hatch, HATCHING where most do and `hatched` where all have, `away` and `back` of days
on which nobody looks.
"""

TOLD = (DAYS_APART, DEGREE_DAYS, CLEAN_LOOKS, CHANCE_CLEAN)
"""Criteria with a day of their own; the roots have one on which they can first be looked at."""

OF_PLANTS = ("release", "watch", *TOLD, "hatch", HATCHING, "hatched")
"""Kinds of which several plants may be expected on one day; roots stand among what is due."""


@dataclass(frozen=True, slots=True)
class Coming:
    """One thing that is expected on a day, of one plant or of days away."""

    on: date
    status: PlantStatus | None
    """None where it is of days away"""
    kind: Kind
    waits: tuple[str, ...] = ()
    """of what will be met: the codes of the criteria that are not met by then"""
    brood: Brood | None = None
    away: Stretch | None = None


def coming(
    statuses: Iterable[PlantStatus], on: date, days: int = DAYS, away: Sequence[Stretch] = ()
) -> list[Coming]:
    """What is expected on the `days` days after `on`, the nearest first.

    A plant whose forecast is not worked out yet gives what is known without it. Releases suppose
    that looks go on as they have and stay clean.
    """
    until = on + timedelta(days=days)
    of_plants = (line for status in statuses for line in _of_plant(status))
    found = [line for line in (*of_plants, *_of_days_away(away)) if line and on < line.on <= until]
    return sorted(found, key=_in_order)


def _in_order(line: Coming) -> tuple[date, str, str]:
    code = line.status.code.casefold() if line.status else ""
    return line.on, code, line.kind


def _of_plant(status: PlantStatus) -> list[Coming | None]:
    """What is expected of one plant, as far as it is worked out."""
    found = [_line(status.roots_from, status, "roots"), *_eggs(status)]
    if status.release is not None and status.release.is_forecast:
        found.append(_line(status.release.expected_on, status, "release"))
        found += _criteria(status, status.release)
    if status.standing == "watch":
        found.append(_line(status.watched_until, status, "watch"))
    return found


def _criteria(status: PlantStatus, release: ReleaseStatus) -> list[Coming | None]:
    """The criteria that will be met, each with those not met by then."""
    by_code = {c.code: c.expected_on for c in release.criteria if c.met is not True}
    return [
        Coming(
            day, status, code, waits=tuple(c for c, d in by_code.items() if d is None or d > day)
        )
        for code, day in by_code.items()
        if code in TOLD and day is not None
    ]


def _eggs(status: PlantStatus) -> list[Coming | None]:
    """The days the eggs laid up to the last find begin to hatch, most do, and by which all have.

    Where laying adults are expected there still, no last day is named: they lay more.
    """
    brood = status.brood
    if brood is None:
        return []
    days = [("hatch", brood.first), (HATCHING, brood.usual)]
    days += [] if _may_lay_on(status, brood.pest) else [("hatched", brood.last)]
    return [Coming(day, status, kind, brood=brood) for kind, day in days if day is not None]


def _may_lay_on(status: PlantStatus, pest: str) -> bool:
    """Whether laying adults of the pest are expected there still, by the parts of its own risk.

    That of the plant is the greatest of its pests, and may be of another one than the eggs.
    """
    # slow to import, and known where a risk is
    from rounds.core.plan.risk import LAYING

    risks = (of.risk for of in status.each_pest if of.pest == pest)
    parts = [part for risk in risks if risk for part in risk.parts]
    return any(part.code == LAYING and part.value >= LEAST_LAYING for part in parts)


def _line(day: date | None, status: PlantStatus, kind: Kind) -> Coming | None:
    return None if day is None else Coming(day, status, kind)


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

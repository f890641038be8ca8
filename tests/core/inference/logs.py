"""Logs of looks made by hand, for tests: a plant, its days, what was found."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import count

from rounds.core.body import Body, make_body
from rounds.core.inference.facts import PlantFacts
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.service.logbook.parameters import load_parameters

PARAMETERS = load_parameters()
LEAFY = make_body("leafy-plant", "medium", False, PARAMETERS)
CLEAR = make_body("leafy-plant", "medium", True, PARAMETERS)
DAY_0 = date(2026, 4, 1)
PEST = "mealybug"
NUMBER = count(1)


def on(day: int) -> date:
    """The date so many days after the first."""
    return DAY_0 + timedelta(days=day)


def tally(
    number: int = 1,
    kind: str = "removed",
    stage: str | None = None,
    settled: str | None = None,
    pest: str = PEST,
) -> EffectiveTally:
    return EffectiveTally(next(NUMBER), kind, stage, pest, number, 0, settled)


def look(
    day: int,
    zone: str,
    *tallies: EffectiveTally,
    seconds: float | None = None,
    outcome: str = "looked",
    unpotted: bool = False,
    is_open: bool = False,
    body: Body = LEAFY,
) -> EffectiveLook:
    """A look of the reference seconds, and 8 more for each insect counted, unless told."""
    if seconds is None:
        spent = sum(t.count for t in tallies) * PARAMETERS.inspection.seconds_per_find
        seconds = body.zone(zone).reference_seconds + spent
    return EffectiveLook(
        next(NUMBER), on(day), zone, 1, 0, seconds, outcome, None, unpotted, is_open, tallies
    )


def whole(
    day: int, found: Mapping[str, Sequence[EffectiveTally]] | None = None, body: Body = LEAFY
) -> list[EffectiveLook]:
    """Every zone outside, each for its reference seconds."""
    found = found or {}
    return [look(day, z.zone, *found.get(z.zone, ()), body=body) for z in body.outside]


def facts(
    looks: Iterable[EffectiveLook],
    *,
    celsius: float = 22.0,
    body: Body = LEAFY,
    arrived: bool = True,
    apart: bool = True,
) -> PlantFacts:
    return PlantFacts(
        looks=tuple(looks),
        body_on=lambda _: body,
        range_c=lambda _: (celsius, celsius),
        apart=lambda _: apart,
        first_day=DAY_0,
        arrived=arrived,
        pest=PEST,
    )

"""What holds the chance clean down: the same sums once more, with one thing at a time taken away.

Each thing is taken away alone, so that what is gained by several of them does not add up.
"""

from collections.abc import Callable, Generator, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from rounds.core.body import ROOTS, ZoneReference
from rounds.core.inference.answer import chance_clean
from rounds.core.inference.evidence import Evidence, gather
from rounds.core.inference.facts import PlantFacts, begins_on
from rounds.core.inference.observed import ImpossibleEntry
from rounds.core.inference.passes import OUTSIDE
from rounds.core.inference.scale import ChanceOutOfRange
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.parameters import Parameters
from rounds.core.quarantine.days import (
    SECONDS_LOST,
    DayLooked,
    credited_seconds,
    days_looked,
    doubts_live,
    handling_seconds,
    open_doubts,
)
from rounds.core.quarantine.outlook import usual_times

ROOTS_UNSEEN, SHORT_LOOKS, FEW_LOOKS = "roots-unseen", "short-looks", "few-looks"
LAST_FIND, NEIGHBOUR, ARRIVALS, START = "last-find", "neighbour", "arrivals", "start"

HOLDING_BUDGET = 1024
"""coefficients of each of the runs"""
LEAST_POINTS = 1e-6
"""fewer points of 100 are noise of the sums"""
SUPPOSED = 0
"""id of a look nobody made"""
ONE_DAY = timedelta(days=1)

Share = Callable[[str], float]
"""from a zone to the share of its reference seconds that a look usually has"""


@dataclass(frozen=True, slots=True)
class Held:
    """One thing, and by how many points of 100 the chance would be higher without it."""

    code: str
    points: float


@dataclass(frozen=True, slots=True)
class Told:
    """What the days looked at say of a plant up to a day."""

    facts: PlantFacts
    on: date
    parameters: Parameters
    days: tuple[DayLooked, ...]
    since: date
    """the last day with a find; without one, the first that is read"""
    found_on: date | None

    @property
    def looks(self) -> tuple[EffectiveLook, ...]:
        """Those up to the day."""
        return tuple(look for look in self.facts.looks if look.day <= self.on)

    def credited(self, look: EffectiveLook) -> float:
        """Seconds of a look that count at a zone the plant has; none at roots within the pot."""
        zone = self.zone(look)
        if zone is None or (look.zone == ROOTS and not self._shows_roots(look)):
            return 0.0
        return credited_seconds(look, zone.reference_seconds, self.parameters.inspection)

    def zone(self, look: EffectiveLook) -> ZoneReference | None:
        """The zone of a look; None where the plant had no such zone."""
        zones = self.facts.body_on(look.day).zones
        return next((zone for zone in zones if zone.zone == look.zone), None)

    def _shows_roots(self, look: EffectiveLook) -> bool:
        return look.unpotted or self.facts.body_on(look.day).clear_pot


def told(facts: PlantFacts, on: date, parameters: Parameters) -> Told:
    """The days looked at of a plant up to a day, and since when nothing was found."""
    days = tuple(
        looked
        for looked in days_looked(facts.looks, facts.body_on, facts.pest, parameters.inspection)
        if looked.day <= on
    )
    # insects seen when it came are a find of that day
    seen = [facts.first_day] if facts.insects_seen and facts.first_day <= on else []
    live = sorted({*seen, *(looked.day for looked in days if looked.live)})
    begins = begins_on(live, facts.first_day, on, parameters.infestation)
    found_on = live[-1] if live else None
    return Told(facts, on, parameters, days, found_on or begins, found_on)


def holds_down(
    facts: PlantFacts,
    on: date,
    parameters: Parameters,
    budget: int = HOLDING_BUDGET,
) -> Generator[None, None, tuple[Held, ...]]:
    """What holds the chance clean at the end of `on` down, largest first.

    It pauses after each run of the sums.

    Args:
        facts: of the plant, for one pest.
        on: the day spoken about.
        parameters: the table.
        budget: coefficients of each run.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    evidence = gather(facts, on, parameters)
    chance = chance_clean(evidence.log, budget)
    at, found = told(facts, on, parameters), []
    for code, other_facts, other in taken_away(at, _usual_share(at, evidence)):
        yield
        try:
            without = chance_clean(gather(other_facts, on, other).log, budget)
        except (ImpossibleEntry, ChanceOutOfRange):
            # without it what was entered could not have come about: there is nothing to compare
            continue
        points = 100 * (without - chance)
        if points > LEAST_POINTS:
            found.append(Held(code, points))
    return tuple(sorted(found, key=lambda held: -held.points))


def taken_away(at: Told, usual: Share) -> Iterator[tuple[str, PlantFacts, Parameters]]:
    """Each thing that can be taken away: its code, and what the sums then rest on."""
    facts, parameters = at.facts, at.parameters
    changed: list[tuple[str, Iterable[EffectiveLook] | None]] = [
        (ROOTS_UNSEEN, _with_roots_seen(at)),
        (SHORT_LOOKS, _looked_for_long(at)),
        (FEW_LOOKS, _looked_daily(at, usual)),
        (LAST_FIND, _without_last_find(at)),
    ]
    for code, looks in changed:
        if looks is not None:
            seen = facts.insects_seen and not (code == LAST_FIND and at.found_on == facts.first_day)
            yield code, replace(facts, looks=tuple(looks), insects_seen=seen), parameters
    if any(number > 0 and day <= at.on for day, number in facts.neighbours.items()):
        yield NEIGHBOUR, replace(facts, neighbours={}), parameters
    none = replace(parameters.infestation, arrivals_apart=0.0, arrivals_collection=0.0)
    yield ARRIVALS, facts, replace(parameters, infestation=none)
    if facts.arrived:
        yield START, replace(facts, arrived=False, insects_seen=False), parameters


def _usual_share(at: Told, evidence: Evidence) -> Share:
    times = usual_times(at.facts, at.on, at.parameters, evidence, at.days)[OUTSIDE]
    known = dict(zip(evidence.process.zone_codes, times, strict=True))
    return lambda zone: float(known.get(zone, 1.0))


def _with_roots_seen(at: Told) -> list[EffectiveLook] | None:
    """A look at the roots out of the pot at the end of the day, for the time of a full one.

    None where they were seen since the last find, or since the log is read.
    """
    if any(looked.roots_seen and looked.day >= at.since for looked in at.days):
        return None
    roots = at.facts.body_on(at.on).zone(ROOTS)
    return [*at.looks, supposed_look(at.on, ROOTS, roots.reference_seconds)]


def _looked_for_long(at: Told) -> list[EffectiveLook] | None:
    """Every zone looked at since the last find, that day included, had the time of a full look.

    What is missing on a day is added to the last look at the zone. None where nothing is missing.
    """
    seconds: dict[tuple[date, str], float] = {}
    last: dict[tuple[date, str], int] = {}
    for number, look in enumerate(at.looks):
        credited = at.credited(look) if look.day >= at.since else 0.0
        if credited > 0:
            of = look.day, look.zone
            seconds[of] = seconds.get(of, 0.0) + credited
            last[of] = number
    looks, is_short = list(at.looks), False
    for of, number in last.items():
        zone = at.zone(looks[number])
        missing = (zone.reference_seconds if zone else 0.0) - seconds[of]
        if missing > SECONDS_LOST:
            looks[number] = replace(looks[number], seconds=looks[number].seconds + missing)
            is_short = True
    return looks if is_short else None


def _looked_daily(at: Told, usual: Share) -> list[EffectiveLook] | None:
    """Every zone outside was looked at each day from the last find until yesterday.

    Zones that were not have a clean look as long as usual. None where none was left out.
    """
    seen = {(look.day, look.zone) for look in at.looks if at.credited(look) > 0}
    added = [
        supposed_look(day, zone.zone, usual(zone.zone) * zone.reference_seconds)
        for day in (at.since + ONE_DAY * n for n in range((at.on - at.since).days))
        for zone in at.facts.body_on(day).outside
        if (day, zone.zone) not in seen
    ]
    if not any(look.seconds > 0 for look in added):
        return None
    return sorted([*at.looks, *added], key=lambda look: look.day)


def _without_last_find(at: Told) -> list[EffectiveLook] | None:
    """Nothing was found alive on the last day with a find; the looks of that day stay as long."""
    if at.found_on is None:
        return None
    doubts = open_doubts(at.facts.looks, at.facts.pest)
    inspection = at.parameters.inspection

    def is_found(look: EffectiveLook, tally: EffectiveTally) -> bool:
        piled_up = doubts_live(look.day, doubts.get(look.zone, {}), inspection)
        live = tally.is_live or (tally.is_open_doubt and piled_up)
        return tally.pest == at.facts.pest and live

    def without(look: EffectiveLook) -> EffectiveLook:
        if look.day != at.found_on:
            return look
        gone = (tally for tally in look.tallies if is_found(look, tally))
        left = tuple(tally for tally in look.tallies if not is_found(look, tally))
        # the time each took is no time of looking, with the find or without
        seconds = max(0.0, look.seconds - handling_seconds(gone, inspection))
        return replace(look, tallies=left, seconds=seconds)

    return [without(look) for look in at.looks]


def supposed_look(day: date, zone: str, seconds: float) -> EffectiveLook:
    """A look nobody made, in which nothing was found; at the roots, out of the pot."""
    return EffectiveLook(
        id=SUPPOSED,
        day=day,
        zone=zone,
        round_id=0,
        began_at=0,
        seconds=seconds,
        outcome="looked",
        reason=None,
        unpotted=zone == ROOTS,
        is_open=False,
        tallies=(),
    )

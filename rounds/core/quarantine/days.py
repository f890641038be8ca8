"""What the looks of a day amount to: seconds credited, complete or not, clean or not."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rounds.core.body import MEDIUM, ROOTS, Body
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.parameters import Inspection

TOLERANCE = 1e-9
"""by which a sum of floats may fall short of a limit it should meet exactly"""

SECONDS_LOST = 0.01
"""by which looks kept to the millisecond may fall short of the seconds they share"""

EFFORT_DIGITS = 4
"""of an effort: as it is kept"""

DoubtsByZone = Mapping[str, Mapping[date, int]]


@dataclass(frozen=True, slots=True)
class DayLooked:
    """All looks at one plant on one day, for one pest."""

    day: date
    complete: bool
    """the zones seen carry enough of the weight outside the roots"""
    live: bool
    """something was found alive, or doubts had piled up that count as live"""
    medium_seen: bool
    roots_seen: bool
    """out of the pot, or through a clear one"""

    @property
    def clean(self) -> bool:
        """Nothing alive was found."""
        return not self.live


def credited_seconds(
    look: EffectiveLook, reference_seconds: float, inspection: Inspection
) -> float:
    """Seconds of a look that count as looking.

    Time elapsed, less the time each counted insect took, at most a few times the reference
    seconds of the zone. Nothing for a zone that was not seen, or a look that was not finished.
    """
    if look.is_open or look.outcome != "looked":
        return 0.0
    handling = handling_seconds(look.tallies, inspection) if look.tallies else 0.0
    seconds = look.seconds - handling
    return min(max(0.0, seconds), inspection.credited_at_most * reference_seconds)


def handling_seconds(tallies: Iterable[EffectiveTally], inspection: Inspection) -> float:
    """Seconds that lifting what was counted took, which are no time of looking."""
    once = inspection.handled_once
    handled = sum(1 if tally.pest in once else tally.count for tally in tallies)
    return inspection.seconds_per_find * handled


def effort_of(looks: Iterable[EffectiveLook], body: Body, inspection: Inspection) -> float:
    """What was looked on one day, in complete looks: seconds over the seconds of one.

    Handling is left out, down to a share of the seconds that is searching at the least: where
    insects are many their handling takes all there is. Roots within a closed pot are no look.
    """
    whole = sum(zone.reference_seconds for zone in body.outside)
    reference = {zone.zone: zone.reference_seconds for zone in body.zones}
    seconds = 0.0
    for look in looks:
        if look.outcome == "cannot-see" or _is_within_pot(look, body):
            continue
        of_zone = reference.get(look.zone, 0.0)
        credited = credited_seconds(look, of_zone, inspection)
        if look.tallies:
            least = inspection.searched_least * look.seconds
            credited = max(credited, min(least, inspection.credited_at_most * of_zone))
        seconds += credited
    return round(seconds / whole, EFFORT_DIGITS)


def _is_within_pot(look: EffectiveLook, body: Body) -> bool:
    return look.zone == ROOTS and not (look.unpotted or body.clear_pot)


def days_looked(
    log: tuple[EffectiveLook, ...],
    body_on: Callable[[date], Body],
    pest: str,
    inspection: Inspection,
) -> tuple[DayLooked, ...]:
    """One record for each day with any look, in the order of the days.

    Args:
        log: the looks of one plant that stand.
        body_on: its body as it was on a day.
        pest: whose finds and doubts count.
        inspection: the limits.
    """
    by_day: dict[date, list[EffectiveLook]] = defaultdict(list)
    for look in log:
        by_day[look.day].append(look)
    doubts = open_doubts(log, pest)
    return tuple(
        day_looked(day, by_day[day], body_on(day), pest, doubts, inspection)
        for day in sorted(by_day)
    )


def open_doubts(log: Iterable[EffectiveLook], pest: str) -> DoubtsByZone:
    """Specks not settled, by zone and day."""
    doubts: dict[str, dict[date, int]] = defaultdict(dict)
    for look in log:
        if look.tallies and (count := look.open_doubts(pest)):
            doubts[look.zone][look.day] = doubts[look.zone].get(look.day, 0) + count
    return doubts


def day_looked(
    day: date,
    looks: Sequence[EffectiveLook],
    body: Body,
    pest: str,
    doubts: DoubtsByZone,
    inspection: Inspection,
) -> DayLooked:
    """What the looks of one day say about one pest.

    Args:
        day: the day.
        looks: those of that day that stand.
        body: as it was on that day.
        pest: whose finds and doubts count.
        doubts: open ones of that day and of those shortly before it.
        inspection: the limits.
    """
    seen = zones_seen(day, looks, body, doubts, inspection)
    # most looks found nothing: they are passed over
    found = any(look.live(pest) for look in looks if look.tallies)
    return DayLooked(
        day=day,
        complete=is_complete(seen, body, inspection),
        live=found or any(doubts_live(day, zone, inspection) for zone in doubts.values()),
        medium_seen=MEDIUM in seen,
        roots_seen=ROOTS in seen,
    )


def zones_seen(
    day: date,
    looks: Sequence[EffectiveLook],
    body: Body,
    doubts: DoubtsByZone,
    inspection: Inspection,
) -> frozenset[str]:
    """Zones looked at for long enough that day, those with an open doubt left out."""
    reference = {zone.zone: zone.reference_seconds for zone in body.zones}
    seconds: dict[str, float] = defaultdict(float)
    for look in looks:
        # A zone the plant does not have, or roots within a closed pot, were not looked at.
        if look.zone in reference and not _is_within_pot(look, body):
            seconds[look.zone] += credited_seconds(look, reference[look.zone], inspection)
    return frozenset(
        zone
        for zone, credited in seconds.items()
        if is_long_enough(credited, reference[zone], inspection) and day not in doubts.get(zone, {})
    )


def is_long_enough(credited: float, reference_seconds: float, inspection: Inspection) -> bool:
    """Whether credited seconds are enough for a zone to count as seen."""
    return credited >= inspection.seen_from * reference_seconds - SECONDS_LOST


def zones_gone_over(
    by_zone: Mapping[str, Sequence[EffectiveLook]], body: Body, inspection: Inspection, share: float
) -> dict[str, EffectiveLook]:
    """The zones that the looks of one day went over, however shortly, each with a look of these.

    It is the last one from which on they still do. What cannot be seen counts as gone over, a speck
    that nobody is sure of too.

    Args:
        by_zone: the looks of that day that stand.
        body: as it was on that day.
        inspection: the limits.
        share: of the reference seconds of a zone, from which on it was gone over.
    """
    reference = {zone.zone: zone.reference_seconds for zone in body.outside}
    found = {}
    for zone in by_zone.keys() & reference.keys():
        looks = by_zone[zone]
        if len(looks) > 1:
            looks = sorted(looks, key=lambda look: (look.began_at, look.id))
        seconds, enough = 0.0, share * reference[zone] - SECONDS_LOST
        for look in reversed(looks):
            seconds += credited_seconds(look, reference[zone], inspection)
            if look.outcome == "cannot-see" or seconds >= enough:
                found[zone] = look
                break
    return found


def is_complete(seen: frozenset[str], body: Body, inspection: Inspection) -> bool:
    """Whether the zones seen carry enough of the weight outside the roots."""
    outside = body.outside
    looked_at = sum(zone.weight for zone in outside if zone.zone in seen)
    needed = inspection.complete_from * sum(zone.weight for zone in outside)
    return looked_at >= needed - TOLERANCE


def doubts_live(day: date, zone_doubts: Mapping[date, int], inspection: Inspection) -> bool:
    """Whether a zone has an open doubt of that day, and enough lately to count as live."""
    if day not in zone_doubts:
        return False
    recent = (
        count
        for doubted_on, count in zone_doubts.items()
        if 0 <= (day - doubted_on).days <= inspection.doubts_within_days
    )
    return sum(recent) >= inspection.doubts_live_at

"""What a plant is owed at the end of a day, by what is known of it and of those near it.

A look at its roots too, where insects are found on it again and again.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil

from rounds.core.away import stretches
from rounds.core.body import ROOTS
from rounds.core.collection import FOUND
from rounds.core.plan.again import found_again_since, roots_asked_from
from rounds.core.plan.claims import NEAREST, Claim, ClaimFacts, Exposure, claim_of, known_alive
from rounds.core.plan.near import Find, GoneOver, exposure_of, nearness_on
from rounds.core.quarantine.criteria import clocks_from
from rounds.core.quarantine.past import ZonePast
from rounds.core.quarantine.streak import clean_streak
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord

DAY = timedelta(days=1)


def claim_by_log(record: PlantRecord) -> Claim:
    """The claim of a plant at the end of its day, by its log alone."""
    return _claim(record, _exposure(record, record.day.live_finds))


def claim_by_sums(record: PlantRecord) -> Claim:
    """The same by what the sums say of it too: it was found on, and is probably still infested."""
    facts = _facts(record, record.claim_seen.exposure)
    if facts.found_on is None or known_alive(facts, record.on, record.table.planning.claims):
        return record.claim_seen
    return _claim_by(record, replace(facts, chance_clean=chance_of_found(record)))


def chance_of_found(record: PlantRecord) -> float:
    """The chance clean of what was found on a plant; of several pests the least."""
    found = (each for each in record.each_pest if each.of_pest(each.pest).live_on)
    return min(each.likely.chance_clean for each in found)


def claim_near(record: PlantRecord, finds: Sequence[Find]) -> Claim | None:
    """The claim a plant has once something was found on others; None where none of them is near."""
    exposure = _exposure(record, finds)
    return _claim(record, exposure) if exposure else None


def claim_found(record: PlantRecord) -> Claim:
    """The claim a plant has once something was found on it."""
    return _claim_by(record, replace(_facts(record, None), found_on=record.on))


def _claim(record: PlantRecord, exposure: Exposure | None) -> Claim:
    return _claim_by(record, _facts(record, exposure))


def _claim_by(record: PlantRecord, facts: ClaimFacts) -> Claim:
    rules = record.table.planning.claims
    return claim_of(facts, record.on, next_round(record.logbook, record.on), rules)


def is_known_alive(record: PlantRecord) -> bool:
    """Whether insects are known to live on a plant: found lately, or left there."""
    return known_alive(_facts(record, None), record.on, record.table.planning.claims)


def beside_worse(record: PlantRecord) -> Exposure | None:
    """The plant with insects that one in quarantine stands near, itself with none known."""
    places = record.logbook.collection().places
    if record.standing != "quarantine" or is_known_alive(record):
        return None
    met = [
        (NEAREST.index(how), -find.found_on[-1].toordinal(), find.plant.code, find.found_on[-1])
        for find in record.day.live_finds
        if find.plant.id != record.plant.id and find.found_on
        if find.plant.gone(record.on) is None and find.plant.quarantine(record.on)
        if (how := nearness_on(find.plant, record.plant, record.on, places)) is not None
    ]
    if not met:
        return None
    nearest, _, code, found_on = min(met)
    return Exposure(NEAREST[nearest], code, found_on, found_on)


def next_round(logbook: Logbook, on: date) -> date:
    """The next day on which somebody is here to look."""
    tomorrow = on + DAY
    away = (
        s for s in stretches(logbook.collection().away) if s.first_day <= tomorrow <= s.last_day
    )
    return next((s.last_day + DAY for s in away), tomorrow)


def _exposure(record: PlantRecord, finds: Sequence[Find]) -> Exposure | None:
    places, known = record.logbook.collection().places, record.known
    seen = GoneOver(known.gone_over_on, known.gone_over_from) if known.gone_over_on else None
    return exposure_of(record.plant, finds, places, seen, record.on)


def _facts(record: PlantRecord, exposure: Exposure | None) -> ClaimFacts:
    known = record.known
    since = record.lived.first_day
    if record.standing in ("quarantine", "watch"):
        since = max(since, record.standing_since)
    return ClaimFacts(
        standing=record.standing,
        since=since,
        gone_over_on=known.gone_over_on,
        found_on=record.last_find_on,
        is_left=any(zone.left for zone in known.zones.values()),
        exposure=exposure,
        sign_on=record.signs_lately[-1].day if record.signs_lately else None,
        looks_by=min(
            (day for each in record.each_pest if (day := _looks_by(each)) is not None),
            default=None,
        ),
    )


def _looks_by(record: PlantRecord) -> date | None:
    """From when on the looks wanted would hold quarantine up longer than the days and warmth do.

    None outside quarantine, where none are wanted, or before the first look.
    """
    history, seen = record.history_seen, record.known.gone_over_on
    if history is None or seen is None:
        return None
    rules = record.rules
    anchor = clocks_from(history, record.on)
    have = clean_streak(history.days, record.on, rules, since=anchor).looks
    wanted = rules.clean_looks - have
    if wanted <= 0:
        return None
    others_on = anchor + timedelta(rules.days_apart)
    if history.ever_found:
        others_on = max(others_on, _warm_enough_on(record, anchor, rules.degree_days))
    return seen + max(DAY, (others_on - seen) // wanted)


def _warm_enough_on(record: PlantRecord, anchor: date, degree_days: float) -> date:
    left = degree_days - record.degree_days_between(anchor, record.on)
    rate = record.temperatures.rate(record.lived, record.on, record.biology.warmth)
    if left <= 0 or rate <= 0:
        return record.on
    # no more than a year: beyond that looks hold nothing up
    return record.on + timedelta(min(365, ceil(left / rate)))


@dataclass(frozen=True, slots=True)
class FoundAgain:
    """What is known of such finds at the end of a day."""

    days: int = 0
    """for how long; 0 where there are none"""
    roots_from: date | None = None
    """the day from which on the roots are looked at for what feeds them"""

    def is_asked(self, on: date) -> bool:
        """Whether the roots are to be looked at by a day."""
        return self.roots_from is not None and self.roots_from <= on


def found_again(record: PlantRecord) -> FoundAgain:
    """The finds on a plant that go on and on."""
    rules = record.table.planning.claims
    since = found_again_since(record.live_on, record.on, rules)
    if since is None:
        return FoundAgain()
    return FoundAgain(
        (record.on - since).days, roots_asked_from(since, _roots_searched_on(record, since), rules)
    )


def _roots_searched_on(record: PlantRecord, since: date) -> date | None:
    """The last day the roots were seen, or anything counted at them out of the pot.

    What they were looked at for is found then, however short the look or unsure the speck.
    """
    seen = [day.day for pest in record.pests for day in record.days(pest) if day.roots_seen]
    counted = record.known.zones.get(ROOTS, ZonePast()).counted_on
    if counted is not None and counted >= since and counted not in seen:
        seen += [
            look.day
            for look in record.looks_from(since)
            if look.zone == ROOTS and look.tallies and look.unpotted
        ]
    return max(seen, default=None)


def waits_to_stand_apart(record: PlantRecord) -> bool:
    """Found alive lately where nobody has yet put it apart, nor said it cannot be moved."""
    if record.standing not in ("collection", "watch") or not record.infested:
        return False
    released, found = record.lived.released_on(record.on), record.last_find_on
    return released is None or found is None or found > released


def no_place_since(record: PlantRecord) -> date | None:
    """Since when it is in quarantine for a find, and no quarantine place is named to move it to."""
    period = record.plant.quarantine(record.on)
    if period is None or period.began_because != FOUND:
        return None
    places = record.logbook.collection().places.values()
    return None if any(place.apart(record.on) for place in places) else period.began_on


def move_out_since(record: PlantRecord) -> date | None:
    """Since when it is released and still stands in a quarantine place; None elsewhere."""
    move = record.plant.move_on(record.on)
    if move is None or record.standing not in ("collection", "watch"):
        return None
    place = record.logbook.collection().places[move.place_id]
    return record.lived.released_on(record.on) if place.apart(record.on) else None

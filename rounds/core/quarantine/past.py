"""What the looks at a plant on all days before one amount to, so that they need not be read again.

A day is judged by its own looks and by the specks left unsettled shortly before it. So what older
days amount to is kept, and goes on by the days that follow: the cost of a morning is that of
what is new. All of it is derived: it comes out the same from the looks.
"""

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from itertools import groupby

from rounds.core.body import Body
from rounds.core.estimates.growth import DayCounted
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.log.entries import NOT_ANSWERED
from rounds.core.parameters import Inspection
from rounds.core.quarantine.days import (
    DayLooked,
    DoubtsByZone,
    day_looked,
    effort_of,
    is_complete,
    zones_gone_over,
)

DAYS_KEPT = 200
"""days for which each day looked is kept; of older ones only days with finds and the streak"""

COMPLETE_KEPT = 12
"""complete looks kept one by one, however old: the usual interval is taken from them"""

COUNTED_DAYS_KEPT = 60
"""days up to the last look for which counts are kept beside their effort"""

Made = tuple[int, int]
"""When a look was made: the second it began, then its id. The later look has the greater one."""

LAYS_NO_EGGS = ("young",)
"""Recorded stages that cannot have laid; a find of no recorded stage may have."""


@dataclass(frozen=True, slots=True)
class OpenDoubt:
    """A woolly speck nobody has settled yet."""

    tally_id: int
    day: date
    zone: str
    count: int
    pest: str
    own: bool = True
    """seen on this very plant, not on one it was divided from"""


@dataclass(frozen=True, slots=True)
class SignSeen:
    """Ants, stickiness or soot at a zone on a day."""

    day: date
    zone: str
    kind: str


@dataclass(frozen=True, slots=True)
class ZonePast:
    """One zone: when it was last looked at, and what hung there afterwards."""

    looked_on: date | None = None
    """last day it was seen"""
    counted_on: date | None = None
    """last day it was seen, or something counted at it"""
    told_on: date | None = None
    """last day on which a look told what is there"""
    killed: int = 0
    """on that day, killed in place"""
    left: int = 0
    """on that day, left alive"""
    gone_over: tuple[date, Made] | None = None
    """last day it was looked at, however shortly, and the look of it from which on it was"""

    @property
    def gone_over_on(self) -> date | None:
        """Last day it was looked at, however shortly, or could not be seen."""
        return self.gone_over[0] if self.gone_over else None


NEVER = ZonePast()
"""A zone nobody looked at."""


@dataclass(frozen=True, slots=True)
class PestPast:
    """The days looked with regard to one pest."""

    days: tuple[DayLooked, ...] = ()
    """in order, as far back as they stand one by one"""
    older_until: date | None = None
    """the last day before them that was looked at"""
    live_on: tuple[date, ...] = ()
    """every day with a live find, in order"""
    older_looks: int = 0
    """complete clean looks in a row that led up to `days`"""
    older_began_on: date | None = None
    """the first of these"""
    complete_on: date | None = None
    """last day it was fully checked"""
    counted: tuple[DayCounted, ...] = ()
    """what looks found alive lately, from the last day without a find before it on"""
    laid_on: date | None = None
    """last day something was found that may have laid, or eggs themselves"""


@dataclass(frozen=True, slots=True)
class Past:
    """A plant at the end of `until`, from the looks that stand of that day and all before it."""

    until: date
    key: str = ""
    """digest of all looks it was made from, in their order, whatever steps it was made in"""
    pests: Mapping[str, PestPast] = field(default_factory=dict)
    """by the pests it was followed for, those found among them"""
    zones: Mapping[str, ZonePast] = field(default_factory=dict)
    doubts: tuple[OpenDoubt, ...] = ()
    """oldest first"""
    signs: tuple[SignSeen, ...] = ()
    """oldest first"""
    last_look_on: date | None = None
    """last day any look was begun, finished or not"""
    seen_on: date | None = None
    """last day any zone was seen, or something counted"""
    gone_over_on: date | None = None
    """last day from which on all of it was looked at, however shortly; it may take some days"""
    gone_over_from: Made | None = None
    """the look of that day from which on all of it was looked at, the last one from which it was"""
    found_at: Made | None = None
    """the last look at which something alive was found"""
    is_counted: bool = False
    """whether anything was ever counted"""
    visits: int = 0
    """rounds, or days entered for, in which it was looked at"""
    newest: tuple[int, date] | None = None
    """of what was entered at this very plant: the id given last, and the day it is about"""


@dataclass(frozen=True, slots=True)
class Reader:
    """What the looks of one plant are read with."""

    body_on: Callable[[date], Body]
    pests: Mapping[str, date]
    """those the plant is said to be followed for, each from which day on; a find of another pest
    begins to follow it"""
    inspection: Inspection
    gone_over_share: float
    """of the reference seconds of a zone, from which on it was gone over"""
    is_own: Callable[[EffectiveLook], bool] = lambda look: True
    """whether a look was at this very plant, not at one it was divided from"""


def gone_on(past: Past, looks: Sequence[EffectiveLook], until: date, reader: Reader) -> Past:
    """Extend a past by the looks of the days that followed, up to the end of `until`.

    Args:
        past: of earlier days.
        looks: those that stand of the days after it, up to `until`; oldest first.
        until: the last day it then covers.
        reader: of the plant.
    """
    for day, of_day in groupby(looks, key=lambda look: look.day):
        past = _with_day(past, day, list(of_day), reader)
    return _trimmed(replace(past, until=until))


def nothing_before(day: date) -> Past:
    """The past of a plant that nobody looked at before a day."""
    return Past(until=day - timedelta(days=1))


def told_by(
    past: ZonePast,
    day: date,
    looks: Iterable[EffectiveLook],
    gone_over: EffectiveLook | None = None,
) -> ZonePast:
    """The past of a zone after its looks of one more day.

    Args:
        past: of earlier days.
        day: the next one it was looked at.
        looks: of that day.
        gone_over: the one of them from which on it was gone over; None where it was not.
    """
    looks = list(looks)
    looked = any(look.outcome == "looked" for look in looks)
    counted = looked or any(look.counted() for look in looks)
    telling = [
        look
        for look in looks
        if look.reason != NOT_ANSWERED and (look.outcome == "looked" or look.tallies)
    ]
    tallies = [tally for look in telling for tally in look.tallies]
    # made anew, as a long log makes millions of them and `replace` takes thrice as long
    return ZonePast(
        looked_on=day if looked else past.looked_on,
        counted_on=day if counted else past.counted_on,
        told_on=day if telling else past.told_on,
        killed=_counted_as("killed", tallies) if telling else past.killed,
        left=_counted_as("left", tallies) if telling else past.left,
        gone_over=(day, _made(gone_over)) if gone_over else past.gone_over,
    )


def _counted_as(kind: str, tallies: Iterable[EffectiveTally]) -> int:
    return sum(tally.count for tally in tallies if tally.kind == kind)


def _with_day(past: Past, day: date, looks: list[EffectiveLook], reader: Reader) -> Past:
    doubts = (*past.doubts, *_doubts(looks, reader))
    tallies = [tally for look in looks for tally in look.tallies]
    seen = any(look.outcome == "looked" or look.tallies for look in looks)
    zones = _zones(past.zones, day, looks, reader)
    gone_over = _gone_over(past, zones, day, reader)
    found = [_made(look) for look in looks if any(tally.is_live for tally in look.tallies)]
    return replace(
        past,
        until=day,
        key=_key(past.key, day, looks),
        pests={
            pest: _with_day_of_pest(of_pest, day, looks, pest, doubts_by_zone(doubts, pest), reader)
            for pest in _followed(past, day, tallies, reader)
            for of_pest in (past.pests.get(pest, PestPast()),)
        },
        zones=zones,
        doubts=doubts,
        signs=(*past.signs, *(SignSeen(day, k.zone, s.kind) for k in looks for s in k.signs)),
        last_look_on=day,
        seen_on=day if seen else past.seen_on,
        gone_over_on=gone_over and gone_over[0],
        gone_over_from=gone_over and gone_over[1],
        found_at=max(found, default=past.found_at),
        is_counted=past.is_counted or bool(tallies),
        visits=past.visits + len({(reader.is_own(look), look.round_id) for look in looks}),
        newest=max(filter(None, (past.newest, _newest(day, looks, reader))), default=None),
    )


def _followed(
    past: Past, day: date, tallies: Iterable[EffectiveTally], reader: Reader
) -> Iterable[str]:
    """The pests that the looks of a day are evidence of: those said, and those found by then."""
    said = [pest for pest, since in reader.pests.items() if since <= day]
    found = sorted({tally.pest for tally in tallies if tally.is_live})
    return dict.fromkeys((*said, *past.pests, *found))


def _made(look: EffectiveLook) -> Made:
    return look.began_at, look.id


def _gone_over(
    past: Past, zones: Mapping[str, ZonePast], day: date, reader: Reader
) -> tuple[date, Made] | None:
    """The last day and look from which on all of a plant was looked at, up to the end of a day."""
    body = reader.body_on(day)
    by_zone = {z.zone: zones[z.zone].gone_over for z in body.outside if z.zone in zones}
    lately = sorted(((seen, zone) for zone, seen in by_zone.items() if seen), reverse=True)
    met: set[str] = set()
    before = (past.gone_over_on, past.gone_over_from)
    for seen, zone in lately:
        met.add(zone)
        if is_complete(frozenset(met), body, reader.inspection):
            return seen
    return (before[0], before[1]) if before[0] and before[1] else None


def _with_day_of_pest(
    past: PestPast,
    day: date,
    looks: list[EffectiveLook],
    pest: str,
    doubts: DoubtsByZone,
    reader: Reader,
) -> PestPast:
    body = reader.body_on(day)
    looked = day_looked(day, looks, body, pest, doubts, reader.inspection)
    found = sum(look.live(pest) for look in looks if look.tallies)
    laid = any(
        tally.is_live and tally.pest == pest and tally.stage not in LAYS_NO_EGGS
        for look in looks
        for tally in look.tallies
    )
    counted = DayCounted(day, found, effort_of(looks, body, reader.inspection))
    return replace(
        past,
        counted=(*past.counted, counted) if counted.found or counted.effort else past.counted,
        days=(*past.days, looked),
        live_on=(*past.live_on, day) if looked.live else past.live_on,
        complete_on=day if looked.complete else past.complete_on,
        laid_on=day if laid else past.laid_on,
    )


def doubts_by_zone(doubts: Iterable[OpenDoubt], pest: str) -> dict[str, dict[date, int]]:
    """Specks of a pest not settled, by zone and day."""
    found: dict[str, dict[date, int]] = {}
    for doubt in doubts:
        if doubt.pest == pest:
            of_zone = found.setdefault(doubt.zone, {})
            of_zone[doubt.day] = of_zone.get(doubt.day, 0) + doubt.count
    return found


def _doubts(looks: Iterable[EffectiveLook], reader: Reader) -> list[OpenDoubt]:
    return [
        OpenDoubt(tally.id, look.day, look.zone, tally.count, tally.pest, reader.is_own(look))
        for look in looks
        for tally in look.tallies
        if tally.is_open_doubt
    ]


def _zones(
    zones: Mapping[str, ZonePast], day: date, looks: Iterable[EffectiveLook], reader: Reader
) -> dict[str, ZonePast]:
    by_zone: dict[str, list[EffectiveLook]] = {}
    for look in looks:
        by_zone.setdefault(look.zone, []).append(look)
    gone_over = zones_gone_over(
        by_zone, reader.body_on(day), reader.inspection, reader.gone_over_share
    )
    told = {
        zone: told_by(zones.get(zone, NEVER), day, of, gone_over.get(zone))
        for zone, of in by_zone.items()
    }
    return {**zones, **told}


def _newest(day: date, looks: Iterable[EffectiveLook], reader: Reader) -> tuple[int, date] | None:
    own = [look for look in looks if reader.is_own(look)]
    ids = [look.id for look in own if not look.is_open]
    ids += [tally.id for look in own for tally in look.tallies]
    ids += [sign.id for look in own for sign in look.signs]
    return (max(ids), day) if ids else None


def _key(before: str, day: date, looks: Iterable[EffectiveLook]) -> str:
    """Digest of the key before, and of all that any sum reads of the looks of a day."""
    read = [
        (k.id, k.zone, k.seconds, k.outcome, k.unpotted, k.is_open,
         [(t.id, t.kind, t.stage, t.pest, t.count, t.settled_as) for t in k.tallies])
        for k in looks
    ]  # fmt: skip
    text = f"{before} {day.toordinal()} {read!r}"
    return hashlib.blake2b(text.encode(), digest_size=12).hexdigest()


def _trimmed(past: Past) -> Past:
    """The past without the days that need not be kept one by one any longer."""
    first = past.until - timedelta(days=DAYS_KEPT - 1)
    pests = {
        pest: replace(_trimmed_days(of, first), counted=_trimmed_counts(of.counted))
        for pest, of in past.pests.items()
    }
    return replace(past, pests=pests)


def _trimmed_counts(counted: tuple[DayCounted, ...]) -> tuple[DayCounted, ...]:
    """The counts of the last days, from the last clean one before the first find on."""
    if not counted:
        return ()
    first = counted[-1].day - timedelta(days=COUNTED_DAYS_KEPT - 1)
    lately = [of for of in counted if of.day >= first]
    found = next((n for n, of in enumerate(lately) if of.found), len(lately))
    return tuple(lately[max(0, found - 1) :])


def _trimmed_days(past: PestPast, first: date) -> PestPast:
    complete = [looked.day for looked in past.days if looked.complete][-COMPLETE_KEPT:]
    first = min([first, *complete[:1]])
    gone = [looked for looked in past.days if looked.day < first]
    if not gone:
        return past
    looks, began_on = past.older_looks, past.older_began_on
    for looked in gone:
        if looked.live:
            looks, began_on = 0, None
        elif looked.complete:
            looks, began_on = looks + 1, began_on or looked.day
    return replace(
        past,
        days=past.days[len(gone) :],
        older_until=gone[-1].day,
        older_looks=looks,
        older_began_on=began_on,
    )

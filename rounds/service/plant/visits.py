"""The looks at one plant, gathered by the round they were made in: what was seen that time."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from rounds import words
from rounds.clock import from_seconds
from rounds.core.log.entries import LIVE_KINDS
from rounds.service.entries.looks import KINDS
from rounds.service.entries.walked import put_off_by
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.events import Event, LookMade, SignMade, State, TallyEntered
from rounds.service.plant.reasons import put_off_text
from rounds.service.round.reasons import NO_REASON, ZONE_NOT_SAID
from rounds.words.forms import minutes_seconds, time_of_day
from rounds.words.pests import pest_name


@dataclass(frozen=True, slots=True)
class EntryLine:
    """A look, or one count or sign of it, in words. `settled_as` is of a doubt alone."""

    event: Event
    kind: Literal["look", "tally", "sign"]
    zone: str
    text: str
    """in words, such as: 2 off, adult"""
    at_zone: str
    """the same with the zone: 2 off at axils, adult"""
    is_find: bool = False
    is_doubt: bool = False
    settled_as: str | None = None
    """None while it is open"""

    @property
    def id(self) -> str:
        """The name of the entry."""
        return self.event.id

    @property
    def state(self) -> State:
        """Whether it stands, and why not."""
        return self.event.state

    @property
    def time(self) -> str:
        """Local time of day in words; empty where it was entered without one."""
        return _time(self.event)

    @property
    def can_change(self) -> bool:
        """Whether it can be taken back, and unless it is a sign replaced."""
        return self.state == "stands"

    @property
    def is_open_doubt(self) -> bool:
        """A doubt that stands and waits to be settled."""
        return self.is_doubt and self.state in ("stands", "open") and self.settled_as is None

    def zone_name(self) -> str:
        """The zone in words."""
        return words.say(f"zones.{self.zone}.name")


@dataclass(frozen=True, slots=True)
class Visit:
    """All looks at the plant in one round, or entered for one day by one person."""

    day: date
    round_id: int
    newest_id: int
    newest_effective_id: int | None
    """of the looks and counts that can be taken back"""
    who: str | None
    time: str
    text: str
    short: str
    """the same in a few characters"""
    found: int
    open_doubts: int
    is_withdrawn: bool
    """nothing of it stands"""
    looks: tuple[LookMade, ...]

    def entries(self) -> tuple[EntryLine, ...]:
        """Every look and count of it, in the order in which they were made."""
        return tuple(line for look in self.looks for line in _lines(look))


def visits_of(looks: Iterable[LookMade]) -> tuple[Visit, ...]:
    """The visits that looks were made in, oldest first."""
    by_round: dict[tuple[date, int], list[LookMade]] = defaultdict(list)
    for look in looks:
        by_round[look.day, look.round_id].append(look)
    found = [_visit(looks) for looks in by_round.values()]
    return tuple(sorted(found, key=lambda visit: (visit.day, visit.newest_id)))


def _time(event: Event) -> str:
    """On the local clock; noon to the second is what was entered without a time."""
    if event.at_seconds is None or event.at_seconds == local_noon(event.day).seconds:
        return ""
    return time_of_day(from_seconds(event.at_seconds).astimezone())


def _visit(looks: Iterable[LookMade]) -> Visit:
    # a look is ordered by the one it replaced
    ordered = sorted(looks, key=lambda look: (look.at_seconds, look.first_number, look.number))
    effective = [look for look in ordered if not look.withdrawn]
    parts, short = _finds(effective)
    signs = [(sign, look) for look in effective for sign in look.signs if not sign.withdrawn]
    short_signs = ", ".join(dict.fromkeys(_sign(sign) for sign, _ in signs))
    at_zones = [_sign_at(sign, look) for sign, look in signs]
    put_off = [put_off_text(said) for look in effective if (said := put_off_by(look))]
    return Visit(
        day=ordered[0].day,
        round_id=ordered[0].round_id,
        newest_id=max(look.number for look in ordered),
        newest_effective_id=max(_effective_ids(effective), default=None),
        who=ordered[0].who,
        time=_time(ordered[0]),
        text=words.say("forms.and").join(
            [*(parts or _seen(effective, put_off)), *at_zones, *put_off[-1:]]
        ),
        short=short or short_signs or _nothing(effective, short=True),
        found=sum(look.found for look in effective),
        open_doubts=sum(look.counted("doubtful") for look in effective),
        is_withdrawn=not effective,
        looks=tuple(ordered),
    )


def _effective_ids(looks: Iterable[LookMade]) -> Iterator[int]:
    """Ids of the entries that can be taken back; a look in progress cannot."""
    for look in looks:
        entered: tuple[Event, ...] = (look, *look.tallies, *look.signs)
        yield from (event.number for event in entered if event.state == "stands")


def _sign(sign: SignMade) -> str:
    return words.say(f"bench.signs.{sign.sign}")


def _sign_at(sign: SignMade, look: LookMade) -> str:
    """A sign with its zone in words: ants at axils."""
    return words.say("bench.sign-at", sign=_sign(sign), zone=_zone_name(look.zone))


def _finds(looks: Iterable[LookMade]) -> tuple[list[str], str]:
    """What was counted at each zone; and on all of it together."""
    by_zone: dict[str, Counts] = defaultdict(Counter)
    for look in looks:
        for tally in look.tallies:
            if tally.counts_as is not None:
                pest = "" if tally.is_of_first_pest else tally.pest
                by_zone[look.zone][pest, tally.counts_as] += tally.count
    at_zones = [
        _at(_all_counted(counts), zone) for zone, counts in by_zone.items() if counts.total()
    ]
    return at_zones, _all_counted(sum(by_zone.values(), Counter()))


Counts = Counter[tuple[str, str]]
"""Counts by pest, empty for the first of the plant, and by kind."""


def _all_counted(counts: Counts) -> str:
    """Counts in words: 2 off, 1 left there; those of other pests than the first by their names."""
    found = []
    for pest in sorted({pest for pest, _ in counts}):
        of = ", ".join(_counted(kind, counts[pest, kind]) for kind in KINDS if counts[pest, kind])
        if of:
            found.append(words.say("round.of-pest", what=of, pest=pest_name(pest)) if pest else of)
    return ", ".join(found)


def _seen(looks: Sequence[LookMade], put_off: Sequence[str]) -> list[str]:
    """How much was looked at; left out where nothing was, as the plant was put off."""
    if put_off and all(look.outcome != "looked" for look in looks):
        return []
    return [_nothing(looks)]


def _nothing(looks: Sequence[LookMade], *, short: bool = False) -> str:
    """A visit without a standing count in words: how much was looked at."""
    if not looks:
        return words.say("plant.visit.taken-back")
    seen = {look.zone for look in looks if look.outcome == "looked"}
    if not seen:
        return words.say("plant.visit.not-seen")
    if short:
        return words.say("plant.visit.nothing")
    seconds = minutes_seconds(sum(look.seconds for look in looks))
    code = "one-zone" if len(seen) == 1 else "zones"
    zone = _zone_name(min(seen))
    return words.say(f"plant.visit.{code}", zones=len(seen), zone=zone, seconds=seconds)


def _lines(look: LookMade) -> Iterator[EntryLine]:
    """The look, then its counts in the order in which they were made, then its signs."""
    yield EntryLine(
        event=look,
        kind="look",
        zone=look.zone,
        text=_look_text(look),
        at_zone=_look_text(look, at_zone=True),
    )
    for tally in sorted(look.tallies, key=lambda tally: (tally.at_seconds, tally.number)):
        what = _counted(tally.kind, tally.count)
        yield EntryLine(
            event=tally,
            kind="tally",
            zone=look.zone,
            text=_told(what, tally),
            at_zone=_told(_at(what, look.zone), tally),
            is_find=tally.kind in LIVE_KINDS or tally.settled_as == "alive",
            is_doubt=tally.kind == "doubtful",
            settled_as=tally.settled_as,
        )
    for sign in look.signs:
        yield EntryLine(
            event=sign, kind="sign", zone=look.zone, text=_sign(sign), at_zone=_sign_at(sign, look)
        )


def _counted(kind: str, count: int) -> str:
    """One count in words: 2 off."""
    return words.say("plant.entry.counted", count=count, kind=words.say(f"round.kinds.{kind}"))


def _at(what: str, zone: str) -> str:
    return words.say("plant.entry.at", what=what, zone=_zone_name(zone))


def _told(what: str, tally: TallyEntered) -> str:
    """A count with its stage; and its pest, where that is not the first of its plant."""
    if tally.stage is not None:
        name = words.say(f"desk_forms.stages.{tally.stage}")
        what = words.say("plant.entry.staged", what=what, stage=name)
    if tally.is_of_first_pest:
        return what
    return words.say("round.of-pest", what=what, pest=pest_name(tally.pest))


def _look_text(look: LookMade, *, at_zone: bool = False) -> str:
    """A look in words: nothing, 0:25; hidden: too dark; with its zone: nothing at axils, 0:25."""
    put_off = put_off_by(look)
    if put_off is not None:
        return put_off_text(put_off)
    code, reason = _outcome(look), look.reason or ""
    because = words.section("plant.hidden").get(reason, reason)
    text = words.say(
        f"plant.look-at.{code}" if at_zone else f"plant.look.{code}",
        zone=_zone_name(look.zone),
        seconds=minutes_seconds(look.seconds),
        because=because,
    )
    if reason == ZONE_NOT_SAID:
        text = words.say("plant.entry.zone-not-said", what=text)
    return words.say("plant.entry.unpotted", what=text) if look.unpotted else text


def _outcome(look: LookMade) -> str:
    if look.outcome == "cannot-see":
        return "hidden-because" if look.reason not in (None, "", NO_REASON) else "hidden"
    if look.outcome == "partial":
        return "partial"
    # its counts may now belong to the look that replaced it
    held = look.withdrawn or any(not tally.withdrawn for tally in look.tallies)
    return "counted" if held else "nothing"


def _zone_name(zone: str) -> str:
    return words.say(f"zones.{zone}.name")

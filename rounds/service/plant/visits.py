"""The looks at one plant, gathered by the round they were made in: what was seen that time."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from rounds import words
from rounds.clock import from_seconds
from rounds.core.log.effective import Standing, first_entered
from rounds.core.log.entries import LIVE_KINDS, Look, OpenLook, Sign
from rounds.service.entries.looks import KINDS
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.history import LookMade, TallyEntered, looks_made
from rounds.service.plant.record import PlantRecord
from rounds.service.round.reasons import NO_REASON, ZONE_NOT_SAID
from rounds.words.forms import minutes_seconds, time_of_day

State = Literal["stands", "open", "taken-back", "corrected", "reopened"]
"""`open`: a look still in progress, which its round corrects."""


@dataclass(frozen=True, slots=True)
class EntryLine:
    """A look, or one count of it, in words. `settled_as` is of a doubt alone, None while open."""

    id: str
    kind: Literal["look", "tally", "sign"]
    zone: str
    text: str
    """2 off, adult"""
    at_zone: str
    """2 off at axils, adult"""
    state: State
    is_find: bool
    is_doubt: bool
    settled_as: str | None
    time: str
    """of the local clock; empty where it was entered without one"""

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
    newest_standing_id: int | None
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
    _looks: tuple[LookMade, ...]
    _reader: "_Reader"

    def entries(self) -> tuple[EntryLine, ...]:
        """Every look and count of it, in the order in which they were made."""
        return tuple(line for look in self._looks for line in _lines(self._reader, look))


def visits_of(record: PlantRecord, before: tuple[date, int] | None = None) -> tuple[Visit, ...]:
    """Every visit up to the day of the record, oldest first.

    Args:
        record: of the plant.
        before: only looks of days before one, and those of that day made before an entry.
    """
    reader = _Reader(record)
    by_round: dict[tuple[date, int], list[LookMade]] = defaultdict(list)
    for look in looks_made(record):
        if before is not None and (look.day, reader.first_id(look)) >= before:
            continue
        by_round[look.day, reader.entered(look).round_id].append(look)
    found = [_visit(reader, looks) for looks in by_round.values()]
    return tuple(sorted(found, key=lambda visit: (visit.day, visit.newest_id)))


class _Reader:
    """What the history leaves out: instants, rounds, and why an entry does not stand."""

    def __init__(self, record: PlantRecord) -> None:
        entries = record.entries
        self._standing = Standing(w for w in entries.withdrawals if w.day <= record.on)
        self._looks: dict[int, Look | OpenLook] = {
            **{look.id: look for look in entries.open_looks},
            **{look.id: look for look in entries.looks},
        }
        self._at_ms = {tally.id: tally.at_ms for tally in entries.tallies}
        self._signs = entries.signs
        self._first = first_entered(entries)

    def entered(self, look: LookMade) -> Look | OpenLook:
        """The look as it was entered."""
        return self._looks[entry_id(look.id)]

    def place_in_line(self, look: LookMade) -> tuple[int, int, int]:
        """A look stands where the one stood whose place it took."""
        return self.entered(look).began_at, self.first_id(look), entry_id(look.id)

    def first_id(self, look: LookMade) -> int:
        """Of the look that was entered first in whose place it stands: its own, mostly."""
        return self._first(entry_id(look.id))

    def state(self, name: str, *, is_withdrawn: bool) -> State:
        """Whether it stands, and why not."""
        own = entry_id(name)
        if not is_withdrawn:
            return "open" if isinstance(self._looks.get(own), OpenLook) else "stands"
        against = self._standing.against(own)
        # a tally goes with its look
        why = against.why if against else "taken-back"
        return why if why in ("corrected", "reopened") else "taken-back"  # type: ignore[return-value]

    def look_time(self, look: LookMade) -> str:
        """When it was begun."""
        return _time(look.day, self.entered(look).began_at)

    def tally_time(self, look: LookMade, tally: TallyEntered) -> str:
        """When it was counted."""
        return _time(look.day, self._at_ms[entry_id(tally.id)] / 1000)

    def signs(self, look: LookMade) -> list[Sign]:
        """The signs that were seen at it, those taken back too, in the order they were made."""
        own = entry_id(look.id)
        signs = [sign for sign in self._signs if self._holds(sign) == own]
        return sorted(signs, key=lambda sign: sign.id)

    def stands(self, sign: Sign) -> bool:
        """Whether a sign counts."""
        return self._standing.stands(sign.id) and self._standing.heir(sign.look_id) is not None

    def _holds(self, sign: Sign) -> int:
        return self._standing.holder(sign.look_id, self._looks)

    def reason(self, look: LookMade) -> str | None:
        """Why it could not be seen."""
        entered = self.entered(look)
        return entered.reason if isinstance(entered, Look) else None

    def counted(self, look: LookMade) -> list[TallyEntered]:
        """Its counts in the order in which they were made."""
        by_time = [(self._at_ms[entry_id(t.id)], entry_id(t.id), t) for t in look.tallies]
        return [tally for _, _, tally in sorted(by_time, key=lambda timed: timed[:2])]


def entry_id(name: str) -> int:
    """The number within an entry's name."""
    return int(name.rpartition("-")[2])


def _time(day: date, seconds: float) -> str:
    """Noon to the second is what was entered without a time."""
    return (
        ""
        if seconds == local_noon(day).seconds
        else time_of_day(from_seconds(seconds).astimezone())
    )


def _visit(reader: _Reader, looks: list[LookMade]) -> Visit:
    ordered = sorted(looks, key=reader.place_in_line)
    standing = [look for look in ordered if not look.withdrawn]
    parts, short = _finds(standing)
    signs = _signs(reader, standing)
    return Visit(
        day=ordered[0].day,
        round_id=reader.entered(ordered[0]).round_id,
        newest_id=max(entry_id(look.id) for look in ordered),
        newest_standing_id=max(_standing_ids(reader, standing), default=None),
        who=ordered[0].who,
        time=reader.look_time(ordered[0]),
        text=words.say("forms.and").join([*(parts or [_nothing(standing)]), *signs]),
        short=short or _short_signs(reader, standing) or _nothing(standing, short=True),
        found=sum(look.found for look in standing),
        open_doubts=sum(look.doubtful for look in standing),
        is_withdrawn=not standing,
        _looks=tuple(ordered),
        _reader=reader,
    )


def _standing_ids(reader: _Reader, looks: Iterable[LookMade]) -> Iterable[int]:
    for look in looks:
        if isinstance(reader.entered(look), Look):
            yield entry_id(look.id)
        yield from (entry_id(tally.id) for tally in look.tallies if not tally.withdrawn)
        yield from (sign.id for sign in reader.signs(look) if reader.stands(sign))


def _signs(reader: _Reader, looks: Iterable[LookMade]) -> list[str]:
    """ants at axils."""
    return [
        words.say("bench.sign-at", sign=_sign(sign), zone=_zone_name(look.zone))
        for look in looks
        for sign in reader.signs(look)
        if reader.stands(sign)
    ]


def _short_signs(reader: _Reader, looks: Iterable[LookMade]) -> str:
    """ants, soot."""
    seen = [_sign(s) for look in looks for s in reader.signs(look) if reader.stands(s)]
    return ", ".join(dict.fromkeys(seen))


def _sign(sign: Sign) -> str:
    return words.say(f"bench.signs.{sign.kind}")


def _finds(looks: Iterable[LookMade]) -> tuple[list[str], str]:
    """What was counted at each zone; and on all of it together."""
    by_zone: dict[str, Counter[str]] = defaultdict(Counter)
    for look in looks:
        for kind in KINDS:
            by_zone[look.zone][kind] += getattr(look, kind)
    at_zones = [
        _at(_all_counted(counts), zone) for zone, counts in by_zone.items() if counts.total()
    ]
    return at_zones, _all_counted(sum(by_zone.values(), Counter()))


def _all_counted(counts: Counter[str]) -> str:
    """2 off, 1 left there."""
    return ", ".join(counted(kind, counts[kind]) for kind in KINDS if counts[kind])


def _nothing(looks: Sequence[LookMade], *, short: bool = False) -> str:
    """Of a visit without a count that stands: how much was looked at."""
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


def _lines(reader: _Reader, look: LookMade) -> Iterable[EntryLine]:
    reason = reader.reason(look)
    yield EntryLine(
        id=look.id,
        kind="look",
        zone=look.zone,
        text=look_text(look, reason),
        at_zone=look_text(look, reason, at_zone=True),
        state=reader.state(look.id, is_withdrawn=look.withdrawn),
        is_find=False,
        is_doubt=False,
        settled_as=None,
        time=reader.look_time(look),
    )
    for tally in reader.counted(look):
        what = counted(tally.kind, tally.count)
        yield EntryLine(
            id=tally.id,
            kind="tally",
            zone=look.zone,
            text=_staged(what, tally.stage),
            at_zone=_staged(_at(what, look.zone), tally.stage),
            state=reader.state(tally.id, is_withdrawn=tally.withdrawn),
            is_find=tally.kind in LIVE_KINDS or tally.settled_as == "alive",
            is_doubt=tally.kind == "doubtful",
            settled_as=tally.settled_as,
            time=reader.tally_time(look, tally),
        )
    for sign in reader.signs(look):
        yield _sign_line(reader, look, sign)


def _sign_line(reader: _Reader, look: LookMade, sign: Sign) -> EntryLine:
    name = str(EntryName("sign", sign.day, sign.plant_id, sign.id))
    return EntryLine(
        id=name,
        kind="sign",
        zone=look.zone,
        text=_sign(sign),
        at_zone=words.say("bench.sign-at", sign=_sign(sign), zone=_zone_name(look.zone)),
        state=reader.state(name, is_withdrawn=not reader.stands(sign)),
        is_find=False,
        is_doubt=False,
        settled_as=None,
        time=_time(sign.day, sign.at_ms / 1000),
    )


def counted(kind: str, count: int) -> str:
    """2 off."""
    return words.say("plant.entry.counted", count=count, kind=words.say(f"round.kinds.{kind}"))


def _at(what: str, zone: str) -> str:
    return words.say("plant.entry.at", what=what, zone=_zone_name(zone))


def _staged(what: str, stage: str | None) -> str:
    if stage is None:
        return what
    name = words.say(f"desk_forms.stages.{stage}")
    return words.say("plant.entry.staged", what=what, stage=name)


def look_text(look: LookMade, reason: str | None, *, at_zone: bool = False) -> str:
    """nothing, 0:25; hidden: too dark; and with its zone, nothing at axils, 0:25."""
    code = _outcome(look, reason)
    because = words.section("plant.hidden").get(reason or "", reason or "")
    text = words.say(
        f"plant.look-at.{code}" if at_zone else f"plant.look.{code}",
        zone=_zone_name(look.zone),
        seconds=minutes_seconds(look.seconds),
        because=because,
    )
    if reason == ZONE_NOT_SAID:
        text = words.say("plant.entry.zone-not-said", what=text)
    return words.say("plant.entry.unpotted", what=text) if look.unpotted else text


def _outcome(look: LookMade, reason: str | None) -> str:
    if look.outcome == "cannot-see":
        return "hidden-because" if reason and reason != NO_REASON else "hidden"
    if look.outcome == "partial":
        return "partial"
    # what was counted may have gone on to the look in its place
    held = look.withdrawn or any(not tally.withdrawn for tally in look.tallies)
    return "counted" if held else "nothing"


def _zone_name(zone: str) -> str:
    return words.say(f"zones.{zone}.name")

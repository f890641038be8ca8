"""Whether to take a delivery: what was found on those opened, what they are worth, the room."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from rounds import words
from rounds.core.body import MEDIUM, ROOTS
from rounds.core.collection import Place
from rounds.core.parameters import Deliveries
from rounds.service.arrival.opening import Opening
from rounds.service.plant.reasons import Reason, fully_checked_on
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import in_100, number

VerdictCode = Literal["leave", "quarantine", "quarantine-and-course"]
LEAVE: VerdictCode = "leave"
KEEP_APART: VerdictCode = "quarantine"
WITH_COURSE: VerdictCode = "quarantine-and-course"

BREEDING = ("adult", "eggs", "egg-mass")
IN_POT = (ROOTS, MEDIUM)


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen on the plants of a delivery that were opened."""

    opened: int
    briefly: int
    """of those, looked at too briefly to be fully checked, with nothing found: they tell little"""
    is_entered: bool
    """the looks at them are in the log"""
    infested: int
    """plants on which something alive was found"""
    found: int
    most_on_one: int
    doubts: int
    stages: frozenset[str | None]
    """recorded of what was found"""
    zones: frozenset[str]
    """where it was found"""
    clean_unopened: float | None
    """chance clean of one that was not opened; None where all were"""

    @property
    def telling(self) -> int:
        """How many tell what a full look does."""
        return self.opened - self.briefly


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is advised, and why."""

    code: VerdictCode
    reasons: tuple[Reason, ...]


def seen_on(records: Sequence[PlantRecord], opened: int, units: int) -> Seen:
    """What the log says of the plants of a delivery.

    Args:
        records: of those that are entered.
        opened: how many were opened, as far as that was said.
        units: how many came.
    """
    looked = [record for record in records if record.log]
    live = [
        (record.plant.id, look.zone, tally.stage, tally.count)
        for record in looked
        for look in record.log
        for tally in look.tallies
        if tally.is_live
    ]
    on_each: dict[int, int] = {}
    for plant_id, _, _, count in live:
        on_each[plant_id] = on_each.get(plant_id, 0) + count
    unopened = next((record for record in records if not record.log), None)
    is_any_left = max(opened, len(looked)) < units
    is_full = [fully_checked_on(r) is not None or r.plant.id in on_each for r in looked]
    return Seen(
        opened=max(opened, len(looked)),
        briefly=is_full.count(False),
        is_entered=bool(looked),
        infested=len(on_each),
        found=sum(on_each.values()),
        most_on_one=max(on_each.values(), default=0),
        doubts=sum(doubt.count for record in looked for doubt in record.open_doubts),
        stages=frozenset(stage for _, _, stage, _ in live),
        zones=frozenset(zone for _, zone, _, _ in live),
        clean_unopened=unopened.likely.chance_clean if unopened and is_any_left else None,
    )


def verdict_of(
    seen: Seen, opening: Opening, rules: Deliveries, value: float, room: Place | None, on: date
) -> Verdict:
    """What is advised about a delivery, with the reasons, the weightiest first.

    Args:
        seen: on those opened.
        opening: how many were to be opened.
        rules: what counts as much.
        value: what one of the plants is worth to the grower.
        room: the place they would go to; None where none is known.
        on: the day.
    """
    against = list(_against(seen, rules))
    is_too_much = len(against) >= rules.against * value
    has_room = room is not None and room.apart(on)
    if seen.found and (not has_room or is_too_much):
        code = LEAVE
    elif against or seen.found > rules.few:
        code = WITH_COURSE
    else:
        code = KEEP_APART
    reasons = [
        *_found(seen),
        *against,
        *_worth(len(against), is_too_much, rules, value),
        *_told(seen, opening),
        *_unopened(seen, opening),
        _room(room, on),
    ]
    return Verdict(code, tuple(reasons))


def _found(seen: Seen) -> Iterator[Reason]:
    if seen.found:
        which = "found-one" if seen.infested == 1 else "found"
        yield _reason(which, "found", infested=seen.infested, opened=seen.opened, found=seen.found)
    elif not seen.opened:
        yield _reason("none-opened")
    elif not seen.is_entered:
        yield _reason("not-entered", opened=seen.opened)
    else:
        yield _reason("nothing-found", opened=seen.opened)
    if seen.doubts:
        yield _reason("unsure", doubts=seen.doubts)


def _against(seen: Seen, rules: Deliveries) -> Iterator[Reason]:
    """What speaks against taking them; each counts once."""
    if seen.most_on_one >= rules.many:
        yield _reason("many", most=seen.most_on_one)
    is_told = seen.opened >= rules.widespread_from
    if is_told and seen.infested >= rules.widespread * seen.opened:
        yield _reason("widespread", infested=seen.infested, opened=seen.opened)
    if seen.stages & set(BREEDING):
        yield _reason("breeding")
    if seen.zones & set(IN_POT):
        yield _reason("in-pot")


def _worth(against: int, is_too_much: bool, rules: Deliveries, value: float) -> Iterator[Reason]:
    if is_too_much:
        yield _reason("not-worth-it", value=number(value))
    elif against >= rules.against:
        yield _reason("worth-it", value=number(value))


def _told(seen: Seen, opening: Opening) -> Iterator[Reason]:
    """What opening so many tells, or would."""
    shows = {"infested": opening.infested_units, "units": opening.units}
    if not opening.is_enough:
        yield _reason("not-even-all", told=in_100(opening.told_by(opening.units)), **shows)
    elif seen.opened:
        code = "enough-opened" if seen.telling >= opening.open_units else "too-few-opened"
        yield _reason(
            f"{code}-briefly" if seen.briefly else code,
            code,
            told=in_100(opening.told_by(min(seen.telling, opening.units))),
            opened=seen.telling,
            briefly=seen.briefly,
            wanted=opening.open_units,
            **shows,
        )


def _unopened(seen: Seen, opening: Opening) -> Iterator[Reason]:
    if seen.opened >= opening.units:
        return
    chance = opening.clean_unseen if seen.clean_unopened is None else seen.clean_unopened
    yield _reason("unopened", chance=in_100(chance))


def _room(room: Place | None, on: date) -> Reason:
    if room is None:
        return _reason("no-room")
    return _reason("room" if room.apart(on) else "room-not-apart", place=room.name)


def _reason(sentence: str, code: str | None = None, /, **values: object) -> Reason:
    return Reason(code or sentence, words.say(f"arrival.reasons.{sentence}", **values))

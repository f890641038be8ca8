"""Take back the newest entry of a round: a count, a stage, an answer, the closing of a zone."""

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.collection import Period
from rounds.core.log.effective import Standing, StandingLook, StandingSign, StandingTally
from rounds.core.log.entries import VERDICTS, OpenLook, StageGiven, Withdrawal
from rounds.service.entries.record_corrections import withdraw_said
from rounds.service.entries.walked import OPENED, looks_of
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import now
from rounds.service.round import whole_plant
from rounds.service.round.questions import ask_about_burst
from rounds.service.round.reasons import REOPENED, REST_OF_PLANT, TAKEN_BACK
from rounds.service.round.view import Question
from rounds.store import log, walks

if TYPE_CHECKING:
    from rounds.service.round.walk import RoundWalk

HELD_KEY_MS = 100
"""Presses closer together than this come from a key held down, not from a finger."""

HELD_KEY_LEAST = 4


@dataclass(frozen=True, slots=True)
class Newest:
    """The newest entry at the zone at hand, and the tallies of its burst if it is one."""

    entry: StandingTally | StandingSign | StageGiven | Withdrawal | Period
    burst: tuple[StandingTally, ...] = ()


def newest(walk: "RoundWalk", *, whole_burst: bool) -> str:
    """Take the newest entry back, or the whole burst it belongs to; says what went."""
    found = _newest_here(walk)
    if found is None:
        return _reopen_newest(walk)
    if whole_burst and found.burst:
        _withdraw(walk, *[(tally.id, walk.walk.day) for tally in found.burst])
        count = sum(tally.count for tally in found.burst)
        return _said_tally(walk, found.burst[0].kind, count)
    if isinstance(found.entry, StandingTally):
        _withdraw(walk, (found.entry.id, walk.walk.day))
        return _said_tally(walk, found.entry.kind, found.entry.count)
    if isinstance(found.entry, StandingSign):
        _withdraw(walk, (found.entry.id, walk.walk.day))
        return _said_sign(walk, found.entry)
    if isinstance(found.entry, Period):
        return _take_apart_back(walk, found.entry)
    _withdraw(walk, (found.entry.id, found.entry.day))
    if isinstance(found.entry, StageGiven):
        stage = words.say(f"round.stages.{found.entry.stage}")
        return words.say("round.said.took-stage", stage=stage)
    return words.say("round.said.took-answer")


def burst(walk: "RoundWalk") -> Question | None:
    """The question whether a burst from a held key goes as one, if the newest entry ends one."""
    found = _newest_here(walk)
    if found is None or len(found.burst) < HELD_KEY_LEAST:
        return None
    # newest first
    seconds = (found.burst[0].at_ms - found.burst[-1].at_ms) / 1000
    count = sum(tally.count for tally in found.burst)
    return ask_about_burst(count, found.burst[0].kind, seconds)


def _newest_here(walk: "RoundWalk") -> Newest | None:
    """The newest entry that belongs to the open look."""
    if walk.opened is None:
        return None
    plant, opened = walk.plant, walk.opened
    tallies = [t for look in plant.today if look.id == opened.id for t in look.tallies]
    own = {tally.id for tally in tallies}
    standing = Standing(plant.today_entries.withdrawals)
    stages = [
        given
        for given in plant.today_entries.stages
        if given.tally_id in own and standing.stands(given.id)
    ]
    entries: list[StandingTally | StandingSign | StageGiven | Withdrawal | Period] = [
        *tallies,
        *stages,
        *(sign for look in plant.today if look.id == opened.id for sign in look.signs),
        *_answers(walk, opened),
        *_put_apart(walk, opened),
    ]
    if not entries:
        return None
    last = max(entries, key=lambda entry: entry.id)
    return Newest(last, _burst_before(tallies) if isinstance(last, StandingTally) else ())


def _opened_first(walk: "RoundWalk", opened: OpenLook) -> int:
    """The id under which this zone was opened, or opened for the first time."""
    standing_today = Standing(walk.plant.today_entries.withdrawals)
    before = [
        look.id
        for look in walk.plant.today_entries.looks
        if standing_today.heir(look.id) == opened.id
    ]
    return min([opened.id, *before])


def _put_apart(walk: "RoundWalk", opened: OpenLook) -> list[Period]:
    """That the plant was put apart while this zone was open."""
    first = _opened_first(walk, opened)
    return [
        period for period in walk.plant.plant.periods if period.is_put_apart and period.id > first
    ]


def _take_apart_back(walk: "RoundWalk", period: Period) -> str:
    plant = walk.plant.plant
    name = EntryName("apart", period.began_on, plant.id, period.id)
    with walk.logbook.file.writing():
        walk.note_seconds()
        withdraw_said(walk.logbook, now(walk.logbook.clock), name, plant)
    walk.plant.reload()
    return words.say("round.said.took-apart", code=walk.plant.plant.code)


def _answers(walk: "RoundWalk", opened: OpenLook) -> list[Withdrawal]:
    """Doubts settled while this zone was open; one that was opened again, from its first time."""
    first = _opened_first(walk, opened)
    corrections = walk.plant.record.entries.withdrawals
    standing = Standing(corrections)
    zone_of = {t.id: look.zone for look in walk.plant.past for t in look.tallies}
    return [
        entry
        for entry in corrections
        if entry.why in VERDICTS
        and entry.id > first
        and standing.stands(entry.id)
        and zone_of.get(entry.target_id) in walk.zones_at_hand()
    ]


def _burst_before(tallies: list[StandingTally]) -> tuple[StandingTally, ...]:
    """The newest tally and those before it that the same held key made, newest first."""
    newest_first = sorted(tallies, key=lambda tally: tally.id, reverse=True)
    found = newest_first[:1]
    for tally in newest_first[1:]:
        last = found[-1]
        if tally.kind != last.kind or last.at_ms - tally.at_ms > HELD_KEY_MS:
            break
        found.append(tally)
    return tuple(found)


def _withdraw(walk: "RoundWalk", *targets: tuple[int, date]) -> None:
    with walk.logbook.file.writing():
        walk.note_seconds()
        for target_id, day in targets:
            _append(walk, walk.plant.plant.id, target_id, day)
    # a count of today that the record was read with would stay in it
    read = {tally.id for look in walk.plant.record.log for tally in look.tallies}
    if all(day == walk.walk.day and target_id not in read for target_id, day in targets):
        walk.plant.refresh()
    else:
        walk.plant.reload()


def _append(
    walk: "RoundWalk", plant_id: int, target_id: int, day: date, heir: int | None = None
) -> None:
    log.append_withdrawal(
        walk.logbook.file,
        Withdrawal(
            id=walk.logbook.file.next_id(),
            day=day,
            plant_id=plant_id,
            target_id=target_id,
            at_ms=now(walk.logbook.clock).at_ms,
            why=TAKEN_BACK if heir is None else REOPENED,
            replaced_by=heir,
        ),
    )


def _said_tally(walk: "RoundWalk", kind: str, count: int) -> str:
    if walk.is_whole:
        said = words.say("plant.entry.counted", count=count, kind=words.say(f"round.kinds.{kind}"))
        return words.say("bench.took-seen", seen=said)
    return words.say(
        "round.said.took-count",
        kind=words.say(f"round.kinds.{kind}"),
        count=count,
        zone=words.say(f"zones.{walk.step.zone}.name"),
    )


def _said_sign(walk: "RoundWalk", sign: StandingSign) -> str:
    if walk.is_whole:
        return words.say("bench.took-seen", seen=words.say(f"bench.signs.{sign.kind}"))
    zone = words.say(f"zones.{walk.step.zone}.name")
    return words.say("bench.took-sign", sign=words.say(f"bench.signs.{sign.kind}"), zone=zone)


def _reopen_newest(walk: "RoundWalk") -> str:
    """Open the zone again that was closed last; the looks of a rest of a plant go together."""
    planned = {(step.plant_id, step.zone) for step in walk.steps}
    looks = [
        (plant_id, look)
        for plant_id, found in looks_of(walk.logbook, walk.walk).items()
        for look in found
        if (plant_id, look.zone) in planned
    ]
    if not looks:
        return words.say("round.said.nothing-to-take")
    plant_id, last = max(looks, key=lambda pair: pair[1].id)
    batch = [look for owner, look in looks if owner == plant_id and _together(look, last)]
    _reopen(walk, plant_id, sorted(batch, key=lambda look: look.id))
    return words.say("round.said.reopened", zone=words.say(f"zones.{walk.step.zone}.name"))


def _together(look: StandingLook, last: StandingLook) -> bool:
    if last.reason not in (REST_OF_PLANT, OPENED):
        return look.id == last.id
    return look.reason == last.reason and look.began_at == last.began_at


def _reopen(walk: "RoundWalk", plant_id: int, batch: list[StandingLook]) -> None:
    first, others = batch[0], batch[1:]
    file = walk.logbook.file
    with file.writing():
        walk.check_mine()
        walk.heard()
        seconds = sum(look.seconds for look in batch)
        if first.reason == OPENED and walk.opened is not None:
            # the zone of the find goes back into the whole plant
            seconds += walk.opened.seconds
        opened = OpenLook(
            id=file.next_id(),
            day=first.day,
            plant_id=plant_id,
            zone=first.zone,
            round_id=first.round_id,
            began_at=first.began_at,
            seconds=seconds,
        )
        _append(walk, plant_id, first.id, first.day, heir=opened.id)
        for look in others:
            _append(walk, plant_id, look.id, look.day)
        if first.reason == OPENED:
            whole_plant.close_again(walk, plant_id)
            opened = replace(opened, zone=whole_plant.first_zone(walk, plant_id))
        log.put_open_look(file, opened)
        if walk.stage == "end":
            walks.reopen_round(file, walk.walk.id)
    walk.stand_in(opened)

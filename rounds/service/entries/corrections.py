"""Correct what was entered: take it back, put another in its place, settle a doubt or reopen it.

Nothing is overwritten. Each correction is a withdrawal that carries the day of what it corrects.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rounds.core.collection import CLEANED, Plant
from rounds.core.log.effective import Corrections
from rounds.core.log.entries import VERDICTS, Look, PlantEntries, Sign, Tally, Withdrawal
from rounds.errors import BadInput, Refused
from rounds.service.collection.away_entry import withdraw_away
from rounds.service.courses.written import withdraw_course
from rounds.service.entries.looks import KINDS, LONGEST_SECONDS, MOST_COUNTED, STAGES, check_stage
from rounds.service.entries.record_corrections import withdraw_said
from rounds.service.entries.value_changes import withdraw_change
from rounds.service.exposure.cleaning import withdraw_cleaned
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import (
    ARRIVAL,
    OF_COURSES,
    SAID_OF_A_PLANT,
    EntryName,
    read_entry_name,
)
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import check_zone
from rounds.store import log

TAKEN_BACK, CORRECTED = "taken-back", "corrected"


@dataclass(frozen=True, slots=True)
class _Target:
    """The entry a correction is about, among all entries of its day."""

    name: EntryName
    plant: Plant
    entries: PlantEntries
    corrections: Corrections

    def look(self) -> Look:
        return next(look for look in self.entries.looks if look.id == self.name.entry_id)

    def tally(self) -> Tally:
        return next(tally for tally in self.entries.tallies if tally.id == self.name.entry_id)

    def sign(self) -> Sign:
        return next(sign for sign in self.entries.signs if sign.id == self.name.entry_id)

    def counts(self) -> bool:
        """Whether it stands; of a tally also whether a look that stands holds it."""
        if not self.corrections.stands(self.name.entry_id):
            return False
        if self.name.kind == "look":
            return True
        look_id = self.tally().look_id if self.name.kind == "tally" else self.sign().look_id
        return self.corrections.heir(look_id) is not None


def withdraw(
    logbook: Logbook, moment: Moment, text: str, why: str | None = None
) -> tuple[list[str], Plant | None]:
    """Take an entry back: a look with its tallies, a tally, a sign, a move, a day's temperatures,
    days away, a changed value, a cleaning, a course of treatment, that a step of it was done or
    that it was stopped; that a plant was put apart or on watch, its quarantine ended, that it is
    gone.

    The correction belongs to the day of what it corrects. Of a look or tally that was put in the
    place of another, nothing stands afterwards: the other does not come back, as it was wrong
    too. The plant is None for temperatures, days away, values and cleanings.
    """
    name = read_entry_name(text)
    with logbook.file.writing():
        if name.kind == "weather":
            return _withdraw_weather(logbook, moment, name, why), None
        if name.kind == "away":
            return withdraw_away(logbook, moment, name, why), None
        if name.kind == CLEANED:
            return withdraw_cleaned(logbook, moment, name, why), None
        if name.kind == "value":
            return withdraw_change(logbook, moment, name, why), None
        if name.kind == ARRIVAL:
            raise Refused("apart-arrived", code=_owner(logbook, name).code, field="entry")
        if name.kind == "move":
            plant = _owner(logbook, name)
            return _withdraw_move(logbook, moment, name, plant, why), plant
        if name.kind in OF_COURSES:
            plant = _owner(logbook, name)
            withdraw_course(logbook, moment, name, plant, why)
            return [str(name)], logbook.collection().plants[plant.id]
        if name.kind in SAID_OF_A_PLANT:
            plant = _owner(logbook, name)
            withdraw_said(logbook, moment, name, plant, why)
            return [str(name)], logbook.collection().plants[plant.id]
        target = _effective_target(logbook, name)
        _append(logbook, moment, name, target.plant.id, TAKEN_BACK, note=why)
        return [str(name), *_tallies_of(target)], target.plant


def replace_tally(
    logbook: Logbook, moment: Moment, entry: str, *, kind: str, count: int, stage: str | None
) -> str:
    """Put another count in the place of one; its id.

    Day, look, pest and instant stay, and so does what a doubt was settled as. Refused where the
    entry does not stand; BadInput for a kind, count or stage that cannot be.
    """
    _check_allowed(kind, KINDS, "kind")
    if stage is not None:
        _check_allowed(stage, STAGES, "stage")
    if not 1 <= count <= MOST_COUNTED:
        raise BadInput("no-count", field="count", given=count)
    name = _named(entry, "tally")
    with logbook.file.writing():
        target = _effective_target(logbook, name)
        before = target.tally()
        if stage is not None:
            check_stage(logbook, before.pest, stage, before.day)
        verdict = target.corrections.verdict(before.id) if before.kind == "doubtful" else None
        new = replace(before, id=logbook.file.next_id(), kind=kind, count=count, stage=stage)
        log.append_tally(logbook.file, new)
        _append(logbook, moment, name, target.plant.id, CORRECTED, replaced_by=new.id)
        put = replace(name, entry_id=new.id)
        if verdict is not None and kind == "doubtful":
            _append(logbook, moment, put, target.plant.id, verdict)
    return str(put)


def replace_look(logbook: Logbook, moment: Moment, entry: str, *, zone: str, seconds: float) -> str:
    """Put another look in the place of one; its id.

    Day, round, instant, outcome and note stay, and it keeps the tallies. Refused where the entry
    does not stand; BadInput for seconds that cannot be, or a zone the plant did not have.
    """
    if not 0 <= seconds <= LONGEST_SECONDS:
        raise BadInput("bad-seconds", field="seconds", given=seconds)
    name = _named(entry, "look")
    with logbook.file.writing():
        target = _effective_target(logbook, name)
        before = target.look()
        body = logbook.body_on(target.plant, before.day)(before.day)
        zone = check_zone([z.zone for z in body.zones], zone)
        if before.outcome == "cannot-see" and seconds:
            raise BadInput("cannot-see-with-looking", field="seconds")
        new = replace(
            before,
            id=logbook.file.next_id(),
            zone=zone,
            seconds=seconds,
            # only a look at the roots can be out of the pot
            unpotted=before.unpotted and zone == before.zone,
        )
        log.append_look(logbook.file, new)
        for note in log.notes_of(logbook.file, [before.id]).values():
            log.append_note(logbook.file, new.id, note)
        _append(logbook, moment, name, target.plant.id, CORRECTED, replaced_by=new.id)
    return str(replace(name, entry_id=new.id))


def settle(logbook: Logbook, moment: Moment, text: str, verdict: str) -> tuple[str, Plant]:
    """Say what a doubtful speck turned out to be, as of the day it was seen.

    What was said last holds.
    """
    _check_allowed(verdict, sorted(VERDICTS), "verdict")
    with logbook.file.writing():
        target = _doubt(logbook, text)
        _append(logbook, moment, target.name, target.plant.id, verdict)
    return str(target.name), target.plant


def reopen_doubt(logbook: Logbook, moment: Moment, text: str) -> tuple[str, Plant]:
    """Take back all that was said about a doubtful speck: it is open again."""
    with logbook.file.writing():
        target = _doubt(logbook, text)
        said = [
            entry
            for entry in target.entries.withdrawals
            if entry.target_id == target.name.entry_id
            and entry.why in VERDICTS
            and target.corrections.stands(entry.id)
        ]
        for entry in said:
            verdict = replace(target.name, entry_id=entry.id)
            _append(logbook, moment, verdict, target.plant.id, TAKEN_BACK)
    return str(target.name), target.plant


def _doubt(logbook: Logbook, text: str) -> _Target:
    """A doubtful speck that stands."""
    name = read_entry_name(text)
    if name.kind != "tally":
        raise BadInput("not-a-doubt", field="entry", given=text)
    target = _target(logbook, name)
    if target.tally().kind != "doubtful":
        raise BadInput("not-a-doubt", field="entry", given=text)
    return _if_it_counts(target)


def _named(text: str, kind: str) -> EntryName:
    name = read_entry_name(text)
    if name.kind != kind:
        raise BadInput("unknown-entry", field="entry", given=text)
    return name


def _effective_target(logbook: Logbook, name: EntryName) -> _Target:
    return _if_it_counts(_target(logbook, name))


def _if_it_counts(target: _Target) -> _Target:
    """Return the entry; Refused where it no longer counts."""
    if not target.counts():
        raise Refused("already-withdrawn", entry=str(target.name), field="entry")
    return target


def _target(logbook: Logbook, name: EntryName) -> _Target:
    """A closed look, a tally or a sign. BadInput where there is none of that name."""
    plant = _owner(logbook, name)
    entries = log.entries_of(logbook.file, plant.id, name.day, name.day)
    by_kind: dict[str, Sequence[Look | Tally | Sign]] = {
        "look": entries.looks, "tally": entries.tallies, "sign": entries.signs,
    }  # fmt: skip
    own = {entry.id for entry in by_kind[name.kind]}
    if name.entry_id not in own:
        raise BadInput("unknown-entry", field="entry", given=str(name))
    return _Target(name, plant, entries, Corrections(entries.withdrawals))


def _tallies_of(target: _Target) -> list[str]:
    """The tallies that go with a look."""
    if target.name.kind != "look":
        return []
    return [
        str(EntryName("tally", tally.day, tally.plant_id, tally.id))
        for tally in target.entries.tallies
        if target.corrections.stands(tally.id)
        and target.corrections.heir(tally.look_id) == target.name.entry_id
    ]


def _owner(logbook: Logbook, name: EntryName) -> Plant:
    plant = logbook.collection().plants.get(name.owner_id)
    if plant is None:
        raise BadInput("unknown-entry", field="entry", given=str(name))
    return plant


def _withdraw_weather(
    logbook: Logbook, moment: Moment, name: EntryName, why: str | None
) -> list[str]:
    entered = logbook.collection().weather.get(name.owner_id, {}).get(name.day)
    if entered is None or entered.id != name.entry_id:
        raise BadInput("unknown-entry", field="entry", given=str(name))
    _append(logbook, moment, name, log.OF_A_PLACE, TAKEN_BACK, note=why)
    return [str(name)]


def _withdraw_move(
    logbook: Logbook, moment: Moment, name: EntryName, plant: Plant, why: str | None
) -> list[str]:
    if not any(m.id == name.entry_id and m.day == name.day for m in plant.moves):
        raise BadInput("unknown-entry", field="entry", given=str(name))
    if len(plant.moves) == 1:
        raise Refused("only-move", code=plant.code, field="entry")
    _append(logbook, moment, name, plant.id, log.OF_A_RECORD, note=why)
    return [str(name)]


def _append(
    logbook: Logbook,
    moment: Moment,
    name: EntryName,
    plant_id: int,
    why: str,
    *,
    replaced_by: int | None = None,
    note: str | None = None,
) -> None:
    log.append_withdrawal(
        logbook.file,
        Withdrawal(
            id=logbook.file.next_id(),
            day=name.day,
            plant_id=plant_id,
            target_id=name.entry_id,
            at_ms=moment.at_ms,
            why=why,
            replaced_by=replaced_by,
            note=note,
        ),
    )


def _check_allowed(given: str, allowed: tuple[str, ...] | list[str], field: str) -> None:
    if given not in allowed:
        raise BadInput("not-one-of", field=field, given=given, allowed=", ".join(allowed))

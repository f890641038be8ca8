"""Looks from a file: each row one look at one zone, or at a whole plant."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import get_args

from rounds.core.collection import Plant
from rounds.core.log.entries import Outcome
from rounds.errors import BadInput
from rounds.service.entries.looks import (
    KINDS,
    WHOLE,
    CheckedLook,
    LookEntered,
    LookWritten,
    check_look,
    pest_counted,
    round_of_entries,
    share_seconds,
    write_look,
)
from rounds.service.exchange import cells
from rounds.service.exchange.csv_file import CsvFile, CsvRow
from rounds.service.exchange.trouble import LOOK_COLUMNS, Troubles
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import unknown
from rounds.service.logbook.once import once
from rounds.store import desk
from rounds.store.held import HeldLook, held_looks

OUTCOMES: tuple[str, ...] = get_args(Outcome)

Count = tuple[str, str, str, int]
"""Kind, stage or nothing, pest, how many."""


@dataclass(frozen=True, slots=True)
class Identity:
    """What makes two looks the same one; two of them may still have been made."""

    plant_id: int
    zone: str
    day: str
    at_seconds: int
    """since 1970, UTC"""
    looked_ms: int
    counts: tuple[Count, ...]
    unpotted: bool
    outcome: str
    who: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class Row:
    """One look that may be written."""

    line: int
    key: str | None
    moment: Moment
    plant: Plant
    checked: CheckedLook
    identity: Identity
    """as it stands in the row"""
    looks: tuple[Identity, ...]
    """as it is kept, a look for each zone"""


def import_looks(logbook: Logbook, moment: Moment, file: CsvFile) -> int:
    """Write the looks the logbook does not hold yet; how many were written. InFile for faults.

    A row without key is known when as many identical ones are held as were met before it.
    """
    by_code = {p.code.casefold(): p for p in logbook.collection().plants.values()}
    troubles = Troubles(file.name, LOOK_COLUMNS)
    rows = []
    for row in file.rows:
        with troubles.of_line(row.line):
            rows.append(_read(logbook, moment, by_code, row))
        if troubles.enough:
            break
    troubles.raise_any()
    with logbook.file.writing():
        return _write(logbook, rows, troubles)


def _read(logbook: Logbook, moment: Moment, by_code: Mapping[str, Plant], row: CsvRow) -> Row:
    cells.check_text(row)
    code = row.needed("plant")
    plant = by_code.get(code.casefold())
    if plant is None:
        raise unknown("plant", code, [p.code for p in by_code.values()], "code")
    when = cells.moment(logbook, row, row.cell("who") or moment.who)
    checked = check_look(logbook, plant, when.day, _entered(row))
    identity = _identity(logbook, plant, when, checked)
    return Row(row.line, row.cell("key"), when, plant, checked, identity, _kept(identity, checked))


def _kept(identity: Identity, checked: CheckedLook) -> tuple[Identity, ...]:
    """What is written of a row."""
    shares = share_seconds(checked.zones, checked.entered.seconds)
    return tuple(
        replace(identity, zone=zone, looked_ms=round(seconds * 1000))
        for zone, seconds in shares.items()
    )


def _entered(row: CsvRow) -> LookEntered:
    outcome = row.cell("outcome") or "looked"
    if outcome not in OUTCOMES:
        raise BadInput("not-one-of", field="outcome", given=outcome, allowed=", ".join(OUTCOMES))
    hidden = outcome == "cannot-see"
    zone = row.needed("zone")
    entered = LookEntered(
        zones=() if zone.casefold() == WHOLE else (zone,),
        seconds=(cells.number(row, "seconds") or 0.0)
        if hidden
        else cells.needed_number(row, "seconds"),
        counts={kind: cells.count(row, kind) for kind in KINDS},
        stage=row.cell("stage"),
        unpotted=bool(cells.flag(row, "unpotted")),
        pest=row.cell("pest"),
        note=row.cell("note"),
        outcome=outcome,
    )
    if hidden and (entered.counted or entered.seconds):
        raise BadInput("cannot-see-with-looking", field="outcome")
    return entered


def _write(logbook: Logbook, rows: Sequence[Row], troubles: Troubles) -> int:
    held = _held(logbook, rows)
    rounds = _Rounds(logbook)
    written = 0
    for row in rows:
        if row.key is None and all(held[look] > 0 for look in row.looks):
            held.subtract(row.looks)
        elif row.key is None:
            rounds.write(row)
            written += 1
        else:
            with troubles.of_line(row.line):
                written += _write_keyed(logbook, rounds, row)
    troubles.raise_any()
    return written


def _write_keyed(logbook: Logbook, rounds: "_Rounds", row: Row) -> bool:
    content = {"command": "import", "look": asdict(row.identity)}
    _, known = once(logbook, row.key, content, lambda: asdict(rounds.write(row)))
    return not known


class _Rounds:
    """Writes looks into the rounds that hold what each person imported for a day."""

    def __init__(self, logbook: Logbook) -> None:
        self._logbook = logbook
        self._round_of: dict[tuple[date, str | None], int] = {}

    def write(self, row: Row) -> LookWritten:
        """The look and its counts."""
        holder = (row.moment.day, row.moment.who)
        if holder not in self._round_of:
            self._round_of[holder] = round_of_entries(self._logbook, row.moment, "imported")
        return write_look(self._logbook, row.moment, row.plant, row.checked, self._round_of[holder])


def _held(logbook: Logbook, rows: Sequence[Row]) -> Counter[Identity]:
    """How many of each are held, less those that rows with a known key stand for."""
    days = [row.moment.day for row in rows]
    plants = {row.plant.id for row in rows}
    found = held_looks(logbook.file, plants, min(days), max(days))
    held = Counter(_identity_of_held(look) for look in found)
    for row in rows:
        if row.key is not None and desk.answer_to(logbook.file, row.key) is not None:
            held.subtract(row.looks)
    return held


def _identity(logbook: Logbook, plant: Plant, when: Moment, checked: CheckedLook) -> Identity:
    entered = checked.entered
    pest = pest_counted(logbook, plant, when.day, entered)
    return Identity(
        plant_id=plant.id,
        zone=checked.zones[0].zone if entered.zones else WHOLE,
        day=when.day.isoformat(),
        at_seconds=when.seconds,
        looked_ms=round(entered.seconds * 1000),
        counts=_counts((k, entered.stage, pest, n) for k, n in entered.counted.items()),
        unpotted=entered.unpotted,
        outcome=entered.outcome or "looked",
        who=when.who,
        note=entered.note,
    )


def _identity_of_held(held: HeldLook) -> Identity:
    look = held.look
    return Identity(
        plant_id=look.plant_id,
        zone=look.zone,
        day=look.day.isoformat(),
        at_seconds=look.began_at,
        looked_ms=round(look.seconds * 1000),
        counts=_counts((t.kind, t.stage, t.pest, t.count) for t in held.tallies),
        unpotted=look.unpotted,
        outcome=look.outcome,
        who=held.who,
        note=held.note,
    )


def _counts(counted: Iterable[tuple[str, str | None, str, int]]) -> tuple[Count, ...]:
    """Counts of one kind, stage and pest together, however many presses they took."""
    total: Counter[tuple[str, str, str]] = Counter()
    for kind, stage, pest, count in counted:
        total[kind, stage or "", pest] += count
    return tuple(sorted((*what, count) for what, count in total.items()))

"""Whether the logbook is sound: its file, what is kept of its sums, and the age of its copies."""

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import isclose
from pathlib import Path

from rounds import words
from rounds.service.inference.day import records
from rounds.service.inference.result import PlantResult
from rounds.service.logbook.book import Logbook
from rounds.service.safety.backups import newest_on
from rounds.service.safety.versions import FILE_VERSION, SUMS_VERSION
from rounds.store import derived
from rounds.store.backup import copy_file, faults_of, lost_references
from rounds.words.forms import calendar_day

OLD_AFTER = timedelta(days=7)
"""a copy older than that is told; an assumption"""

CLOSE = 1e-9


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that is not as it should be."""

    code: str
    text: str
    is_damage: bool


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check found; nothing where all is sound."""

    findings: tuple[Finding, ...]
    newest_backup_on: date | None
    file_version: int = FILE_VERSION
    sums_version: int = SUMS_VERSION

    @property
    def is_damaged(self) -> bool:
        """Whether something of the file itself is at fault."""
        return any(finding.is_damage for finding in self.findings)


def check(logbook: Logbook, *, full: bool = False) -> Checked:
    """Check the file; `full` works every figure of today out anew beside those that are kept.

    What is kept and differs is dropped: it is worked out anew when it is next asked for.
    """
    newest = newest_on(logbook)
    found = [*_of_file(logbook, full=full)]
    if full and not found:
        found += _of_sums(logbook)
    return Checked((*found, *_of_copies(newest, logbook.clock.today())), newest)


def _of_file(logbook: Logbook, *, full: bool) -> Iterator[Finding]:
    with logbook.file.reading() as connection:
        for fault in faults_of(connection, full=full):
            yield _finding("damaged", is_damage=True, fault=fault)
        for table in lost_references(connection):
            yield _finding("lost-references", is_damage=True, table=table)


def _of_sums(logbook: Logbook) -> Iterator[Finding]:
    on = logbook.clock.today()
    with tempfile.TemporaryDirectory(prefix="rounds-check-") as folder:
        copy = Path(folder) / "logbook.db"
        copy_file(logbook.file.path, copy)
        with Logbook(copy, logbook.clock) as anew:
            derived.forget_all(anew.file)
            said = {record.plant.code: record for record in records(anew, on)}
            differ = [
                record.plant.code
                for record in records(logbook, on)
                if not _same(_figures(record.likely), _figures(said[record.plant.code].likely))
            ]
    if differ:
        derived.forget_all(logbook.file)
        yield _finding("kept-differs", is_damage=False, plants=", ".join(differ))


def _figures(likely: PlantResult) -> tuple[float, ...]:
    left = likely.left
    return likely.chance_clean, left.mean, float(left.low), float(left.high)


def _same(some: tuple[float, ...], others: tuple[float, ...]) -> bool:
    pairs = zip(some, others, strict=True)
    return all(isclose(one, other, rel_tol=CLOSE, abs_tol=CLOSE) for one, other in pairs)


def _of_copies(newest: date | None, today: date) -> Iterator[Finding]:
    if newest is None:
        yield _finding("no-backup", is_damage=False)
    elif today - newest > OLD_AFTER:
        yield _finding("backup-old", is_damage=False, day=calendar_day(newest, today))


def _finding(code: str, *, is_damage: bool, **values: object) -> Finding:
    return Finding(code, words.say(f"safety.finding.{code}", **values), is_damage)

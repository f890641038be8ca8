"""backup, restore, check: copies of the logbook, and whether it is sound."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import click

from rounds import words
from rounds.cli.lines import table
from rounds.cli.options import Start, argument, command, everywhere, option, reading
from rounds.cli.output import Answer, show
from rounds.errors import LogbookUnusable
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import read_day
from rounds.service.safety import restore as restoring
from rounds.service.safety.backups import Copy, asked_for
from rounds.service.safety.check import Checked
from rounds.service.safety.check import check as checked
from rounds.words.forms import calendar_day


@command("backup")
@argument("DIR", "folder", required=False, type=str)
@reading
def backup(logbook: Logbook, day: date, folder: str | None) -> Answer:
    """Copy the logbook."""
    made = asked_for(logbook, folder).make()
    found = {"path": str(made.path), "bytes": made.bytes, "verified": True}
    return Answer("backup", day, found, lambda: [words.say("safety.backup.done", **found)])


@command("restore")
@argument("FILE", "copy", required=False, type=str)
@everywhere
@click.pass_obj
def restore(start: Start, db: str | None, as_json: bool, on: str | None, copy: str | None) -> int:
    """List the copies there are, or put one back."""
    path = start.path(db)
    day = start.clock.today() if on is None else read_day(on, "on")
    if copy is None:
        answer = _listed(restoring.copies(path, start.clock), day)
    else:
        done = restoring.restore(path, Path(copy).expanduser(), start.clock)
        found: dict[str, Any] = {
            "restored_from": str(done.held.path),
            "kept_aside": str(done.aside) if done.aside else None,
            "copies": [],
        }
        answer = Answer("restore", day, found, lambda: _restored(found))
    return show(answer, as_json=as_json or start.as_json)


def _restored(found: dict[str, Any]) -> Iterator[str]:
    yield words.say("safety.restore.done", file=found["restored_from"])
    if found["kept_aside"]:
        yield words.say("safety.restore.aside", file=found["kept_aside"])


def _listed(copies: list[Copy], day: date) -> Answer:
    rows = [_fields(copy) for copy in copies]
    found = {"restored_from": None, "kept_aside": None, "copies": rows}
    return Answer("restore", day, found, lambda: _lines(rows, day))


def _fields(copy: Copy) -> dict[str, Any]:
    held = copy.held()
    return {
        "path": str(copy.path),
        "day": copy.day,
        "readable": held is not None,
        "bytes": held and held.bytes,
        "file_version": held and held.file_version,
        "plants": held and held.plants,
        "entries": held and held.entries,
        "newest_look_on": held and held.newest_day,
    }


def _lines(rows: list[dict[str, Any]], on: date) -> Iterator[str]:
    if not rows:
        yield words.say("safety.restore.none")
        return
    yield words.say("safety.restore.lead")
    yield from table((_cells(row, on) for row in rows), indent=2)
    yield words.say("safety.restore.how")


def _cells(row: dict[str, Any], on: date) -> list[str]:
    if not row["readable"]:
        unreadable = words.say("safety.restore.unreadable")
        return [calendar_day(row["day"], on), unreadable, "", row["path"]]
    newest = row["newest_look_on"]
    looked = (
        words.say("safety.restore.looked", day=calendar_day(newest, on))
        if newest
        else words.say("safety.restore.no-looks")
    )
    held = words.say("safety.restore.held", plants=row["plants"], entries=row["entries"])
    return [calendar_day(row["day"], on), held, looked, row["path"]]


@command("check")
@option("--full", is_flag=True, about="full-check")
@reading
def check(logbook: Logbook, day: date, full: bool) -> Answer:
    """Check the logbook."""
    found = checked(logbook, full=full)
    refusal = LogbookUnusable("check-damage", file=logbook.file.path) if found.is_damaged else None
    fields = {
        "ok": not found.is_damaged,
        "findings": [{"code": of.code, "text": of.text} for of in found.findings],
        "file_version": found.file_version,
        "sums_version": found.sums_version,
        "newest_backup_on": found.newest_backup_on,
    }
    return Answer("check", day, fields, lambda: _said(found, day, full=full), refusal)


def _said(found: Checked, on: date, *, full: bool) -> Iterator[str]:
    if not found.is_damaged:
        yield words.say("safety.check.sound-full" if full else "safety.check.sound")
    yield from (finding.text for finding in found.findings)
    if found.newest_backup_on:
        day = calendar_day(found.newest_backup_on, on)
        yield words.say("safety.check.newest", day=day)
    yield words.say("safety.check.versions", file=found.file_version, sums=found.sums_version)


COMMANDS: tuple[click.Command, ...] = (backup, restore, check)
"""What keeps the logbook safe."""

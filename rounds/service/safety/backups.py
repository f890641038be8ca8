"""Copies of the logbook: one before the first write of a day, others when they are asked for."""

import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rounds.clock import Clock
from rounds.errors import LogbookUnusable
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import OFF, chosen
from rounds.service.safety.worth_keeping import worth_keeping
from rounds.store.backup import Held, Interrupted, copy_file, drop_unfinished, held

FOLDER = "backups"
"""beside the logbook, where no other folder is set"""

FOLDER_SETTING = "backup-folder"


@dataclass(frozen=True, slots=True)
class Copying:
    """A copy to be made."""

    logbook: Path
    target: Path

    def make(self, goes_on: Callable[[], bool] = lambda: True) -> Held:
        """Make it, and drop daily copies that are no longer worth their room.

        Raises:
            LogbookUnusable: it cannot be written; nothing of it is left.
            Interrupted: `goes_on` said no.
        """
        made = copy_file(self.logbook, self.target, goes_on)
        _drop_old(self.logbook, self.target.parent)
        drop_unfinished(self.target, self.logbook.stem)
        return made

    def make_unless(self, stopped: Callable[[], bool]) -> None:
        """The same; nothing is left where it is stopped meanwhile."""
        with suppress(Interrupted):
            self.make(lambda: not stopped())


def folder_of(logbook: Logbook) -> Path:
    """Where copies of this logbook go."""
    return _folder(logbook.file.path, logbook.setting(FOLDER_SETTING))


def _folder(path: Path, chosen_folder: str | None) -> Path:
    return Path(chosen_folder).expanduser() if chosen_folder else path.parent / FOLDER


def set_folder(logbook: Logbook, folder: str) -> None:
    """Copies go there from now on; the first is made at once, so that it is known to work.

    Without a folder they go beside the logbook again.

    Raises:
        LogbookUnusable: nothing can be written there; the folder stays as it was.
    """
    # the same folder, wherever the next program is started
    chosen_folder = str(Path(folder).expanduser().absolute()) if folder else ""
    _copying(logbook, _folder(logbook.file.path, chosen_folder), at_once=True).make()
    logbook.put_setting(FOLDER_SETTING, chosen_folder)


def due(logbook: Logbook) -> Copying | None:
    """The copy of today, where it is wanted, there is something to copy, and it is not there."""
    if chosen(logbook, "backups") == OFF or not logbook.file.last_number():
        return None
    found = _copying(logbook, folder_of(logbook), at_once=False)
    return None if found.target.exists() else found


def asked_for(logbook: Logbook, folder: str | None) -> Copying:
    """A copy besides those of the days; it stays until its owner removes it."""
    target = Path(folder).expanduser() if folder else folder_of(logbook)
    return _copying(logbook, target, at_once=True)


def _copying(logbook: Logbook, folder: Path, *, at_once: bool) -> Copying:
    path, clock = logbook.file.path, logbook.clock
    moment = f"-{_local_time(clock)}" if at_once else ""
    name = f"{path.stem}-{clock.today().isoformat()}{moment}"
    target, further = folder / f"{name}.db", 1
    while at_once and target.exists():
        further += 1
        target = folder / f"{name}-{further}.db"
    return Copying(path, target)


def _local_time(clock: Clock) -> str:
    return clock.now().astimezone().strftime("%H%M%S")


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy that lies in a folder."""

    day: date
    path: Path
    is_daily: bool
    """made by itself before the first write of its day; else asked for"""

    def held(self) -> Held | None:
        """What it holds; None where it cannot be read."""
        try:
            return held(self.path)
        except LogbookUnusable:
            return None


def copies_of(logbook: Path, folder: Path) -> list[Copy]:
    """The copies of a logbook in a folder, newest first."""
    named = re.compile(rf"{re.escape(logbook.stem)}-(\d{{4}}-\d\d-\d\d)(-\d{{6}}(?:-\d+)?)?\.db")
    found = []
    with suppress(OSError):
        for file in folder.iterdir():
            match = named.fullmatch(file.name)
            if match is not None:
                # a day that is none, such as the 30th of February
                with suppress(ValueError):
                    found.append(Copy(date.fromisoformat(match[1]), file, match[2] is None))
    return sorted(found, key=lambda copy: (copy.day, copy.path.name), reverse=True)


def newest_on(logbook: Logbook) -> date | None:
    """The day of the newest copy; None where there is none."""
    found = copies_of(logbook.file.path, folder_of(logbook))
    return found[0].day if found else None


def _drop_old(logbook: Path, folder: Path) -> None:
    daily = [copy for copy in copies_of(logbook, folder) if copy.is_daily]
    stay = worth_keeping(copy.day for copy in daily)
    for copy in daily:
        if copy.day not in stay:
            # one that cannot be removed is tried again tomorrow
            with suppress(OSError):
                copy.path.unlink()

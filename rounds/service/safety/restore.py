"""A copy put back in place of the logbook, which itself is kept aside."""

from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from rounds.clock import Clock
from rounds.errors import BadInput, LogbookUnusable, Refused
from rounds.service.logbook.book import Logbook
from rounds.service.safety.backups import FOLDER, Copy, copies_of, folder_of
from rounds.store import walks
from rounds.store.backup import Held, copy_file, held, move_aside, put_back

ASIDE = "before-restoring"


@dataclass(frozen=True, slots=True)
class Restored:
    """What was put back, and where what was there before lies; None where nothing was."""

    held: Held
    aside: Path | None


def copies(path: Path, clock: Clock) -> list[Copy]:
    """The copies of a logbook that lie where its copies go, readable or not; newest first.

    The logbook itself may be damaged or gone: then they are looked for beside it.
    """
    folder = path.parent / FOLDER
    if path.exists():
        with suppress(LogbookUnusable), Logbook(path, clock) as logbook:
            folder = folder_of(logbook)
    return copies_of(path, folder)


def restore(path: Path, copy: Path, clock: Clock) -> Restored:
    """Put a copy back: all of it, or all stays as it is. What was there before is kept aside.

    Raises:
        BadInput: there is no such copy, or it is the logbook itself.
        LogbookUnusable: the copy is damaged, or the logbook cannot be written.
        Refused: a round is under way.
    """
    if not copy.is_file():
        raise BadInput("no-such-copy", file=copy, field="copy")
    if path.exists() and copy.samefile(path):
        raise BadInput("copy-is-logbook", file=copy, field="copy")
    found = held(copy)
    aside = _keep_aside(path, clock) if path.exists() else None
    put_back(copy, path)
    return Restored(found, aside)


def _keep_aside(path: Path, clock: Clock) -> Path:
    aside = _free_name(path, clock)
    try:
        with Logbook(path, clock) as logbook:
            if any(token for _, token in walks.walkers(logbook.file)):
                raise Refused("restore-in-round")
        copy_file(path, aside)
    except LogbookUnusable:
        # not to be read: kept byte by byte
        move_aside(path, aside)
    return aside


def _free_name(path: Path, clock: Clock) -> Path:
    when = clock.now().astimezone().strftime("%Y-%m-%d-%H%M%S")
    name, further = f"{path.stem}-{ASIDE}-{when}", 1
    while (aside := path.with_name(f"{name}{'' if further == 1 else f'-{further}'}.db")).exists():
        further += 1
    return aside

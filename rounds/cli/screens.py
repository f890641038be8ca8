"""The screens, and the demo that opens them on an invented collection."""

import shutil
import sys
from pathlib import Path

import click

from rounds.cli.options import Start, command, everywhere, option
from rounds.cli.output import Answer, show
from rounds.clock import SetClock
from rounds.errors import BadInput
from rounds.service.logbook.moment import local_noon, read_day


def open_screens(path: Path, who: str | None, keys: str | None = None) -> int:
    """Open the screens on a logbook; the exit status. BadInput without a terminal."""
    check_terminal()
    # Textual is slow to import, and commands do without it
    from rounds.tui.app import run_screens

    return run_screens(path, who, keys)


def check_terminal() -> None:
    """BadInput where there is nobody to look at the screens."""
    # the library paints on standard error; a stream that the caller has closed is None
    streams = (sys.__stdin__, sys.__stdout__, sys.__stderr__)
    if not all(stream is not None and stream.isatty() for stream in streams):
        raise BadInput("no-terminal")


@command("demo")
@option("--at-path", metavar="FILE", type=str)
@everywhere
@click.pass_obj
def demo(start: Start, db: str | None, as_json: bool, on: str | None, at_path: str | None) -> int:
    """The demo; the grower's own logbook stays closed."""
    from rounds.service.demo import make_demo

    as_json = as_json or start.as_json
    if not as_json:
        check_terminal()
    clock = start.clock if on is None else SetClock(local_noon(read_day(on, "on")).instant)
    copy = make_demo(Path(at_path).expanduser() if at_path else None, clock)
    if not as_json:
        try:
            return open_screens(copy.path, start.who, start.keys)
        finally:
            if at_path is None:
                # nobody knows where it lies, and the next demo is a fresh one
                shutil.rmtree(copy.path.parent, ignore_errors=True)
    found = {"path": str(copy.path), "plants": copy.plants, "rounds": copy.rounds}
    return show(Answer("demo", clock.today(), found, list), as_json=True)


COMMANDS: tuple[click.Command, ...] = (demo,)

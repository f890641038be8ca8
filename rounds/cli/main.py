"""The program's entry: one call, one exit status."""

import io
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any

import click

from rounds import __version__, words
from rounds.cli.failure import as_fault, day_of_command, drop_output
from rounds.cli.named_group import NamedGroup
from rounds.cli.options import Start, helped, option
from rounds.cli.output import show_failure
from rounds.clock import Clock
from rounds.errors import BadInput

GROUPS: dict[str, dict[str, str]] = {
    "looking": {
        "today": "today",
        "agenda": "agenda",
        "rank": "rank",
        "plant": "plant",
        "chart": "chart",
        "what-if": "what_if",
        "look": "look",
        "treat": "treat",
        "courses": "treat",
        "withdraw": "look",
        "settle": "look",
        "release": "release",
        "exposure": "exposure",
        "cleaned": "exposure",
        "sheet": "sheet",
        "away": "away",
    },
    "collection": {
        "place": "places_and_plants",
        "add": "places_and_plants",
        "arrive": "arrive",
        "move": "places_and_plants",
        "divide": "divide",
        "gone": "places_and_plants",
        "weather": "weather",
    },
    "values": {"parameters": "parameters", "season": "season"},
    "files": {
        "import": "transfer",
        "backup": "safety",
        "restore": "safety",
        "check": "safety",
        "demo": "screens",
    },
    "sums": {"calc": "calc"},
}
"""All commands in the order of the help, each with its module: a call imports its own alone."""


class RoundsGroup(NamedGroup):
    """Lists its commands in groups."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the help."""
        return [name for modules in GROUPS.values() for name in modules]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of a name, imported now."""
        return command_of(cmd_name) if cmd_name in self.list_commands(ctx) else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Group by group, a line each."""
        for group, modules in GROUPS.items():
            with formatter.section(words.say(f"cli.groups.{group}")):
                formatter.write_dl([(name, words.say(f"cli.about.{name}")) for name in modules])


def command_of(name: str) -> click.Command:
    """The command of a name. KeyError if there is none."""
    modules = {known: module for group in GROUPS.values() for known, module in group.items()}
    commands: tuple[click.Command, ...] = import_module(f"rounds.cli.{modules[name]}").COMMANDS
    return next(command for command in commands if command.name == name)


def _show_version(context: click.Context, _: click.Parameter, asked: bool) -> None:
    if asked and not context.resilient_parsing:
        # slow to import, and seldom asked
        from rounds.service.safety.versions import FILE_VERSION, SUMS_VERSION

        said = {"version": __version__, "file": FILE_VERSION, "sums": SUMS_VERSION}
        click.echo(words.say("cli.help.version", **said))
        context.exit()


@click.group(
    "rounds",
    cls=RoundsGroup,
    help=words.say("cli.help.rounds"),
    invoke_without_command=True,
)
@option("--db", metavar="FILE", type=str)
@option("--who", metavar="NAME")
@option("--keys", metavar="KEYS", type=str)
@option("--json", "as_json", is_flag=True)
@option("--version", is_flag=True, is_eager=True, expose_value=False, callback=_show_version)
@helped
@click.pass_context
def rounds(context: click.Context, /, **before: Any) -> int:
    """What stands before the command; without one the screens open."""
    start: Start = context.obj
    start.db, start.who, start.as_json = before["db"], before["who"], before["as_json"]
    start.keys = before["keys"]
    if context.invoked_subcommand is not None:
        return 0
    if start.as_json:
        raise BadInput("needs-a-command", argument="--json")
    from rounds.cli.screens import open_screens

    return open_screens(start.path(None), start.who, start.keys)


def main(argv: Sequence[str] | None = None, clock: Clock | None = None) -> int:
    """Run one call of the program, those of the command line if none are given."""
    given = list(sys.argv[1:] if argv is None else argv)
    clock = clock or Clock()
    _open_closed_outputs()
    try:
        return _run(given, clock)
    except click.exceptions.Exit as done:
        return done.exit_code
    except BrokenPipeError:
        return drop_output()
    except BaseException as trouble:
        if isinstance(trouble, SystemExit | GeneratorExit):
            raise
        return _tell(trouble, given, clock)


def _open_closed_outputs() -> None:
    """Replace standard streams that the caller has closed, so that printing does not fail."""
    if sys.stdout is None:
        sys.stdout = io.StringIO()
    if sys.stderr is None:
        sys.stderr = io.StringIO()


def _run(given: list[str], clock: Clock) -> int:
    # A replacement for a character that cannot be encoded is better than no answer.
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")
    with rounds.make_context("rounds", list(given), obj=Start(clock)) as context:
        status = rounds.invoke(context)
        sys.stdout.flush()
        return int(status or 0)


def _tell(trouble: BaseException, given: list[str], clock: Clock) -> int:
    fault = as_fault(trouble)
    try:
        status = show_failure(fault, day_of_command(given, clock), as_json="--json" in given)
        sys.stdout.flush()
    except OSError:
        drop_output()
        return fault.exit_status
    return status

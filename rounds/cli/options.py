"""What every command takes, and what it is handed: the opened logbook and the day spoken about."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from rounds import words
from rounds.cli.arguments import Command
from rounds.cli.output import Answer, complain, show
from rounds.cli.values import TEXT
from rounds.clock import Clock
from rounds.errors import LogbookUnusable
from rounds.paths import logbook_path

if TYPE_CHECKING:
    from rounds.service.logbook.book import Logbook
    from rounds.service.logbook.moment import Moment
    from rounds.service.logbook.once import Further

F = TypeVar("F", bound=Callable[..., Any])

NOT_CONTENT = ("db", "as_json", "key")
"""Options that are no part of the content compared under a key."""


@dataclass
class Start:
    """What stands before the name of the command."""

    clock: Clock = field(default_factory=Clock)
    db: str | None = None
    who: str | None = None
    as_json: bool = False
    keys: str | None = None

    def path(self, db: str | None) -> Path:
        """The logbook, by the command's own option or the one before its name."""
        return logbook_path(db or self.db)


@dataclass(frozen=True, slots=True)
class Writing:
    """One call of a command that writes."""

    logbook: "Logbook"
    moment: "Moment"
    key: str | None
    content: Mapping[str, Any]

    def once(
        self,
        write: Callable[[], dict[str, Any]],
        further: "Further | None" = None,
        **also: Any,
    ) -> tuple[dict[str, Any], bool]:
        """What `write` answers, and whether it was written under the same key before.

        Args:
            write: writes, and answers what it wrote.
            further: what may be added to what an earlier call wrote under the key.
            also: what belongs to the content besides the arguments of the call.
        """
        from rounds.service.logbook.once import once

        return once(self.logbook, self.key, {**self.content, **also}, write, further)


def option(*names: str, about: str | None = None, **settings: Any) -> Callable[[F], F]:
    """An option; its help is the sentence of its name, or of `about`."""
    code = about or names[0].split("/")[0].lstrip("-")
    settings.setdefault("type", None if settings.get("is_flag") or "/" in names[0] else TEXT)
    return click.option(*names, help=words.say(f"cli.options.{code}"), **settings)


def argument(metavar: str, name: str | None = None, **settings: Any) -> Callable[[F], F]:
    """An argument, named on screen as in `metavar`."""
    settings.setdefault("type", TEXT)
    return click.argument(name or metavar.lower(), metavar=metavar, **settings)


def command(
    name: str, kind: type[click.Command] = Command
) -> Callable[[Callable[..., Any]], click.Command]:
    """A command with its line of help."""
    make = click.command(name, kind, help=words.say(f"cli.about.{name}"))
    return lambda function: make(helped(function))


def helped(function: F) -> F:
    """Add --help, with a text of our own."""
    return click.help_option("--help", help=words.say("cli.options.help"))(function)


def everywhere(function: F) -> F:
    """Add the options --db, --json and --on."""
    for add in (
        option("--on", metavar="DATE"),
        option("--json", "as_json", is_flag=True),
        option("--db", metavar="FILE", type=str),
    ):
        function = add(function)
    return function


def reading(function: Callable[..., Answer]) -> Callable[..., int]:
    """Hands a command the logbook and the day spoken about; its answer is printed."""

    @everywhere
    @click.pass_obj
    def run(
        start: Start, /, db: str | None, as_json: bool, on: str | None, **arguments: Any
    ) -> int:
        from rounds.service.logbook.book import Logbook
        from rounds.service.logbook.moment import read_day

        day = start.clock.today() if on is None else read_day(on, "on")
        with Logbook(start.path(db), start.clock, day_is_over=True) as logbook:
            with logbook.file.as_of_now():
                answer = function(logbook, day, **arguments)
            return show(answer, as_json=as_json or start.as_json)

    return run


def writing(function: Callable[..., Answer]) -> Callable[..., int]:
    """Hands a command a `Writing`; its answer is printed."""

    @everywhere
    @option("--at", metavar="INSTANT")
    @option("--who", metavar="NAME")
    @option("--key")
    @click.pass_context
    def run(
        context: click.Context,
        /,
        db: str | None,
        as_json: bool,
        on: str | None,
        at: str | None,
        who: str | None,
        key: str | None,
        **arguments: Any,
    ) -> int:
        from rounds.service.logbook.book import Logbook
        from rounds.service.logbook.moment import read_moment

        start: Start = context.obj
        moment = read_moment(start.clock, on, at, who or start.who)
        content = _content(context, moment)
        with Logbook(start.path(db), start.clock, day_is_over=True) as logbook:
            _back_up(logbook)
            answer = function(Writing(logbook, moment, key, content), **arguments)
            return show(answer, as_json=as_json or start.as_json)

    return run


def _back_up(logbook: "Logbook") -> None:
    """Copy the logbook before the first write of a day; where that fails, say so and go on."""
    from rounds.service.safety.backups import due

    copying = due(logbook)
    if copying is not None:
        try:
            copying.make()
        except LogbookUnusable as fault:
            complain(fault)


def _content(context: click.Context, moment: "Moment") -> dict[str, Any]:
    """All that was asked; an instant only where one was given."""
    asked = {name: value for name, value in context.params.items() if name not in NOT_CONTENT}
    return {**asked, "who": moment.who, "command": context.info_name}

"""Whatever goes wrong in a call, as one of our faults with an exit status."""

import os
import signal
import sys
from collections.abc import Sequence
from datetime import date
from itertools import pairwise

import click

from rounds.cli.values import argument_name
from rounds.clock import Clock
from rounds.errors import BadInput, RoundsError
from rounds.near import nearest
from rounds.service.logbook.moment import read_day, read_moment

BY_SIGNAL = 128
"""Added to the number of the signal that ended a call."""


class ProgramFault(RoundsError):
    """No fault of what was asked: one sentence, and no trace on the screen."""

    exit_status = 1


class Interrupted(RoundsError):
    """Stopped by the person who called."""

    exit_status = BY_SIGNAL + signal.SIGINT


def as_fault(trouble: BaseException) -> RoundsError:
    """The RoundsError to report for any exception that was raised."""
    if isinstance(trouble, RoundsError):
        return trouble
    if isinstance(trouble, KeyboardInterrupt | click.Abort):
        return Interrupted("interrupted")
    if isinstance(trouble, click.ClickException):
        return _usage(trouble)
    if isinstance(trouble, OSError):
        return ProgramFault("output-lost", reason=trouble.strerror or str(trouble))
    return ProgramFault("program-fault", fault=f"{type(trouble).__name__}: {trouble}")


def _usage(trouble: click.ClickException) -> RoundsError:
    context = trouble.ctx if isinstance(trouble, click.UsageError) else None
    command = context.command_path if context else "rounds"
    if isinstance(trouble, click.NoSuchOption):
        return _no_such_option(trouble.option_name, command, context)
    if isinstance(trouble, click.MissingParameter) and trouble.param is not None:
        name = argument_name(trouble.param)
        return BadInput("missing-argument", argument=name, command=command)
    problem = " ".join(trouble.format_message().split())
    return BadInput("usage", problem=problem, command=command)


def _no_such_option(given: str, command: str, context: click.Context | None) -> BadInput:
    taker = _command_taking(given, context)
    if taker is not None:
        return BadInput("option-of-a-command", argument=given, given=given, command=taker)
    near = nearest(given, _options(context))
    return BadInput("unknown-option", argument=given, given=given, nearest=near, command=command)


def _options(context: click.Context | None) -> list[str]:
    return [] if context is None else _options_of(context.command, context)


def _options_of(command: click.Command, context: click.Context) -> list[str]:
    return [
        name
        for param in command.get_params(context)
        if isinstance(param, click.Option)
        for name in (*param.opts, *param.secondary_opts)
    ]


def _command_taking(option: str, context: click.Context | None) -> str | None:
    """The first command that takes an option which stands before the name of any."""
    if context is None or not isinstance(context.command, click.Group):
        return None
    for name in context.command.list_commands(context):
        command = context.command.get_command(context, name)
        if command is not None and option in _options_of(command, context):
            above = context.command_path.split()[1:]
            return " ".join([*above, name])
    return None


def day_of_command(given: Sequence[str], clock: Clock) -> date:
    """The day a call that failed speaks about, as far as it can be read; else today."""
    for name in ("--on", "--at"):
        for text in _given_to(name, given):
            try:
                if name == "--on":
                    return read_day(text, "on")
                return read_moment(clock, None, text, None).day
            except BadInput:
                continue
    return clock.today()


def _given_to(name: str, given: Sequence[str]) -> list[str]:
    following = [after for before, after in pairwise(given) if before == name]
    joined = [text.partition("=")[2] for text in given if text.startswith(f"{name}=")]
    return following + joined


def drop_output() -> int:
    """Redirect standard output to nowhere, as its reader has closed it.

    Returns the exit status of a program ended by SIGPIPE.
    """
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
    return BY_SIGNAL + signal.SIGPIPE

"""What commands call the fields of the model: options and arguments, as they are typed."""

from collections.abc import Mapping
from typing import Any

import click

from rounds.errors import RoundsError

ARGUMENTS: Mapping[str, str] = {
    "arrived": "--arrived",
    "at": "--at",
    "cannot_see": "--cannot-see",
    "code": "CODE",
    "codes": "--code",
    "day": "DATE",
    "dislikes": "--dislikes",
    "doubtful": "--doubtful",
    "early_reason": "--early",
    "entry": "ENTRY",
    "first_day": "FROM",
    "form": "--form",
    "how": "HOW",
    "insects_seen": "--insects-seen",
    "into": "--into",
    "key": "--key",
    "killed": "--killed",
    "last_day": "TO",
    "left": "--left",
    "max_c": "--max",
    "min_c": "--min",
    "minutes": "--minutes",
    "name": "--name",
    "names": "--name",
    "on": "--on",
    "page": "--html",
    "path": "--at-path",
    "pest": "--pest",
    "place": "PLACE",
    "removed": "--removed",
    "seconds": "--seconds",
    "size": "--size",
    "stage": "--stage",
    "stock_percent": "--stock",
    "target_percent": "--target",
    "touches": "--touches",
    "unpotted": "--unpotted",
    "usual_c": "--usual-c",
    "value": "--value",
    "verdict": "VERDICT",
    "volume_ml": "--volume-ml",
    "why": "--why",
    "zone": "ZONE",
}
"""By field of the model: its option, or in capitals its positional argument."""

OF_COMMAND: Mapping[str, Mapping[str, str]] = {
    "add": {"place": "--place"},
    "divide": {"place": "--place"},
    "parameters": {"code": "--set", "value": "--set"},
    "place": {"name": "NAME"},
}
"""By command: the fields that it calls otherwise than `ARGUMENTS`."""


def argument_of(command: str, field: str) -> str:
    """What a command calls a field; by its own name where no command takes it."""
    return OF_COMMAND.get(command, {}).get(field) or ARGUMENTS.get(field, field)


def command_as_typed(fault: RoundsError) -> None:
    """Set the fault's argument to what the command at hand calls its field."""
    if fault.field is not None:
        command = click.get_current_context().info_name or ""
        fault.argument = argument_of(command, fault.field)


TYPED = "rounds.typed"
"""Under which the context keeps the names of the options in the order they were typed."""


class Command(click.Command):
    """A command whose faults name its own options and arguments."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; its faults name options and arguments."""
        try:
            return super().invoke(ctx)
        except RoundsError as fault:
            command_as_typed(fault)
            raise


class OrderedCommand(Command):
    """A command for which it matters in which order its options stand."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """As any command; what was typed is kept in its order besides."""
        _, _, typed = self.make_parser(ctx).parse_args(list(args))
        ctx.meta[TYPED] = tuple(param.name for param in typed)
        return super().parse_args(ctx, args)

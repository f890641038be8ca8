"""A group of commands that answers an unknown name with the nearest."""

from typing import ClassVar

import click

from rounds.cli.arguments import Command
from rounds.errors import BadInput
from rounds.near import nearest


class NamedGroup(click.Group):
    """Its members are known by name alone."""

    command_class = Command

    unknown: ClassVar[str] = "unknown-command"
    """the fault of a name there is none of"""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command of a name. BadInput if there is none."""
        name = args[0]
        if not name.startswith("-") and self.get_command(ctx, name) is None:
            near = nearest(name, self.list_commands(ctx))
            raise BadInput(self.unknown, given=name, nearest=near, argument=name)
        return super().resolve_command(ctx, args)

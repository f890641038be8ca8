"""What commands call the fields of the model: options and arguments, as they are typed."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

import click

from rounds.errors import RoundsError

ARGUMENTS: Mapping[str, str] = {
    "after_control": "--after-control",
    "after_treated": "--after-treated",
    "arrived": "--arrived",
    "at": "--at",
    "away_from": "--away-from",
    "before_control": "--before-control",
    "before_treated": "--before-treated",
    "cannot_see": "--cannot-see",
    "catches": "CATCH",
    "celsius": "--warmth",
    "code": "CODE",
    "codes": "--code",
    "copy": "FILE",
    "course": "COURSE",
    "confidence": "--confidence",
    "cutoff": "--cutoff",
    "day": "DATE",
    "days": "--days",
    "detection": "--detection",
    "dislikes": "--dislikes",
    "doubtful": "--doubtful",
    "early_reason": "--early",
    "entry": "ENTRY",
    "first_day": "FROM",
    "form": "--form",
    "found": "--found",
    "found_on": "--found-on",
    "head_start": "--head-start",
    "how": "HOW",
    "ics": "--ics",
    "insects_seen": "--insects-seen",
    "interval_days": "--interval-days",
    "into": "--into",
    "introduction": "--introduction",
    "key": "--key",
    "killed": "--killed",
    "kills": "--kills",
    "last_day": "TO",
    "left": "--left",
    "limit": "--limit",
    "liquid": "--liquid",
    "looks_a_week": "--looks-a-week",
    "lower": "--lower",
    "max_c": "--max",
    "mean": "--mean",
    "min_c": "--min",
    "minutes": "--minutes",
    "most_uses": "--most-uses",
    "name": "--name",
    "names": "--name",
    "next_low": "--next-min",
    "on": "--on",
    "only": "--only",
    "opened": "--opened",
    "page": "--html",
    "path": "--at-path",
    "per": "--per",
    "periods": "--periods",
    "pest": "--pest",
    "place": "PLACE",
    "prevalence": "--prevalence",
    "prior": "--prior",
    "product": "--product",
    "rate": "--rate",
    "rates": "--rate",
    "reentry_hours": "--reentry-hours",
    "reference": "--reference",
    "removed": "--removed",
    "seconds": "--seconds",
    "sensitivity": "--sensitivity",
    "size": "--size",
    "source": "--source",
    "spot": "--spot",
    "stage": "--stage",
    "step": "--step",
    "stop": "--stop",
    "stock_percent": "--stock",
    "target": "--target",
    "target_percent": "--target",
    "total": "--total",
    "touches": "--touches",
    "units": "--units",
    "unpotted": "--unpotted",
    "upper": "--upper",
    "usual_c": "--usual-c",
    "value": "--value",
    "values": "--value",
    "verdict": "VERDICT",
    "volume_ml": "--volume-ml",
    "why": "--why",
    "zone": "ZONE",
}
"""By field of the model: its option, or in capitals its positional argument."""

OF_COMMAND: Mapping[str, Mapping[str, str]] = {
    "add": {"place": "--place"},
    "arrive": {"place": "--place"},
    "divide": {"place": "--place"},
    "parameters": {"code": "--set", "value": "--set"},
    "place": {"name": "NAME"},
    "courses": {"copy": "--copy"},
    "treat": {"place": "--place", "codes": "CODE"},
    "what-if": {"course": "--course"},
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
    """A command whose faults name its own options and arguments.

    An option that may be given several times takes several values after its name, too.
    """

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """The arguments, each further value of a list with the name of its option before it."""
        lists = {
            name
            for param in self.params
            if isinstance(param, click.Option) and param.multiple
            for name in param.opts
        }
        return super().parse_args(ctx, list(_named(args, lists)))

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
        # each value stands behind its own option here, so that a plant may be called 7
        return click.Command.parse_args(self, ctx, args)


def _named(args: Sequence[str], lists: Collection[str]) -> Iterator[str]:
    """`--value 8 4` as `--value 8 --value 4`, for options that are lists of numbers."""
    of_list, begun = None, False
    for arg in args:
        if arg in lists:
            of_list, begun = arg, False
        elif of_list is not None and _is_number(arg):
            if begun:
                yield of_list
            begun = True
        else:
            of_list = None
        yield arg


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True

"""calc: published sums on their own; no logbook is opened."""

from collections.abc import Callable, Iterator
from dataclasses import fields
from typing import Any

import click

from rounds import words
from rounds.cli.named_group import NamedGroup
from rounds.cli.options import Start, everywhere, helped, option
from rounds.cli.output import Answer, show
from rounds.cli.values import NUMBER
from rounds.errors import BadInput
from rounds.service.calculate import Calculated, dilution
from rounds.service.logbook.moment import read_day
from rounds.words.forms import percent, volume


class Calculations(NamedGroup):
    """The calculations there are."""

    unknown = "unknown-calculation"


@click.group(
    "calc", cls=Calculations, help=words.say("cli.about.calc"), invoke_without_command=True
)
@option("--json", "as_json", is_flag=True)
@helped
@click.pass_context
def calc(context: click.Context, /, *, as_json: bool) -> None:
    """The calculation named next. BadInput if none is."""
    context.obj.as_json = context.obj.as_json or as_json
    if context.invoked_subcommand is None:
        names = ", ".join(calc.list_commands(context))
        raise BadInput("needs-a-calculation", names=names, argument="calc")


def calculating(
    lines: Callable[[Calculated], Iterator[str]],
) -> Callable[[Callable[..., Calculated]], Callable[..., int]]:
    """Prints what a calculation comes to; for people its result is read in `lines`."""

    def make(function: Callable[..., Calculated]) -> Callable[..., int]:
        @everywhere
        @click.pass_obj
        def run(
            start: Start, /, db: str | None, as_json: bool, on: str | None, **given: Any
        ) -> int:
            day = start.clock.today() if on is None else read_day(on, "on")
            found = function(**given)
            keys = {part.name: getattr(found, part.name) for part in fields(found)}
            answer = Answer("calc", day, keys, lambda: _said(found, lines))
            return show(answer, as_json=as_json or start.as_json)

        return run

    return make


def _said(found: Calculated, lines: Callable[[Calculated], Iterator[str]]) -> Iterator[str]:
    yield from lines(found)
    yield ""
    yield from (note.text for note in found.warnings)
    yield words.say("cli.calc.source", source=found.source)


def _dilution_lines(found: Calculated) -> Iterator[str]:
    yield words.say(
        "calculate.dilution.said",
        stock=volume(found.result["stock_ml"]),
        water=volume(found.result["water_ml"]),
        whole=volume(found.inputs["volume_ml"]),
        target=percent(found.inputs["target_percent"]),
    )


@calc.command("dilution", help=words.say("cli.about.dilution"))
@helped
@option("--stock", "stock_percent", metavar="PCT", type=NUMBER, required=True)
@option("--target", "target_percent", metavar="PCT", type=NUMBER, required=True)
@option("--volume-ml", metavar="V", type=NUMBER, required=True)
@calculating(_dilution_lines)
def dilution_command(stock_percent: float, target_percent: float, volume_ml: float) -> Calculated:
    """How much stock and how much water."""
    return dilution(stock_percent, target_percent, volume_ml)


COMMANDS: tuple[click.Command, ...] = (calc,)

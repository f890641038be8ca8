"""What every sum on its own takes, and how its answer is printed."""

from collections.abc import Callable, Iterator
from dataclasses import fields
from typing import Any, TypeVar

import click

from rounds import words
from rounds.cli.options import Start, everywhere
from rounds.cli.output import Answer, show
from rounds.cli.values import TEXT
from rounds.service.calculate import said as lines_of
from rounds.service.calculate.calculated import Calculated
from rounds.service.logbook.moment import read_day

__all__ = ["calculating", "lines_of", "sum_option"]

F = TypeVar("F", bound=Callable[..., Any])


def sum_option(*names: str, about: str | None = None, **settings: Any) -> Callable[[F], F]:
    """An option of a sum; its help is the sentence of its name, or of `about`."""
    code = about or names[0].removeprefix("--")
    settings.setdefault("type", None if settings.get("is_flag") else TEXT)
    return click.option(*names, help=words.section("sums.options")[code], **settings)


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
    if found.no_estimate_reason is not None:
        yield found.no_estimate_reason
    yield ""
    yield from (note.text for note in found.warnings)
    yield words.say("cli.calc.source", source=found.source)

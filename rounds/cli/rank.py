"""rank: who comes first."""

from datetime import date

import click

from rounds import words
from rounds.cli.lines import table
from rounds.cli.options import command, reading
from rounds.cli.output import Answer
from rounds.cli.plant_lines import streak
from rounds.cli.status_fields import status_fields
from rounds.service.day.fit import misfit_of_all
from rounds.service.inference.day import records
from rounds.service.inference.together import worked_out_together
from rounds.service.logbook.book import Logbook
from rounds.service.plan.ranking import by_risk
from rounds.service.plant.status import PlantStatus, status_of
from rounds.service.plant.status_text import collection_misfit_text, standing_text, where_text
from rounds.words.forms import day_month


@command("rank")
@reading
def rank(logbook: Logbook, on: date) -> Answer:
    """All plants, the greatest risk first."""
    here = records(logbook, on)
    with worked_out_together(here, with_all=True):
        found = by_risk(status_of(record) for record in here)
    misfit = misfit_of_all(found, logbook.parameters.infestation)
    told = misfit and collection_misfit_text(misfit)
    fields = {
        "plants": [status_fields(status) for status in found],
        "misfit": {"code": misfit, "text": told} if misfit else None,
    }
    return Answer("rank", on, fields, lambda: [*rank_lines(found, on), *([told] if told else [])])


def rank_lines(found: list[PlantStatus], on: date) -> list[str]:
    """The plants for a person, one a line."""
    if not found:
        return [words.say("cli.rank.nothing")]
    titles = ("plant", "place", "standing", "streak", "seen")
    head = ["", *(words.say(f"cli.columns.{title}") for title in titles)]
    rows = [
        [
            str(position),
            words.say("cli.line.plant", code=status.code, name=status.name),
            where_text(status),
            standing_text(status),
            streak(status),
            _seen(status, on),
        ]
        for position, status in enumerate(found, 1)
    ]
    return table([head, *rows], right=(0,))


def _seen(status: PlantStatus, on: date) -> str:
    seen = status.last_complete_look_on
    return words.say("cli.plant.never") if seen is None else day_month(seen, on)


COMMANDS: tuple[click.Command, ...] = (rank,)

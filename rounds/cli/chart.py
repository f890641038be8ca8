"""chart: the charts of a plant, or of all plants, as rows of text."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import click

from rounds import words
from rounds.cli.lines import table, wrapped
from rounds.cli.options import argument, command, option, reading
from rounds.cli.output import Answer
from rounds.errors import BadInput
from rounds.near import nearest
from rounds.service.charts.asked import charts_of
from rounds.service.charts.chart import Chart
from rounds.service.inference.day import collection_on
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant


@command("chart")
@argument("CODE", required=False)
@option("--only", metavar="NAME", about="chart-only")
@reading
def chart(logbook: Logbook, on: date, code: str | None, only: str | None) -> Answer:
    """What the charts show, each as a sentence and rows."""
    plant = None if code is None else find_plant(logbook, code)
    asked = charts_of(None if plant is None else plant.id)
    names = [each.code for each in asked]
    if only is not None and only not in names:
        raise BadInput("none-of", field="only", given=only, nearest=nearest(only, names))
    day = collection_on(logbook, on)
    if plant is not None and on < plant.first_day:
        raise BadInput("plant-not-yet", field="on", code=plant.code, day=on, first=plant.first_day)
    charts = [finished(each.in_steps(day)) for each in asked if only is None or each.code == only]
    return Answer(
        "chart",
        on,
        {
            "code": None if plant is None else plant.code,
            "charts": [_fields(each) for each in charts],
        },
        lambda: _lines(charts),
    )


COMMANDS: tuple[click.Command, ...] = (chart,)
"""What the screens draw."""


def _fields(chart: Chart) -> dict[str, Any]:
    return {
        "name": chart.code,
        "title": chart.title,
        "text": chart.sentence,
        "about": chart.about,
        "across": chart.across.unit,
        "up": chart.up.unit,
        "keys": list(chart.rows[0].values) if chart.rows else [],
        "rows": [list(row.values.values()) for row in chart.rows],
    }


def _lines(charts: list[Chart]) -> Iterator[str]:
    for number, each in enumerate(charts):
        if number:
            yield ""
        yield words.say("charts.cli.title", title=each.title, name=each.code)
        yield from wrapped(each.sentence)
        yield from wrapped(each.about)
        if each.rows:
            yield from table([each.heads, *(row.cells for row in each.rows)], indent=2)

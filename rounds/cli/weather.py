"""weather: the least and greatest temperature of a place on a day."""

from typing import Any

import click

from rounds import words
from rounds.cli.lines import said_once
from rounds.cli.options import Writing, argument, command, option, writing
from rounds.cli.output import Answer
from rounds.cli.values import NUMBER
from rounds.service.collection.plants import put_weather
from rounds.service.logbook.moment import read_day
from rounds.service.plant.origins import heat_at
from rounds.words.forms import calendar_day


@command("weather")
@argument("PLACE")
@argument("DATE", "day")
@option("--min", "min_c", type=NUMBER, metavar="C", required=True)
@option("--max", "max_c", type=NUMBER, metavar="C", required=True)
@option("--change", is_flag=True, about="change-weather")
@writing
def weather(
    asked: Writing, place: str, day: str, min_c: float, max_c: float, change: bool
) -> Answer:
    """Enter the temperatures of a day or correct them."""
    about = read_day(day, "day")

    def write() -> dict[str, Any]:
        entered, name = put_weather(
            asked.logbook, asked.moment, place, about, min_c, max_c, change=change
        )
        return {"place": entered.place, "id": str(name)}

    written, known = asked.once(write)
    entered = {
        "place": written["place"],
        "day": about,
        "min_c": min_c,
        "max_c": max_c,
        "id": written["id"],
    }
    kept = words.say(
        "cli.weather.kept",
        place=written["place"],
        day=calendar_day(about, asked.moment.day),
        min_c=min_c,
        max_c=max_c,
    )
    hot = heat_at(asked.logbook, max_c, about)
    return Answer(
        "weather",
        asked.moment.day,
        {"weather": entered, "already_known": known},
        lambda: [*said_once(known), kept, *([hot] if hot else []), written["id"]],
    )


COMMANDS: tuple[click.Command, ...] = (weather,)

"""A plant in one line for a person."""

from datetime import date

from rounds import words
from rounds.cli.lines import table
from rounds.service.plant.status import PlantStatus
from rounds.words.forms import days_text


def where(status: PlantStatus) -> str:
    """Place and spot."""
    place = status.place or ""
    if status.spot is None:
        return place
    return words.say("round.place-and-spot", place=place, spot=status.spot)


def standing(status: PlantStatus, on: date) -> str:
    """apart, day 19; in the collection."""
    days = (on - status.standing_since).days
    return words.say(f"round.standing.{status.standing}", days=days)


def streak(status: PlantStatus) -> str:
    """4 looks, 5 days."""
    looks = status.streak.looks
    said = words.say("forms.one-look") if looks == 1 else words.say("forms.looks", looks=looks)
    return words.say("cli.line.streak", looks=said, days=days_text(status.streak.days))


def plant_line(status: PlantStatus, on: date) -> str:
    """A plant in one line: code, name, where it is, how it stands, its streak."""
    row = [
        words.say("cli.line.plant", code=status.code, name=status.name),
        where(status),
        standing(status, on),
        words.say("cli.line.clean", streak=streak(status)),
    ]
    return table([[cell for cell in row if cell]])[0]

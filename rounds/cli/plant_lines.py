"""A plant in one line for a person."""

from collections.abc import Iterator

from rounds import words
from rounds.cli.lines import table
from rounds.service.inference.result import Left
from rounds.service.plant.status import PlantStatus
from rounds.service.plant.status_text import (
    band_line,
    clean_text,
    held_line,
    holds_line,
    misfit_line,
    moved_line,
    risk_text,
    sooner_line,
    standing_text,
    where_text,
)
from rounds.words.forms import days_text, expected_number


def streak(status: PlantStatus) -> str:
    """A streak in words: 4 looks, 5 days."""
    looks = status.streak.looks
    said = words.say("forms.one-look") if looks == 1 else words.say("forms.looks", looks=looks)
    return words.say("cli.line.streak", looks=said, days=days_text(status.streak.days))


def plant_line(status: PlantStatus) -> str:
    """A plant in one line: code, name, where it is, how it stands, its streak."""
    row = [
        words.say("cli.line.plant", code=status.code, name=status.name),
        where_text(status),
        standing_text(status),
        words.say("cli.line.clean", streak=streak(status)),
    ]
    return table([[cell for cell in row if cell]])[0]


def left_line(status: PlantStatus, probably: Left) -> str:
    """Its chance clean, the numbers that are probably left, and its risk."""
    said = {"clean": clean_text(status), "risk": risk_text(status)}
    least, most = expected_number(probably.low), expected_number(probably.high)
    if least == most:
        return words.say("cli.plant.left-one", number=least, **said)
    return words.say("cli.plant.left", least=least, most=most, **said)


def why_lines(status: PlantStatus) -> Iterator[str]:
    """What the chance clean leans on, what holds it down, what is sooner, what moved the day."""
    if status.why is None:
        return
    for line in (
        misfit_line(status),
        band_line(status),
        held_line(status),
        sooner_line(status),
        holds_line(status),
        status.why.removal,
        moved_line(status),
    ):
        if line:
            yield line

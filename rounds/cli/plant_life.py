"""The parts of a plant's page that only some have: signs, and what was done with it."""

from collections.abc import Iterator
from datetime import date

from rounds import words
from rounds.service.plant.history import PlantHistory
from rounds.words.forms import day_month

Row = list[str]


def sign_rows(history: PlantHistory, on: date) -> list[Row]:
    """Every sign with its zone and the name it is taken back by."""
    return [
        [
            day_month(sign.day, on),
            sign.zone,
            sign.sign,
            words.say("cli.plant.withdrawn" if sign.withdrawn else "life.cli.stands"),
            sign.id,
        ]
        for sign in history.signs
    ]


def life_rows(history: PlantHistory, on: date) -> list[Row]:
    """Repotted, divided, come of a division, gone: each with its day, oldest first."""
    dated = sorted(_done(history), key=lambda row: row[0])
    return [[day_month(day, on), text, entry] for day, text, entry in dated]


def _done(history: PlantHistory) -> Iterator[tuple[date, str, str]]:
    whole, gone = history.divided_from, history.gone
    if whole is not None:
        yield whole.on, words.say("life.cli.divided-from", code=whole.code, into=whole.into), ""
    for repotted in history.repotted:
        yield repotted.on, words.say("life.cli.repotted"), repotted.id
    for divided in history.divided:
        codes = ", ".join(divided.parts)
        text = words.say("life.cli.divided", into=divided.into, codes=codes)
        yield divided.on, text, divided.id
    if gone is not None:
        yield gone.on, words.say("life.cli.gone", how=gone.how), gone.id

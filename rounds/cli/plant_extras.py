"""The parts of a plant's page that only some have: signs, and what was done with it."""

from collections.abc import Iterator
from datetime import date

from rounds import words
from rounds.service.plant.events import PlantEvents
from rounds.words.forms import day_month

Row = list[str]


def sign_rows(events: PlantEvents, on: date) -> list[Row]:
    """Every sign with its zone and the name it is taken back by."""
    return [
        [
            day_month(sign.day, on),
            look.zone,
            sign.sign,
            words.say("cli.plant.withdrawn" if sign.withdrawn else "done.cli.stands"),
            sign.id,
        ]
        for sign, look in events.signs
    ]


def done_rows(events: PlantEvents, on: date) -> list[Row]:
    """Repotted, divided, come of a division, gone: each with its day, oldest first."""
    dated = sorted(_done(events), key=lambda row: row[0])
    return [[day_month(day, on), text, entry] for day, text, entry in dated]


def _done(events: PlantEvents) -> Iterator[tuple[date, str, str]]:
    whole, gone = events.divided_from, events.gone
    if whole is not None:
        yield whole.day, words.say("done.cli.divided-from", code=whole.code, into=whole.into), ""
    for repotted in events.repotted:
        yield repotted.day, words.say("done.cli.repotted"), repotted.id
    for divided in events.divided:
        codes = ", ".join(divided.parts)
        text = words.say("done.cli.divided", into=divided.into, codes=codes)
        yield divided.day, text, divided.id
    if gone is not None:
        yield gone.day, words.say("done.cli.gone", how=gone.value), gone.id

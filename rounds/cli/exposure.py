"""exposure, cleaned: who stood near a find, what is watched, which spots stay empty."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import click

from rounds import words
from rounds.cli.lines import said_once, table, wrapped
from rounds.cli.options import Writing, argument, command, option, writing
from rounds.cli.output import Answer
from rounds.service.exposure.cleaning import enter_cleaned
from rounds.service.exposure.emptied import EmptiedSpot, emptied_spots, spot_text
from rounds.service.exposure.exposed import (
    ExposedPlant,
    ExposureList,
    exposed_text,
    exposure_to,
    lead_text,
)
from rounds.service.exposure.watching import watch_all
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook.moment import read_day
from rounds.service.plant.status_text import clean_text
from rounds.words.forms import calendar_day, codes_text


@command("exposure")
@argument("CODE")
@option("--found-on", metavar="DATE")
@option("--watch", is_flag=True)
@writing
def exposure(asked: Writing, code: str, found_on: str | None, watch: bool) -> Answer:
    """Who stood near a plant with insects; put them on watch."""
    logbook, on = asked.logbook, asked.moment.day
    day = None if found_on is None else read_day(found_on, "found_on")
    found = exposure_to(logbook, code, on, day)
    watch_ids, known = [], False
    if watch:

        def write() -> dict[str, Any]:
            return {"ids": [str(name) for name in watch_all(logbook, asked.moment, found)]}

        written, known = asked.once(write)
        watch_ids = written["ids"]
        found = exposure_to(logbook, code, on, day)
    fields = {
        "code": found.code,
        "found_on": found.spell.last_find,
        "since": found.spell.since,
        "fully_checked_then": found.spell.is_checked,
        "exposed": [_exposed_fields(plant, on) for plant in found.plants],
        "emptied": [emptied_fields(spot, on) for spot in found.emptied],
        "watch_ids": watch_ids,
        "already_known": known,
    }
    return Answer(
        "exposure",
        on,
        fields,
        lambda: [*said_once(known), *_lines(found, watch, watch_ids, on)],
    )


def _exposed_fields(found: ExposedPlant, on: date) -> dict[str, Any]:
    status = found.status
    return {
        "code": status.code,
        "near": found.how,
        "first_on": found.first,
        "last_on": found.last,
        "days": [
            {"near": stood.how, "first_on": stood.first, "last_on": stood.last}
            for stood in found.stood
        ],
        "near_now": found.is_near_now,
        "standing": status.standing,
        "place": status.place,
        "spot": status.spot,
        "given_away_on": found.gone_on,
        "watched": found.is_watched,
        "chance_clean": status.chance_clean,
        "low": status.band and status.band.low,
        "high": status.band and status.band.high,
        "text": exposed_text(found, on),
    }


def emptied_fields(spot: EmptiedSpot, on: date) -> dict[str, Any]:
    """A spot that a plant with insects left, as it stands in an object."""
    return {
        "place": spot.place,
        "spot": spot.spot,
        "plant": spot.code,
        "emptied_on": spot.emptied_on,
        "cleaned_on": spot.cleaned_on,
        "keep_empty_until": spot.free_on,
        "text": spot_text(spot, on),
    }


def _lines(found: ExposureList, watch: bool, watch_ids: list[str], on: date) -> Iterator[str]:
    yield from wrapped(lead_text(found))
    if not found.plants:
        yield words.say("exposure.none")
    for plant in found.plants:
        status = plant.status
        yield from table([[status.code, status.name, clean_text(status)]], indent=2)
        yield from wrapped(exposed_text(plant, on))
    if watch_ids:
        codes = [plant.status.code for plant in found.plants if plant.is_watched]
        yield words.say("exposure.watched", codes=codes_text(codes))
        yield from watch_ids
    elif watch:
        yield words.say("exposure.none-to-watch")
    if found.emptied:
        yield words.say("exposure.emptied")
        for spot in found.emptied:
            yield from wrapped(spot_text(spot, on))


@command("cleaned")
@argument("PLACE")
@option("--spot", metavar="S", about="cleaned-spot")
@writing
def cleaned(asked: Writing, place: str, spot: str | None) -> Answer:
    """Enter that a spot was cleaned."""

    def write() -> dict[str, Any]:
        name, of = enter_cleaned(asked.logbook, asked.moment, place, spot)
        return {"id": str(name), "place": of.name}

    written, known = asked.once(write)
    on = asked.moment.day
    marked = [
        empty
        for empty in emptied_spots(CollectionDay(asked.logbook, on))
        if empty.place == written["place"]
    ]
    where = words.say("exposure.place-spot", place=written["place"], spot=spot) if spot else ""

    def lines() -> Iterator[str]:
        yield from said_once(known)
        yield words.say(
            "exposure.cleaned", where=where or written["place"], day=calendar_day(on, on)
        )
        yield written["id"]
        for empty in marked:
            yield from wrapped(spot_text(empty, on))

    fields = {
        "cleaned_id": written["id"],
        "place": written["place"],
        "spot": spot,
        "emptied": [emptied_fields(empty, on) for empty in marked],
        "already_known": known,
    }
    return Answer("cleaned", on, fields, lines)


COMMANDS: tuple[click.Command, ...] = (exposure, cleaned)

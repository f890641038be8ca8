"""What one plant's log tells, kept under the key of all that it rests on."""

from collections.abc import Callable, Generator
from dataclasses import dataclass
from datetime import date
from typing import Any

from rounds.service.courses.standing import courses_key
from rounds.service.inference.kept import dated, digest, kept_or_worked_out, known, place_digest
from rounds.service.plant.record import PlantRecord

Made = Generator[None, None, dict[str, Any]]
"""Plain data, worked out in short steps."""


@dataclass(frozen=True, slots=True)
class Told:
    """What the log of one plant says of one pest, on the days up to some day."""

    record: PlantRecord
    pest: str
    until: date
    """last day before the one spoken about on which it was looked at"""


def kept_in_steps(
    told: Told, what: str, table_key: str, kept_as: str, work_out: Callable[[Told], Made]
) -> Made:
    """What is kept of a plant, else worked out in steps and kept.

    Args:
        told: of which plant.
        what: the name under which it is kept, for its pest.
        table_key: digest of the values it rests on.
        kept_as: prefix of that name.
        work_out: what makes it.

    Raises:
        NotKept: it is not kept, and nothing may be worked out.
    """
    logbook, plant_id = told.record.logbook, told.record.plant.id
    name = f"{what} {told.pest}"
    key = dated(told.until, _key(told, table_key))
    # the newest of a plant that was not looked at since serves for an earlier day too
    for each in (name, f"{kept_as}{name}"):
        before: dict[str, Any] | None = known(logbook, plant_id, each, key)
        if before is not None:
            return before
    result = (yield from work_out(told)) if logbook.works_out else {}
    found: dict[str, Any] = kept_or_worked_out(
        logbook, plant_id, f"{kept_as}{name}", key, lambda: result
    )
    return found


def _key(told: Told, table_key: str) -> str:
    """Digest of all that its chances rest on."""
    record, plant = told.record, told.record.lived
    collection = record.logbook.collection()
    places = sorted({move.place_id for move in plant.moves})
    return digest(
        table_key,
        told.pest,
        record.past.key,
        record.insects_seen_on,
        [(d.day, d.parts, d.entry) for d in record.divisions],
        [(f.id, f.from_day, f.what, f.value) for f in plant.facts],
        [(m.id, m.day, m.place_id) for m in plant.moves],
        [(p.id, p.began_on, p.kind, p.ended_on) for p in plant.periods],
        courses_key(plant, told.until),
        [
            place_digest(
                collection.places[place], collection.weather.get(place, {}).values(), told.until
            )
            for place in places
        ],
    )

"""Put a plant apart: from today, where there is a place for it, or where it stands."""

from collections.abc import Sequence
from datetime import date

from rounds import words
from rounds.core.collection import FOUND, FOUND_CANNOT_MOVE, TOUCHED, Place, Plant
from rounds.errors import Refused
from rounds.service.collection.plants import check_here, move_plant
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_plant
from rounds.service.plant.claims import waits_to_stand_apart
from rounds.service.plant.record import PlantRecord
from rounds.store import plants
from rounds.words.forms import codes_text


def put_apart(
    logbook: Logbook, moment: Moment, code: str, *, cannot_move: bool = False
) -> list[str]:
    """Begin the quarantine of a plant that stands among the others.

    It is moved to the place for plants apart, if one is known and it can be moved. Where insects
    were found on it, the plants it touched are put on watch; their codes are returned, in order.
    Refused where it is in quarantine already.
    """
    plant = find_plant(logbook, code)
    check_here(plant, moment.day)
    if plant.quarantine(moment.day) is not None:
        raise Refused("already-apart", code=plant.code, field="code")
    place = None if cannot_move else apart_place(logbook, plant, moment.day)
    stands = plant.move_on(moment.day)
    with plants.in_one_go(logbook.file):
        watched = _watch_neighbours(logbook, moment, plant)
        plants.append_period(
            logbook.file,
            plant.id,
            moment.day,
            moment.at_ms,
            kind="quarantine",
            began_because=FOUND_CANNOT_MOVE if cannot_move else FOUND,
        )
        if place is not None and (stands is None or stands.place_id != place.id):
            move_plant(logbook, moment, plant.code, place.name)
    return watched


def apart_place(logbook: Logbook, plant: Plant, day: date) -> Place | None:
    """Where a plant is quarantined: in its own room if it can be, where most already are."""
    stands = plant.move_on(day)
    room = logbook.collection().places[stands.place_id].room(day) if stands else None
    return quarantine_place(logbook, room, day)


def quarantine_place(logbook: Logbook, room: str | None, day: date) -> Place | None:
    """The quarantine place of a room if it has one, else any; where most plants already are."""
    found = logbook.collection()
    crowd: dict[int, int] = {}
    for other in found.here(day):
        move = other.move_on(day)
        if move is not None:
            crowd[move.place_id] = crowd.get(move.place_id, 0) + 1
    return min(
        (place for place in found.places.values() if place.apart(day)),
        key=lambda p: (p.room(day) != room, -crowd.get(p.id, 0), p.name.casefold()),
        default=None,
    )


def _watch_neighbours(logbook: Logbook, moment: Moment, plant: Plant) -> list[str]:
    if not waits_to_stand_apart(record_of(logbook, plant, moment.day)):
        return []
    collection = logbook.collection()
    watched = []
    for other_id in plant.touching(moment.day):
        other = collection.plants[other_id]
        if other.gone(moment.day) is not None or other.quarantine(moment.day) is not None:
            continue
        plants.append_period(
            logbook.file,
            other.id,
            moment.day,
            moment.at_ms,
            kind="watch",
            began_because=f"{TOUCHED} {plant.code}",
        )
        watched.append(other.code)
    return sorted(watched, key=str.casefold)


def said_apart(record: PlantRecord, watched: Sequence[str], *, cannot_move: bool) -> str:
    """The message after putting a plant apart; `watched` are codes of plants now on watch."""
    code = record.plant.code
    move = record.plant.move_on(record.on)
    place = record.logbook.collection().places[move.place_id] if move else None
    if cannot_move:
        said = words.say("round.said.apart-in-place", code=code)
    elif place is None or not place.apart(record.on):
        said = words.say("round.said.apart-here", code=code)
    else:
        said = words.say("round.said.apart-at", code=code, place=place.name)
    if not watched:
        return said
    on_watch = words.say("round.said.watched", codes=codes_text(watched))
    return words.say("forms.and").join([said, on_watch])

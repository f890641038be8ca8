"""Enter the plants of a delivery, and the looks made at those that were opened."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from rounds import words
from rounds.core.body import Body, make_body
from rounds.core.collection import Place, Plant
from rounds.errors import BadInput
from rounds.service.arrival.delivery import Delivery, FoundOn, by_zone, check_delivery, read_found
from rounds.service.collection.apart import quarantine_place
from rounds.service.collection.next_code import next_codes
from rounds.service.collection.plants import PlantDetails, check_code, write_new_plant
from rounds.service.entries.looks import (
    LookEntered,
    check_look,
    round_of_entries,
    share_seconds,
    write_look,
)
from rounds.service.logbook.book import DEFAULT_FORM, DEFAULT_SIZE, Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import check_form, check_size, find_place


@dataclass(frozen=True, slots=True)
class CheckedDelivery:
    """A delivery that can be, with what it says of plants found."""

    delivery: Delivery
    form: str
    size: str
    body: Body
    found: tuple[FoundOn, ...]
    room: Place | None
    """where its plants go: the place named, a quarantine place, or the only place there is"""
    stand_in: Place | None
    """where they stand as long as it is only seen what is advised"""
    known: tuple[Plant, ...]
    """plants of it that are entered"""


def checked(logbook: Logbook, day: date, delivery: Delivery) -> CheckedDelivery:
    """A delivery of a day. BadInput where it cannot be so."""
    check_delivery(delivery)
    form = check_form(logbook, delivery.form or DEFAULT_FORM)
    size = check_size(delivery.size or DEFAULT_SIZE)
    body = make_body(form, size, False, logbook.parameters_on(day))
    room = _room(logbook, day, delivery)
    return CheckedDelivery(
        delivery=replace(delivery, source=as_written(logbook, day, delivery.source)),
        form=form,
        size=size,
        body=body,
        found=tuple(read_found(delivery.found, delivery.opened or 0, body)),
        room=room,
        stand_in=room or next(iter(logbook.collection().places.values()), None),
        known=delivered(logbook, day, delivery.source, delivery.name),
    )


def _room(logbook: Logbook, day: date, delivery: Delivery) -> Place | None:
    if delivery.place is not None:
        return find_place(logbook, delivery.place)
    places = list(logbook.collection().places.values())
    only = places[0] if len(places) == 1 else None
    return quarantine_place(logbook, None, day) or only


def enter(logbook: Logbook, moment: Moment, of: CheckedDelivery) -> tuple[Plant, ...]:
    """Write the plants that are not entered yet, and the looks; all plants of the delivery.

    BadInput where there is no place for them, or a code is taken. Inside a transaction.
    """
    plants = (*of.known, *_new_plants(logbook, moment, of))
    _write_looks(logbook, moment, of, plants)
    return plants


def delivered(
    logbook: Logbook, day: date, source: str, name: str | None = None
) -> tuple[Plant, ...]:
    """The plants that came from a source on a day, of one name if given; as they were entered."""
    wanted = source.strip().casefold()
    return tuple(
        plant
        for plant in logbook.collection().plants.values()
        if plant.fact("arrived", day) == day.isoformat()
        and (plant.fact("source", day) or "").strip().casefold() == wanted
        and name in (None, plant.fact("name", day))
    )


def as_written(logbook: Logbook, day: date, source: str) -> str:
    """The source as it was written of others of that day, as mates are told by it."""
    others = delivered(logbook, day, source)
    return (others[0].fact("source", day) if others else None) or source.strip()


def _new_plants(logbook: Logbook, moment: Moment, of: CheckedDelivery) -> list[Plant]:
    delivery, place = of.delivery, of.stand_in
    missing = range(len(of.known), delivery.units)
    if not missing:
        return []
    if place is None:
        raise BadInput("delivery-needs-place", field="place")
    details = _details(delivery, place)
    taken = [plant.code for plant in logbook.collection().plants.values()]
    given = delivery.codes[missing.start :] or next_codes(taken, len(missing))
    written = []
    for code in map(check_code, given):
        if code.casefold() in map(str.casefold, taken):
            raise BadInput("plant-known", code=code, field="codes")
        taken.append(code)
        written.append(write_new_plant(logbook, moment, code, details, place))
    return written


def _details(delivery: Delivery, place: Place) -> PlantDetails:
    return PlantDetails(
        name=delivery.name or words.say("arrival.unnamed", source=delivery.source),
        botanical_name=delivery.botanical_name,
        form=delivery.form,
        size=delivery.size,
        source=delivery.source,
        value=delivery.value,
        note=delivery.note,
        pests=delivery.pests,
        place=place.name,
    )


def _write_looks(
    logbook: Logbook, moment: Moment, of: CheckedDelivery, plants: Sequence[Plant]
) -> None:
    """Write the looks at those opened; without seconds only where something was found."""
    seconds = of.delivery.seconds
    if seconds is None and not of.found:
        return
    round_id = round_of_entries(logbook, moment, "entered")
    shares = share_seconds(of.body.outside, seconds or 0.0)
    for unit, plant in enumerate(plants[: of.delivery.opened], 1):
        finds = by_zone(find for find in of.found if find.unit == unit)
        seen = {*finds, *(shares if seconds is not None else ())}
        for zone in (z.zone for z in of.body.zones if z.zone in seen):
            entered = _entered(zone, shares, finds)
            look = check_look(logbook, plant, moment.day, entered)
            write_look(logbook, moment, plant, look, round_id)


def _entered(
    zone: str,
    shares: Mapping[str, float],
    finds: Mapping[str, Sequence[tuple[str, str | None, int]]],
) -> LookEntered:
    """The look at one zone; roots, which no share is for, were out of the pot."""
    look = LookEntered((zone,), shares.get(zone, 0.0), unpotted=zone not in shares)
    return look.with_stages(finds.get(zone, ()))

"""Spots that plants with insects left: kept empty until what may be left there has starved."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from rounds import words
from rounds.core.collection import Move, Plant, same_spot
from rounds.core.parameters import Watch
from rounds.core.quarantine.watch import watch_ends
from rounds.service.exposure.spell import Spell, spells_of
from rounds.service.inference.day import CollectionDay
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import calendar_day

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class EmptiedSpot:
    """Where a plant with insects stood."""

    place_id: int
    place: str
    spot: str | None
    """None where it had no spot there"""
    plant_id: int
    code: str
    """of the plant"""
    name: str
    emptied_on: date
    cleaned_on: date | None
    """last cleaned since"""
    free_on: date | None
    """the first day on which another plant may stand there; None beyond reckoning"""


def emptied_spots(day: CollectionDay) -> tuple[EmptiedSpot, ...]:
    """The spots that are still to be kept empty at the end of a day, those free soonest first."""
    found: dict[tuple[int, str], EmptiedSpot] = {}
    for record in day.came.values():
        for spell in spells_of(record) if record.live_on else ():
            for spot in _left_in(spell):
                key = spot.place_id, (spot.spot or "").casefold()
                if key not in found or _order(found[key]) < _order(spot):
                    found[key] = spot
    marked = (spot for spot in found.values() if spot.free_on is None or spot.free_on > day.on)
    standing = [move for plant in _here(day) if (move := plant.move_on(day.on))]
    return tuple(sorted((s for s in marked if not _is_taken(s, standing)), key=_order))


def spots_left(spell: Spell) -> tuple[EmptiedSpot, ...]:
    """The spots that a plant left in the course of a spell, oldest first."""
    return tuple(_left_in(spell))


def spot_text(empty: EmptiedSpot, on: date) -> str:
    """Whose it was and how long it stays empty, as a sentence."""
    until = calendar_day(empty.free_on, on) if empty.free_on else words.say("exposure.no-day")
    said = "cleaned" if empty.cleaned_on else "uncleaned"
    return words.say(
        f"exposure.spot.{said}",
        where=where_text(empty),
        code=empty.code,
        left=calendar_day(empty.emptied_on, on),
        until=until,
    )


def where_text(empty: EmptiedSpot) -> str:
    """porch shelf, spot 3; porch shelf."""
    if not empty.spot:
        return empty.place
    return words.say("exposure.place-spot", place=empty.place, spot=empty.spot)


def _order(spot: EmptiedSpot) -> tuple[date, date, str]:
    return spot.free_on or date.max, spot.emptied_on, spot.code.casefold()


def _here(day: CollectionDay) -> Iterator[Plant]:
    return (record.plant for record in day.records.values())


def _is_taken(spot: EmptiedSpot, standing: list[Move]) -> bool:
    """Whether a plant was put there since: it is empty no more."""
    return bool(spot.spot) and any(
        move.place_id == spot.place_id
        and same_spot(move.spot, spot.spot)
        and move.day >= spot.emptied_on
        for move in standing
    )


def _left_in(spell: Spell) -> Iterator[EmptiedSpot]:
    for life in spell.lives:
        plant = life.plant
        moves = sorted(plant.moves, key=lambda move: (move.day, move.id))
        ends = [move.day for move in moves[1:]]
        gone = plant.gone(life.last)
        for move, left in zip(moves, [*ends, life.last if gone else None], strict=True):
            is_within = left is not None and spell.since < left <= spell.until
            if left is not None and is_within and move.day <= left:
                yield _emptied(spell.record, plant, move, left)


def _emptied(record: PlantRecord, plant: Plant, move: Move, left: date) -> EmptiedSpot:
    place = record.logbook.collection().places[move.place_id]
    cleaned = place.cleaned_on(move.spot, left, record.on)
    return EmptiedSpot(
        place_id=place.id,
        place=place.name,
        spot=move.spot or None,
        plant_id=plant.id,
        code=plant.code,
        name=plant.fact("name", left) or plant.code,
        emptied_on=left,
        cleaned_on=cleaned,
        free_on=_free_on(record, move, left, cleaned),
    )


def _free_on(record: PlantRecord, move: Move, left: date, cleaned: date | None) -> date | None:
    """When what may be left there has starved.

    Where nobody cleaned it, what was left may have laid before it starved: its eggs hatch first,
    then their young starve too.
    """
    empty, biology = record.table.empty_spots, record.biology
    asked = Watch(empty.days, empty.degree_days)
    if cleaned is None:
        asked = Watch(2 * empty.days, 2 * empty.degree_days + biology.egg_degree_days[1])
    # the warmth of the place, as of a plant that never left it
    there = Plant(0, "", left, moves=(Move(0, 0, left, move.place_id, None),))
    return watch_ends(
        cleaned or left,
        asked,
        lambda first, before: record.temperatures.degree_days(there, first, before, biology.warmth),
        record.temperatures.rate(there, record.on, biology.warmth),
        record.on,
    )

"""A course at all plants of a place or a bench: who takes part, and how it is undone in one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds.core.collection import Plant
from rounds.core.lineage import lived
from rounds.errors import BadInput
from rounds.service.courses.standing import WETTING
from rounds.service.courses.templates import Template
from rounds.service.courses.written import COURSE, withdraw_course
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_place
from rounds.store import courses


@dataclass(frozen=True, slots=True)
class Shelf:
    """The plants of a place or bench, by what a course means for each; codes."""

    taking: tuple[str, ...]
    """it can be begun there"""
    running: tuple[str, ...]
    """it is under way"""
    unfit: tuple[str, ...]
    """their growth form does not stand it"""
    disliking: tuple[str, ...]
    """of those taking part, which dislike wet leaves where it wets them"""


def shelf(logbook: Logbook, on: date, place: str | None, bench: str | None) -> list[Plant]:
    """The plants that stand at a place, on a bench, or both. BadInput where none does."""
    found = logbook.collection()
    at = find_place(logbook, place) if place is not None else None
    wanted = bench.strip().casefold() if bench is not None else None
    plants = []
    for plant in found.here(on):
        move = plant.move_on(on)
        stands = found.places[move.place_id] if move else None
        if stands is None or (at is not None and stands.id != at.id):
            continue
        if wanted is None or (stands.bench(on) or "").casefold() == wanted:
            plants.append(plant)
    if not plants:
        raise BadInput("nobody-on-shelf", field="place")
    return sorted(plants, key=lambda plant: plant.code.casefold())


def shelf_for(logbook: Logbook, on: date, template: Template, plants: Sequence[Plant]) -> Shelf:
    """What a course means for some plants on a day."""
    every = logbook.collection().plants
    taking, running, unfit = [], [], []
    for plant in plants:
        known = lived(plant, every).courses_on(on)
        form = logbook.body_on(plant, on)(on).form
        if any(c.is_running and c.begun.course == template.code for c in known):
            running.append(plant)
        elif template.forms is not None and form not in template.forms:
            unfit.append(plant)
        else:
            taking.append(plant)
    wets = bool(WETTING & template.kinds)
    disliking = [p for p in taking if wets and "wet-leaves" in (p.fact("dislikes", on) or "")]
    return Shelf(*(tuple(p.code for p in of) for of in (taking, running, unfit, disliking)))


def begun_together(logbook: Logbook, course_id: int) -> tuple[EntryName, ...]:
    """The names of all courses begun in one go with one that still stand, itself included."""
    plants = logbook.collection().plants
    return tuple(
        EntryName(COURSE, day, plant_id, entry)
        for plant_id, entry, day in courses.written_with(logbook.file, course_id)
        if any(course.id == entry for course in plants[plant_id].courses)
    )


def withdraw_together(logbook: Logbook, moment: Moment, names: Sequence[EntryName]) -> None:
    """Take courses back that were begun in one go, all or none."""
    plants = logbook.collection().plants
    with logbook.file.writing():
        for name in names:
            withdraw_course(logbook, moment, name, plants[name.owner_id], None)

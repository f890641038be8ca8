"""The first start: a place, plants, who is in quarantine; each line is saved when it is taken.

What is said for all holds for the place named last: one named before keeps what was said for it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from rounds.core.collection import INSECTS_SEEN, Place, Plant
from rounds.service.collection.plant_line import read_plant_line
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    move_plant,
    put_place,
)
from rounds.service.entries.removal_line import Removal, removals_on
from rounds.service.logbook.book import DEFAULT_SIZE, Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.settings import keep_usual
from rounds.store import plants as plants_kept

Step = Literal["place", "plants", "size", "apart", "minutes", "warmth", "removed", "end"]
STEPS: Final[tuple[Step, ...]] = (
    "place", "plants", "size", "apart", "minutes", "warmth", "removed", "end",
)  # fmt: skip

SETTING = "first-start"
"""Name of the setting that keeps how far the first start has come."""

SIZED = "first-start-sized"
"""Name of the setting that keeps the codes of the plants whose line gave them a size."""

Start = Literal["new", "insects-seen"]
"""Of a plant in quarantine: it came new, or insects were seen on it and not counted."""
STARTS: Final[tuple[Start, ...]] = ("new", "insects-seen")
ARRIVED = "arrived"


@dataclass(frozen=True, slots=True)
class FirstStart:
    """What has been entered so far."""

    step: Step
    places: tuple[Place, ...]
    plants: tuple[Plant, ...]
    apart: tuple[Plant, ...]
    """those in quarantine today"""
    sized: frozenset[str]
    """codes of those whose line gave them a size"""
    place_apart: Place | None
    minutes: float
    usual_c: float | None
    """of the place entered last, degC; None where it is assumed"""
    removals: tuple[Removal, ...]

    @property
    def size(self) -> str | None:
        """The size of all plants; None where they differ, or there are none."""
        sizes = {plant.fact("size", date.max) or DEFAULT_SIZE for plant in self.plants}
        return sizes.pop() if len(sizes) == 1 else None

    @property
    def unsaid(self) -> Plant | None:
        """The first in quarantine of which it is not said whether it is new, or has insects."""
        return next((plant for plant in self.apart if start_of(plant) is None), None)

    @property
    def sized_here(self) -> tuple[Plant, ...]:
        """The plants the size of all holds for: put at the place named last, without their own."""
        return tuple(
            plant
            for plant in self.plants
            if plant.code not in self.sized and self.place and _came_to(plant) == self.place.id
        )

    @property
    def place(self) -> Place | None:
        """The place of the plants entered next: the one named last that is not a place apart."""
        among = [place for place in self.places if place != self.place_apart]
        return among[-1] if among else None


def start_of(plant: Plant) -> Start | None:
    """Whether a plant came new, or with insects seen on it; None where nothing is said."""
    if plant.insects_seen(date.max):
        return "insects-seen"
    return "new" if plant.fact(ARRIVED, date.max) is not None else None


def _came_to(plant: Plant) -> int:
    """The id of the place it was put at first."""
    return min(plant.moves, key=lambda move: move.id).place_id


def is_due(logbook: Logbook) -> bool:
    """Whether a collection is still to be begun, or was begun and not gone on with."""
    return step_of(logbook) != "end"


def step_of(logbook: Logbook) -> Step:
    """The step it has come to; `end` for a collection that was entered in another way."""
    kept = logbook.setting(SETTING)
    found = logbook.collection()
    if kept is None and found.plants:
        return "end"
    begins: Step = "plants" if found.places else "place"
    step = next((step for step in STEPS if step == kept), begins)
    # lines about plants need a place and plants first
    return step if found.plants else begins if step != "place" else "place"


def begin(logbook: Logbook) -> FirstStart:
    """Begin it, or go on with it; what has been entered so far.

    That it is under way is kept, so that what others enter meanwhile does not end it.
    """
    go_to(logbook, step_of(logbook))
    return read(logbook)


def go_to(logbook: Logbook, step: Step) -> None:
    """Keep how far it has come."""
    logbook.put_setting(SETTING, step)


def read(logbook: Logbook) -> FirstStart:
    """What has been entered so far, from the log."""
    today = logbook.clock.today()
    found = logbook.collection()
    plants = tuple(found.here(today))
    places = tuple(found.places.values())
    among = [place for place in places if not place.apart(today)]
    return FirstStart(
        step=step_of(logbook),
        places=places,
        plants=plants,
        apart=tuple(plant for plant in plants if plant.quarantine(today) is not None),
        sized=frozenset((logbook.setting(SIZED) or "").split()),
        place_apart=next((place for place in places if place.apart(today)), None),
        minutes=logbook.minutes(),
        usual_c=among[-1].usual_c(today) if among else None,
        removals=removals_on(logbook, plants, today),
    )


def name_place(logbook: Logbook, moment: Moment, name: str) -> Place:
    """Enter the place the next plants stand at. BadInput for one that is known."""
    return put_place(logbook, moment, name, PlaceDetails())


def add_plants(logbook: Logbook, moment: Moment, place: Place, lines: Sequence[str]) -> list[Plant]:
    """Enter plants that are there already, one a line: code, name, form, size as `PlantLine`.

    All of them, or none: BadInput where a line cannot be taken.
    """
    with logbook.file.writing():
        return [_add(logbook, moment, place, line) for line in lines if line.strip()]


def _add(logbook: Logbook, moment: Moment, place: Place, line: str) -> Plant:
    codes = [plant.code for plant in logbook.collection().plants.values()]
    said = read_plant_line(codes, line)
    details = PlantDetails(
        name=said.name, form=said.form, size=said.size, place=place.name, already_here=True
    )
    plant = add_plant(logbook, moment, said.code, details)
    if said.size is not None:
        kept = logbook.setting(SIZED) or ""
        logbook.put_setting(SIZED, f"{kept} {plant.code}".strip())
    return plant


def keep_size(logbook: Logbook, moment: Moment, size: str) -> tuple[Plant, ...]:
    """Say how large the plants are that were put at the place named last; those it holds for.

    One whose own line gave it a size keeps it.
    """
    found = read(logbook).sized_here
    with logbook.file.writing():
        for plant in found:
            if plant.fact("size", moment.day) != size:
                add_plant(logbook, moment, plant.code, PlantDetails(size=size), change=True)
    return found


def keep_start(logbook: Logbook, moment: Moment, plant: Plant, start: Start) -> None:
    """Say of a plant in quarantine that it came new, or that insects were seen on it."""
    if start == INSECTS_SEEN:
        add_plant(logbook, moment, plant.code, PlantDetails(insects_seen=True), change=True)
        return
    first = plant.first_day
    plants_kept.append_plant_fact(
        logbook.file, plant.id, first, moment.at_ms, ARRIVED, first.isoformat()
    )


def put_apart(
    logbook: Logbook, moment: Moment, plants: Sequence[Plant], place_name: str | None = None
) -> Place | None:
    """Quarantine plants from today: at a quarantine place, which is made where it is named.

    Without any quarantine place it is where they are. The place, if there is one.
    """
    with logbook.file.writing():
        place = _place_apart(logbook, moment.day)
        if place is None and place_name:
            place = put_place(logbook, moment, place_name, PlaceDetails(apart=True))
        for plant in plants:
            if plant.quarantine(moment.day) is None:
                where = place.name if place else _stands_at(logbook, plant, moment.day)
                move_plant(logbook, moment, plant.code, where, apart=True)
    return place


def _place_apart(logbook: Logbook, day: date) -> Place | None:
    places = logbook.collection().places.values()
    return next((place for place in places if place.apart(day)), None)


def _stands_at(logbook: Logbook, plant: Plant, day: date) -> str:
    move = plant.move_on(day)
    places = logbook.collection().places
    return places[move.place_id].name if move else next(iter(places.values())).name


def keep_warmth(logbook: Logbook, moment: Moment, usual_c: float) -> None:
    """Say the usual temperature, degC, of the place named last and of those without one.

    The place for quarantine goes along with it as long as both have the same.
    """
    found = read(logbook)
    here, before = found.place, found.usual_c
    with logbook.file.writing():
        for place in found.places:
            usual = place.usual_c(moment.day)
            goes_along = place == found.place_apart and usual == before
            if usual is None or place == here or goes_along:
                keep_usual(logbook, moment, place.name, usual_c)

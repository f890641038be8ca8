"""Register places and plants, move them, say that one is gone, enter temperatures."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds.core.collection import (
    CAME_IN,
    INSECTS_SEEN,
    NO_INSECTS_SEEN,
    START,
    Move,
    Place,
    Plant,
)
from rounds.core.lineage import origin_of
from rounds.core.log.entries import Withdrawal
from rounds.errors import BadInput, Refused
from rounds.service.logbook.book import DEFAULT_FORM, DEFAULT_SIZE, Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import (
    check_form,
    check_pest,
    check_size,
    find_place,
    find_plant,
)
from rounds.store import log, places, plants, weather

DISLIKES = ("wet-leaves", "alcohol")
WAYS_TO_GO = ("discarded", "given-away", "died")
COLDEST_C, WARMEST_C = -60.0, 70.0


@dataclass(frozen=True, slots=True)
class PlaceDetails:
    """What can be said of a place; None says nothing."""

    apart: bool | None = None
    outdoors: bool | None = None
    room: str | None = None
    bench: str | None = None
    usual_c: float | None = None


@dataclass(frozen=True, slots=True)
class PlantDetails:
    """What can be said of a plant; None says nothing."""

    name: str | None = None
    botanical_name: str | None = None
    form: str | None = None
    size: str | None = None
    source: str | None = None
    value: float | None = None
    clear_pot: bool | None = None
    note: str | None = None
    dislikes: tuple[str, ...] | None = None
    pests: tuple[str, ...] | None = None
    touches: tuple[str, ...] | None = None
    place: str | None = None
    spot: str | None = None
    arrived: date | None = None
    already_here: bool = False
    insects_seen: bool | None = None
    """insects were seen on it when it came, which nobody counted"""


def put_place(
    logbook: Logbook, moment: Moment, name: str, details: PlaceDetails, *, change: bool = False
) -> Place:
    """Enter a place, or with `change` say something new of a known one from that day on."""
    name = name.strip()
    if not name:
        raise BadInput("empty-name", field="name")
    if details.usual_c is not None:
        _check_temperature(details.usual_c, "usual_c")
    known = logbook.collection().place(name)
    if known and not change:
        raise BadInput("place-known", name=known.name, field="name")
    if not known and change:
        find_place(logbook, name, "name")
    with logbook.file.writing():
        place_id = known.id if known else places.insert_place(logbook.file, name)
        said = _said_of_place(details, new=known is None)
        for what, value in said.items():
            places.append_place_fact(logbook.file, place_id, moment.day, moment.at_ms, what, value)
    return logbook.collection().places[place_id]


def _said_of_place(details: PlaceDetails, *, new: bool) -> dict[str, str]:
    said: dict[str, str] = {}
    for what in ("apart", "outdoors"):
        flag = getattr(details, what)
        if flag is not None or new:
            said[what] = "yes" if flag else "no"
    for what in ("room", "bench"):
        text = getattr(details, what)
        if text is not None:
            said[what] = text.strip()
    if details.usual_c is not None:
        said["usual_c"] = repr(float(details.usual_c))
    return said


def add_plant(
    logbook: Logbook, moment: Moment, code: str, details: PlantDetails, *, change: bool = False
) -> Plant:
    """Enter a plant, or with `change` say something new of a known one from that day on.

    New here: in quarantine from the day it arrived, unless it was already here.
    """
    code = check_code(code)
    known = logbook.collection().plant(code)
    if known and not change:
        raise BadInput("plant-known", code=known.code, field="code")
    if not known and change:
        find_plant(logbook, code)
    if known:
        _check_arrival_stays(known, details)
        _check_is_whole(known, details)
    with logbook.file.writing():
        if known:
            plant = known
            said = said_of_plant(logbook, details, new=False)
            _say_of_plant(logbook, plant.id, plant.first_day, moment, said)
        else:
            place = find_place(logbook, details.place) if details.place else None
            plant = write_new_plant(logbook, moment, code, details, place)
        if details.touches is not None:
            _set_touching(logbook, moment, plant, details.touches)
        if known and (details.place is not None or details.spot is not None):
            _move_on_change(logbook, moment, plant, details)
    return logbook.collection().plants[plant.id]


def check_code(code: str) -> str:
    """A plant's code without blanks around it. BadInput where it cannot be one."""
    code = code.strip()
    if not code or any(c.isspace() for c in code):
        raise BadInput("bad-code", given=code, field="code")
    return code


def _check_arrival_stays(plant: Plant, details: PlantDetails) -> None:
    """BadInput for a changed arrival: the clocks of a quarantine run from the one entered first."""
    arrived = plant.fact("arrived", date.max)
    said = details.arrived.isoformat() if details.arrived else None
    if (said is not None and said != arrived) or (details.already_here and arrived is not None):
        raise BadInput("arrival-stays", code=plant.code, field="arrived")


def _check_is_whole(plant: Plant, details: PlantDetails) -> None:
    """BadInput where it is said of a part what was seen when the plant divided came."""
    origin = origin_of(plant)
    if details.insects_seen is not None and origin is not None:
        raise BadInput("start-of-part", code=plant.code, day=origin.day, field="insects_seen")


def write_new_plant(
    logbook: Logbook, moment: Moment, code: str, details: PlantDetails, place: Place | None
) -> Plant:
    """Write a plant of a code that is free; whom it touches is not written here."""
    if not (details.name or "").strip():
        raise BadInput("plant-needs-name", code=code, field="name")
    if place is None:
        raise BadInput("plant-needs-place", code=code, field="place")
    if details.already_here and details.arrived is not None:
        raise BadInput("arrived-or-here", field="arrived")
    said = said_of_plant(logbook, details, new=True)
    arrived = None if details.already_here else (details.arrived or moment.day)
    first_day = min(arrived or moment.day, moment.day)
    with logbook.file.writing():
        plant_id = plants.insert_plant(logbook.file, code, first_day)
        move_id = plants.append_move(
            logbook.file, plant_id, first_day, moment.at_ms, place.id, details.spot
        )
        if arrived is not None:
            said = {"arrived": arrived.isoformat(), **said}
            plants.append_period(
                logbook.file,
                plant_id,
                arrived,
                moment.at_ms,
                kind="quarantine",
                began_because="arrived",
                move_id=move_id,
            )
        _say_of_plant(logbook, plant_id, first_day, moment, said)
    return plants.plant_of(logbook.file, plant_id)


def said_of_plant(logbook: Logbook, details: PlantDetails, *, new: bool) -> dict[str, str]:
    """Facts to write, by code, with defaults for a new plant. BadInput for impossible values."""
    said: dict[str, str] = {}
    for what in ("name", "botanical_name", "source", "note"):
        text = getattr(details, what)
        if text is not None:
            said[what] = text.strip()
    if details.form is not None or new:
        said["form"] = check_form(logbook, details.form or DEFAULT_FORM)
    if details.size is not None or new:
        said["size"] = check_size(details.size or DEFAULT_SIZE)
    if details.value is not None or new:
        said["value"] = _value(1.0 if details.value is None else details.value)
    if details.clear_pot is not None:
        said["clear_pot"] = "yes" if details.clear_pot else "no"
    if details.dislikes is not None:
        said["dislikes"] = " ".join(_one_of(d, DISLIKES, "dislikes") for d in details.dislikes)
    if details.insects_seen is not None and (details.insects_seen or not new):
        said[START] = INSECTS_SEEN if details.insects_seen else NO_INSECTS_SEEN
    if details.pests or new:
        followed = details.pests or (logbook.parameters.default_pest,)
        said["pests"] = " ".join(dict.fromkeys(check_pest(logbook, pest) for pest in followed))
    return said


def _value(value: float) -> str:
    if not 0 < value < float("inf"):
        raise BadInput("value-not-positive", given=value, field="value")
    return repr(float(value))


def _one_of(given: str, allowed: Sequence[str], field: str) -> str:
    if given not in allowed:
        raise BadInput(
            "not-one-of",
            given=given,
            field=field,
            allowed=", ".join(allowed),
        )
    return given


def _set_touching(logbook: Logbook, moment: Moment, plant: Plant, codes: Sequence[str]) -> None:
    """Write whom a plant touches from that day on, and each change for the other plant too."""
    wanted = {find_plant(logbook, code, "touches").id for code in codes if code.strip()}
    if plant.id in wanted:
        raise BadInput("touches-itself", code=plant.code, field="touches")
    before = set(plant.touching(moment.day))
    if wanted != before:
        say_touching(logbook, moment, plant.id, wanted)
    for other_id in sorted(wanted ^ before):
        other = logbook.collection().plants[other_id]
        theirs = set(other.touching(moment.day)) - {plant.id}
        if other_id in wanted:
            theirs |= {plant.id}
        say_touching(logbook, moment, other_id, theirs)


def say_touching(logbook: Logbook, moment: Moment, plant_id: int, others: set[int]) -> None:
    """Say whom one plant touches from that day on; the others are told by the caller."""
    _say(logbook, plant_id, moment, {"touching": " ".join(str(o) for o in sorted(others))})


def _say(logbook: Logbook, plant_id: int, moment: Moment, said: dict[str, str]) -> None:
    for what, value in said.items():
        plants.append_plant_fact(logbook.file, plant_id, moment.day, moment.at_ms, what, value)


def _say_of_plant(
    logbook: Logbook, plant_id: int, first_day: date, moment: Moment, said: dict[str, str]
) -> None:
    """Write facts from the moment's day on; what was seen when it came is about its first day."""
    for what, value in said.items():
        day = first_day if what == START else moment.day
        plants.append_plant_fact(logbook.file, plant_id, day, moment.at_ms, what, value)


def _move_on_change(logbook: Logbook, moment: Moment, plant: Plant, details: PlantDetails) -> None:
    stands = plant.move_on(moment.day)
    place = (
        find_place(logbook, details.place)
        if details.place is not None
        else logbook.collection().places[stands.place_id]
        if stands
        else None
    )
    if place is None:
        raise BadInput("plant-needs-place", code=plant.code, field="place")
    spot = details.spot if details.spot is not None else (stands.spot if stands else None)
    if stands is None or (stands.place_id, stands.spot) != (place.id, spot):
        move_plant(logbook, moment, plant.code, place.name, spot=spot)


def move_plant(
    logbook: Logbook,
    moment: Moment,
    code: str,
    place_name: str,
    *,
    spot: str | None = None,
    apart: bool = False,
) -> tuple[Plant, EntryName]:
    """Put a plant somewhere. Into a place apart, or with `apart`, a quarantine begins.

    So it does where the plant comes in from outdoors, which is as if it had come new. It no longer
    touches what it touched. Moving out of a place apart ends nothing.
    """
    plant = find_plant(logbook, code)
    place = find_place(logbook, place_name)
    check_here(plant, moment.day)
    with logbook.file.writing():
        stands = plant.move_on(moment.day)
        move_id = plants.append_move(
            logbook.file, plant.id, moment.day, moment.at_ms, place.id, spot
        )
        if stands is not None and stands.place_id != place.id:
            _set_touching(logbook, moment, plant, ())
        comes_in = comes_in_from_outdoors(logbook, stands, place, moment.day)
        begins = comes_in or apart or place.apart(moment.day)
        if begins and plant.quarantine(moment.day) is None:
            plants.append_period(
                logbook.file,
                plant.id,
                moment.day,
                moment.at_ms,
                kind="quarantine",
                began_because=CAME_IN if comes_in else "moved-apart",
                move_id=move_id,
            )
    entry = EntryName("move", moment.day, plant.id, move_id)
    return logbook.collection().plants[plant.id], entry


def comes_in_from_outdoors(logbook: Logbook, stands: Move | None, place: Place, day: date) -> bool:
    """Whether a plant that stands outdoors, by its move, is put at a place that is not."""
    if stands is None:
        return False
    before = logbook.collection().places[stands.place_id]
    return before.outdoors(day) and not place.outdoors(day)


def plant_gone(
    logbook: Logbook, moment: Moment, code: str, how: str, note: str | None = None
) -> Plant:
    """Say that a plant is gone for good."""
    plant = find_plant(logbook, code)
    _one_of(how, WAYS_TO_GO, "how")
    check_here(plant, moment.day)
    with plants.in_one_go(logbook.file):
        _set_touching(logbook, moment, plant, ())
        _say(logbook, plant.id, moment, {"gone": how})
        if note:
            _say(logbook, plant.id, moment, {"note": note})
    return logbook.collection().plants[plant.id]


def check_here(plant: Plant, day: date) -> None:
    """BadInput before it came, Refused after it was gone."""
    if day < plant.first_day:
        raise BadInput(
            "plant-not-yet", field="code", code=plant.code, day=day, first=plant.first_day
        )
    how = plant.gone(day)
    if how is not None:
        raise Refused("plant-gone", code=plant.code, how=how, field="code")


@dataclass(frozen=True, slots=True)
class WeatherEntered:
    """The temperatures of a place on a day, degC."""

    place: str
    day: date
    min_c: float
    max_c: float


def put_weather(
    logbook: Logbook,
    moment: Moment,
    place_name: str,
    day: date,
    min_c: float,
    max_c: float,
    *,
    change: bool = False,
) -> tuple[WeatherEntered, EntryName]:
    """Enter the least and greatest temperature of a place on a day, degC.

    A second entry of a day is a correction, and only with `change`.
    """
    place = find_place(logbook, place_name)
    check_range(min_c, max_c)
    before = logbook.collection().weather.get(place.id, {}).get(day)
    if before is not None and not change:
        raise BadInput("weather-known", place=place.name, day=day, field="day")
    with logbook.file.writing():
        entry_id = weather.append_weather(logbook.file, place.id, day, moment.at_ms, min_c, max_c)
        if before is not None:
            log.append_withdrawal(
                logbook.file,
                Withdrawal(
                    logbook.file.next_id(), day, log.OF_A_PLACE, before.id, moment.at_ms,
                    "corrected", entry_id,
                ),
            )  # fmt: skip
    entered = WeatherEntered(place.name, day, min_c, max_c)
    return entered, EntryName("weather", day, place.id, entry_id)


def check_range(min_c: float, max_c: float) -> None:
    """BadInput where the two cannot be the temperatures of a day, degC."""
    _check_temperature(min_c, "min_c")
    _check_temperature(max_c, "max_c")
    if max_c < min_c:
        raise BadInput("max-below-min", min=min_c, max=max_c, field="max_c")


def _check_temperature(value: float, field: str) -> None:
    if not COLDEST_C <= value <= WARMEST_C:
        raise BadInput("no-such-temperature", given=value, field=field)


def moves_of(plant: Plant, on: date) -> list[Move]:
    """Its moves up to the end of `on`, oldest first."""
    return sorted((m for m in plant.moves if m.day <= on), key=lambda m: (m.day, m.id))

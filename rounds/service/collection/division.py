"""Divide a plant: each part goes on with the log, the clocks and the standing of the whole."""

from collections.abc import Sequence
from dataclasses import dataclass

from rounds import words
from rounds.core.collection import Period, Place, Plant
from rounds.core.lineage import DIVIDED, DIVIDED_FROM, divisions_of, origin_of, origin_value
from rounds.errors import BadInput, Refused
from rounds.service.collection.next_code import next_code
from rounds.service.collection.plants import check_code, check_here
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_place, find_plant
from rounds.store import log, plants

FEWEST, MOST = 2, 12
COPIED = ("name", "botanical_name", "form", "size", "value", "clear_pot", "dislikes", "pests")
"""Facts copied from the whole to each part; afterwards each has its own."""


@dataclass(frozen=True, slots=True)
class DivisionEntered:
    """A division as it is typed in. Without codes or names the next ones are given."""

    into: int
    codes: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    place: str | None = None
    spot: str | None = None


@dataclass(frozen=True, slots=True)
class NewPart:
    """A part that gets a code of its own."""

    code: str
    name: str


@dataclass(frozen=True, slots=True)
class DivisionPlanned:
    """A division that may be written."""

    plant: Plant
    into: int
    parts: tuple[NewPart, ...]
    place: Place
    spot: str | None


@dataclass(frozen=True, slots=True)
class DivisionWritten:
    """A division as written; `entry` is the name by which it can be taken back."""

    plant: Plant
    parts: tuple[NewPart, ...]
    entry: str


def plan_division(
    logbook: Logbook, moment: Moment, code: str, entered: DivisionEntered
) -> DivisionPlanned:
    """The division with its parts named. BadInput or Refused where it may not be written."""
    plant = find_plant(logbook, code)
    check_here(plant, moment.day)
    if not FEWEST <= entered.into <= MOST:
        raise BadInput(
            "parts-out-of-range", field="into", given=entered.into, least=FEWEST, most=MOST
        )
    _check_not_divided_since(logbook, moment, plant)
    codes = _codes(logbook, plant, entered)
    names = _names(plant, moment, entered)
    stands = plant.move_on(moment.day)
    if entered.place is not None:
        place = find_place(logbook, entered.place)
    elif stands is not None:
        place = logbook.collection().places[stands.place_id]
    else:
        raise BadInput("plant-needs-place", field="place", code=plant.code)
    parts = tuple(NewPart(*part) for part in zip(codes, names, strict=True))
    return DivisionPlanned(plant, entered.into, parts, place, entered.spot)


def divide(
    logbook: Logbook, moment: Moment, code: str, entered: DivisionEntered
) -> DivisionWritten:
    """Divide a plant after the looks entered so far for that day; all of it or nothing is written.

    The plant itself stays, as one of the parts.
    """
    with logbook.file.writing():
        planned = plan_division(logbook, moment, code, entered)
        with plants.in_one_go(logbook.file):
            for part in planned.parts:
                _write_part(logbook, moment, planned, part)
            # written last: `parts_of` finds the parts by entries numbered before this one
            entry_id = plants.append_plant_fact(
                logbook.file, planned.plant.id, moment.day, moment.at_ms, DIVIDED, str(planned.into)
            )
    name = EntryName("divided", moment.day, planned.plant.id, entry_id)
    plant = logbook.collection().plants[planned.plant.id]
    return DivisionWritten(plant, planned.parts, str(name))


def _check_not_divided_since(logbook: Logbook, moment: Moment, plant: Plant) -> None:
    later = [d.day for d in divisions_of(plant, logbook.collection().plants) if d.day > moment.day]
    if later:
        raise Refused("divided-since", code=plant.code, day=max(later), field="on")


def _codes(logbook: Logbook, plant: Plant, entered: DivisionEntered) -> list[str]:
    wanted = entered.into - 1
    if not entered.codes:
        return codes_offered(logbook, plant, wanted)
    if len(entered.codes) != wanted:
        raise BadInput(
            "codes-do-not-match",
            field="codes",
            given=len(entered.codes),
            wanted=wanted,
            into=entered.into,
            code=plant.code,
        )
    codes = [check_code(code) for code in entered.codes]
    for number, code in enumerate(codes):
        known = logbook.collection().plant(code)
        if known is not None:
            raise BadInput("plant-known", field="codes", code=known.code)
        if code.casefold() in (other.casefold() for other in codes[:number]):
            raise BadInput("code-twice", field="codes", code=code)
    return codes


def codes_offered(logbook: Logbook, plant: Plant, count: int) -> list[str]:
    """So many free codes in the style of the plant's own."""
    # `next_code` takes up the style of the last code
    known = [p.code for p in logbook.collection().plants.values() if p.id != plant.id]
    known.append(plant.code)
    codes: list[str] = []
    for _ in range(count):
        codes.append(next_code([*known, *codes]))
    return codes


def _names(plant: Plant, moment: Moment, entered: DivisionEntered) -> list[str]:
    wanted = entered.into - 1
    if not entered.names:
        own = plant.fact("name", moment.day) or plant.code
        numbers = range(2, entered.into + 1)
        return [words.say("origins.part-name", name=own, number=number) for number in numbers]
    names = [name.strip() for name in entered.names]
    if len(names) != wanted or not all(names):
        raise BadInput(
            "names-do-not-match",
            field="names",
            given=len(list(filter(None, names))),
            wanted=wanted,
            into=entered.into,
            code=plant.code,
        )
    return names


def _write_part(logbook: Logbook, moment: Moment, planned: DivisionPlanned, part: NewPart) -> None:
    """Write a part as a plant from that day on; what came before is read from its parent."""
    file, day, whole = logbook.file, moment.day, planned.plant
    plant_id = plants.insert_plant(file, part.code, day)
    said = {what: value for what in COPIED if (value := whole.fact(what, day))}
    # whom a part touches is not known yet
    said |= {"name": part.name, "touching": ""}
    origin = origin_value(whole.id, planned.into)
    plants.append_plant_fact(file, plant_id, day, moment.at_ms, DIVIDED_FROM, origin)
    move_id = plants.append_move(file, plant_id, day, moment.at_ms, planned.place.id, planned.spot)
    for what, value in said.items():
        plants.append_plant_fact(file, plant_id, day, moment.at_ms, what, value)
    _write_quarantine(logbook, moment, planned, plant_id, move_id)


def _write_quarantine(
    logbook: Logbook, moment: Moment, planned: DivisionPlanned, plant_id: int, move_id: int
) -> None:
    """Write a part's quarantine: that of the whole, begun as early, or one at a place apart."""
    inherited: Period | None = planned.plant.quarantine(moment.day)
    if inherited is None and not planned.place.apart(moment.day):
        return
    plants.append_period(
        logbook.file,
        plant_id,
        inherited.began_on if inherited else moment.day,
        moment.at_ms,
        kind="quarantine",
        began_because="divided" if inherited else "moved-apart",
        move_id=move_id,
    )


def parts_of(logbook: Logbook, plant: Plant, entry_id: int) -> list[Plant]:
    """The plants that came of one division of a plant, named by the entry that says so."""
    divided = [f.id for f in plant.facts if f.what == DIVIDED]
    before = max((other for other in divided if other < entry_id), default=0)
    return [
        other
        for other in logbook.collection().plants.values()
        if (origin := origin_of(other)) is not None
        and origin.parent_id == plant.id
        and before < origin.entry < entry_id
    ]


def withdraw_division(
    logbook: Logbook, moment: Moment, name: EntryName, plant: Plant, why: str | None
) -> None:
    """Take a division back, with the plants that came of it.

    Refused where something was entered about one of these since, or the plant divided again.
    """
    with logbook.file.writing():
        parts = parts_of(logbook, plant, name.entry_id)
        _check_nothing_rests_on_it(logbook, name, plant, parts)
        said = [
            (part.id, *entry) for part in parts for entry in plants.said_of(logbook.file, part.id)
        ]
        for plant_id, entry_id, day in [*said, (plant.id, name.entry_id, name.day)]:
            log.withdraw_of_record(logbook.file, plant_id, entry_id, day, moment.at_ms, why)


def _check_nothing_rests_on_it(
    logbook: Logbook, name: EntryName, plant: Plant, parts: Sequence[Plant]
) -> None:
    again = [f for f in plant.facts if f.what == DIVIDED and f.id > name.entry_id]
    if again:
        raise Refused("divided-since", code=plant.code, day=again[-1].from_day, field="entry")
    for part in parts:
        later = any(entry > name.entry_id for entry, _ in plants.said_of(logbook.file, part.id))
        if later or plants.is_looked_at(logbook.file, part.id):
            raise Refused("part-has-entries", code=part.code, whole=plant.code, field="entry")

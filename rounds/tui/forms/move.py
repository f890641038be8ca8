"""Put a plant somewhere else by keys."""

from datetime import date

from rounds import words
from rounds.core.collection import Place
from rounds.service.collection.plants import check_here, comes_in_from_outdoors, move_plant
from rounds.service.collection.rejoin import put_at, rejoining
from rounds.service.collection.rejoin_text import rejoin_text
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_place
from rounds.service.plant.claims import is_known_alive, move_out_since
from rounds.service.plant.record import PlantRecord
from rounds.tui.forms.fields import Form, Values
from rounds.tui.forms.new_plant import kept_empty, said_where
from rounds.tui.forms.values import (
    NO,
    YES,
    choice_field,
    day_field,
    day_of,
    moment_of,
    needed,
    place_choices,
    text_field,
    yes_no_field,
)
from rounds.tui.forms.wording import (
    done,
    fault,
    header_of,
    heading_day,
    joined,
    part,
    record_today,
    said_day,
)
from rounds.tui.screens.form import FormScreen


def move_form(logbook: Logbook, code: str) -> FormScreen:
    """The screen that puts a plant somewhere else."""
    record = record_today(logbook, code)
    return FormScreen(
        Form(
            title=words.say("desk_forms.title.move"),
            plant=header_of(record),
            fields=(
                choice_field("place", record.place_name() or "", place_choices(logbook), "place"),
                text_field("spot", hinted="move-spot"),
                yes_no_field("apart", NO, "move-apart"),
                day_field(logbook, "from"),
            ),
            write=lambda values: _move(logbook, record, values),
            sentence=lambda values: _move_sentence(logbook, record, values),
            day=heading_day(logbook),
            lead=words.say("desk_forms.lead.move"),
        )
    )


def _spot(record: PlantRecord, values: Values) -> str | None:
    """An empty line leaves the spot as it is, unless the place is another."""
    stays = values["place"] == record.place_name()
    return values["spot"] or (record.spot() if stays else None)


def _move_sentence(logbook: Logbook, record: PlantRecord, values: Values) -> str:
    needed(values, "place")
    plant, day = record.plant, day_of(logbook, values["from"], "from")
    check_here(plant, day)
    spot = _spot(record, values)
    stands = (record.place_name(), record.spot()) == (values["place"], spot)
    if stands and values["apart"] == NO:
        raise fault("stands-there", "place", code=plant.code)
    place = find_place(logbook, values["place"])
    comes_in = comes_in_from_outdoors(logbook, plant.move_on(day), place, day)
    is_apart = values["apart"] == YES or place.apart(day) or comes_in
    changes = values["place"] != record.place_name()
    return joined(
        [
            part("plant", code=plant.code, name=record.name()),
            said_where(values["place"], spot),
            part("dated", day=said_day(logbook, day)),
            _quarantine(logbook, record, day, comes_in=comes_in, begins=is_apart),
            part("touches-none") if changes and plant.touching(day) else "",
            _brings(record, place, day),
            _awaits(record, place, spot) if not is_apart else "",
            "" if stands else kept_empty(logbook, day, place.name, spot),
        ]
    )


def _quarantine(
    logbook: Logbook, record: PlantRecord, day: date, *, comes_in: bool, begins: bool
) -> str:
    """What becomes of its quarantine: it goes on, or begins, with why where no place says so."""
    if record.plant.quarantine(day) is not None:
        return part("goes-on")
    if comes_in:
        return part("comes-in", day=said_day(logbook, day))
    return part("begins") if begins else ""


def _brings(record: PlantRecord, place: Place, day: date) -> str:
    """That insects come along to where plants stand that are not in quarantine."""
    if record.last_find_on is None or not is_known_alive(record) or place.apart(day):
        return ""
    return part("brings", day=said_day(record.logbook, record.last_find_on))


def _awaits(record: PlantRecord, place: Place, spot: str | None) -> str:
    """What awaits a plant that was released and is moved out of the quarantine place at last."""
    if move_out_since(record) is None:
        return ""
    return rejoin_text(rejoining(record, put_at(record, place, spot)))


def _move(logbook: Logbook, record: PlantRecord, values: Values) -> str:
    day = day_of(logbook, values["from"], "from")
    spot = _spot(record, values)
    code = record.plant.code
    move_plant(
        logbook,
        moment_of(logbook, day),
        code,
        values["place"],
        spot=spot,
        apart=values["apart"] == YES,
    )
    where = said_where(values["place"], spot)
    return done("moved", code=code, where=where, day=said_day(logbook, day))

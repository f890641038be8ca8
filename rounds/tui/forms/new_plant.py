"""Enter a plant by keys, and the next one straight after it."""

from datetime import date
from typing import Literal

from rounds import words
from rounds.core.collection import Place, Plant
from rounds.errors import BadInput
from rounds.service.arrival.enter import as_written, delivered
from rounds.service.collection.next_code import code_and_name
from rounds.service.collection.plants import PlantDetails, add_plant, check_code
from rounds.service.exposure.warning import warnings_at
from rounds.service.logbook.book import DEFAULT_FORM, DEFAULT_SIZE, Logbook
from rounds.service.logbook.moment import now
from rounds.service.logbook.named import find_place
from rounds.tui.forms.fields import Again, Field, Form, Values
from rounds.tui.forms.values import (
    NO,
    YES,
    choice_field,
    choices_of,
    day_of,
    needed,
    pests_field,
    pests_of,
    place_choices,
    shown_day,
    text_field,
    touches_field,
    yes_no_field,
)
from rounds.tui.forms.wording import (
    done,
    heading_day,
    hint_for,
    joined,
    label,
    listed,
    part,
    said_day,
)
from rounds.tui.screens.form import FormScreen
from rounds.words.forms import codes_text

NEW, HERE = "new", "here"

KEPT: tuple[Literal["place", "form", "size", "arrived", "source", "pests"], ...] = (
    "place", "form", "size", "arrived", "source", "pests",
)  # fmt: skip
"""Fields whose values the form of the next plant offers again."""


def new_plant_form(logbook: Logbook, typed: str = "") -> FormScreen:
    """The screen that enters a plant, once there is a place for it.

    `typed` may be its code, its name, or both: G15 Gaff.
    """
    return FormScreen(_form(logbook, typed, {}))


def _form(logbook: Logbook, typed: str, kept: Values) -> Form:
    codes = [plant.code for plant in logbook.collection().plants.values()]
    code, name = code_and_name(codes, typed)
    arrived = kept.get("arrived") or _arrived_offered(logbook)
    place = kept.get("place") or _place_offered(logbook, arrived)
    return Form(
        title=words.say("desk_forms.title.plant"),
        plant=None,
        fields=(
            _code_field(logbook, code),
            Field("name", label("name"), name, hint=hint_for("plant-name"), may_be_empty=False),
            choice_field("place", place, place_choices(logbook), "place"),
            text_field("spot"),
            form_field(kept.get("form") or DEFAULT_FORM),
            size_field(kept.get("size") or DEFAULT_SIZE),
            _arrived_field(logbook, arrived),
            yes_no_field("insects_seen", NO),
            touches_field(logbook),
            text_field("source", kept.get("source") or ""),
            pests_field(logbook, _pests_offered(logbook, kept)),
        ),
        write=lambda values: _write(logbook, values),
        sentence=lambda values: _sentence(logbook, values),
        day=heading_day(logbook),
        lead=words.say("desk_forms.lead.plant"),
        again=Again(
            words.say("desk_forms.another-plant"),
            lambda values: _form(logbook, "", {code: values[code] for code in KEPT}),
        ),
    )


def _pests_offered(logbook: Logbook, kept: Values) -> tuple[str, ...]:
    """Those of the plant before it, else the pest that is followed unless another is named."""
    said = kept.get("pests")
    return pests_of(logbook, said) if said else (logbook.parameters.default_pest,)


def form_field(value: str) -> Field:
    """The growth form."""
    return choice_field("form", value, choices_of("growth-forms"), "form")


def size_field(value: str) -> Field:
    """The size."""
    return choice_field("size", value, choices_of("sizes"), "size")


def _arrived_offered(logbook: Logbook) -> str:
    """The offered arrival: already here until some plant came before today, then new.

    New, too, where the place offered for one that is here is a quarantine place: who takes all
    that is offered is not to put a plant there without a quarantine.
    """
    today, found = logbook.clock.today(), logbook.collection()
    if any(plant.first_day < today for plant in found.plants.values()):
        return NEW
    offered = find_place(logbook, _place_offered(logbook, HERE))
    return NEW if offered.apart(today) else HERE


def _place_offered(logbook: Logbook, arrived: str) -> str:
    """A new plant is offered a place apart; else where the plant entered last stands."""
    today = logbook.clock.today()
    found = logbook.collection()
    apart = [place.name for place in found.places.values() if place.apart(today)]
    if arrived == NEW and apart:
        return apart[0]
    last = max(found.plants.values(), key=lambda plant: plant.id, default=None)
    move = last.move_on(today) if last else None
    return found.places[move.place_id].name if move else next(iter(found.places.values())).name


def _code_field(logbook: Logbook, code: str) -> Field:
    def check(given: str) -> str:
        free = check_code(given)
        known = logbook.collection().plant(free)
        if known is not None:
            raise BadInput("plant-known", code=known.code, field="code")
        return free

    return Field(
        "code", label("code"), code, hint=hint_for("code"), check=check, may_be_empty=False
    )


def _arrived_field(logbook: Logbook, value: str) -> Field:
    def check(given: str) -> str:
        return shown_day(logbook, given, day_of(logbook, given, "arrived"))

    return Field(
        "arrived",
        label("arrived"),
        value,
        choices_of("arrived"),
        hint_for("arrived", day=heading_day(logbook)),
        check,
        may_be_empty=False,
    )


def _arrival(logbook: Logbook, values: Values) -> date | None:
    """The day it came; None where it was already here."""
    given = values["arrived"]
    if given == HERE:
        return None
    return logbook.clock.today() if given == NEW else day_of(logbook, given, "arrived")


def _sentence(logbook: Logbook, values: Values) -> str:
    needed(values, "code", "name")
    place = find_place(logbook, values["place"])
    return joined(
        [
            part("plant", code=values["code"], name=values["name"]),
            listed([_named("growth-forms", values["form"]), _named("sizes", values["size"])]),
            said_where(place.name, values["spot"]),
            *_arrival_parts(logbook, values, place),
            part("source", source=values["source"]) if values["source"] else "",
            _delivery_part(logbook, values),
            part("insects-seen") if values["insects_seen"] == YES else "",
            part("touches", codes=values["touches"]) if values["touches"] else "",
            _other_pests(logbook, values),
            kept_empty(logbook, logbook.clock.today(), place.name, values["spot"]),
        ]
    )


def _other_pests(logbook: Logbook, values: Values) -> str:
    """For which pests it is checked, where these are not the usual one."""
    is_usual = pests_of(logbook, values["pests"]) == (logbook.parameters.default_pest,)
    return "" if is_usual else words.say("cli.plant.pests", pests=values["pests"])


def _named(section: str, code: str) -> str:
    return words.section(f"desk_forms.{section}")[code]


def said_where(place: str, spot: str | None) -> str:
    """Place and spot in words: at porch shelf, spot 3."""
    return part("at-spot", place=place, spot=spot) if spot else part("at", place=place)


def kept_empty(logbook: Logbook, day: date, place: str, spot: str | None) -> str:
    """That a plant with insects stood there lately, as a part of a sentence; empty where none did.

    Of several the one that is free last.
    """
    warned = warnings_at(logbook, day, place, spot or None)
    return warned[-1].text.removesuffix(".") if warned else ""


def _arrival_parts(logbook: Logbook, values: Values, place: Place) -> list[str]:
    """Whether its quarantine begins, and that its place is no quarantine place where it is none."""
    came = _arrival(logbook, values)
    if came is None:
        return [part("here")]
    today = logbook.clock.today()
    begins = part("new") if came == today else part("came", day=said_day(logbook, came))
    return [
        begins,
        "" if place.apart(today) else part("no-place-apart", place=place.name),
    ]


def _delivery_part(logbook: Logbook, values: Values) -> str:
    """The plants of its delivery: of the same source, come on the same day."""
    came, source = _arrival(logbook, values), values["source"]
    mates = delivered(logbook, came, source) if came and source else ()
    return part("delivery", codes=codes_text(plant.code for plant in mates)) if mates else ""


def _write(logbook: Logbook, values: Values) -> str:
    came, source = _arrival(logbook, values), values["source"]
    details = PlantDetails(
        name=values["name"],
        form=values["form"],
        size=values["size"],
        place=values["place"],
        spot=values["spot"] or None,
        touches=tuple(values["touches"].split()) or None,
        # plants of one source and day are told by how it is written
        source=(as_written(logbook, came, source) if came else source) or None,
        arrived=came,
        already_here=came is None,
        insects_seen=values["insects_seen"] == YES,
        pests=pests_of(logbook, values["pests"]),
    )
    plant = add_plant(logbook, now(logbook.clock), values["code"], details)
    return _said(logbook, plant, values)


def _said(logbook: Logbook, plant: Plant, values: Values) -> str:
    said = {"code": plant.code, "name": values["name"]}
    where = said_where(values["place"], values["spot"])
    period = plant.quarantine(logbook.clock.today())
    if period is None:
        return done("plant", **said, where=where)
    day = said_day(logbook, period.began_on)
    return done("apart", **said, where=where, day=day)

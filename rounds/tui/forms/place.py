"""Enter a place by keys."""

from rounds import words
from rounds.errors import BadInput
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.tui.forms.fields import Again, Field, Form, Values
from rounds.tui.forms.values import NO, YES, celsius_of, needed, text_field, yes_no_field
from rounds.tui.forms.wording import done, heading_day, hint_for, joined, label, part
from rounds.tui.screens.form import FormScreen
from rounds.words.forms import temperature


def new_place_form(logbook: Logbook, typed: str = "") -> FormScreen:
    """The screen that enters a place; `typed` is its name, where it is known already."""
    return FormScreen(_form(logbook, typed))


def _another(logbook: Logbook) -> Again:
    return Again(
        words.say("desk_forms.another-place"),
        lambda _: _form(logbook, ""),
    )


def _form(logbook: Logbook, typed: str) -> Form:
    return Form(
        title=words.say("desk_forms.title.place"),
        plant=None,
        fields=(
            _name_field(logbook, typed.strip()),
            yes_no_field("apart", NO),
            _usual_field(logbook),
            yes_no_field("outdoors", NO),
            text_field("room"),
            text_field("bench"),
        ),
        write=lambda values: _write(logbook, values),
        sentence=lambda values: _sentence(logbook, values),
        day=heading_day(logbook),
        lead=words.say("desk_forms.lead.place"),
        again=_another(logbook),
    )


def _name_field(logbook: Logbook, typed: str) -> Field:
    def check(given: str) -> str:
        known = logbook.collection().place(given)
        if known is not None:
            raise BadInput("place-known", name=known.name, field="name")
        return given

    return Field(
        "name", label("name"), typed, hint=hint_for("place-name"), check=check, may_be_empty=False
    )


def _usual_field(logbook: Logbook) -> Field:
    def check(given: str) -> str:
        celsius_of(given, "usual_c")
        return given

    usual = temperature(logbook.parameters.usual_c)
    return Field("usual_c", label("usual_c"), hint=hint_for("usual-c", usual=usual), check=check)


def _usual(values: Values) -> float | None:
    return celsius_of(values["usual_c"], "usual_c") if values["usual_c"] else None


def _sentence(logbook: Logbook, values: Values) -> str:
    needed(values, "name")
    kind = "place-apart" if values["apart"] == YES else "place"
    usual, assumed = _usual(values), logbook.parameters.usual_c
    return joined(
        [
            part(kind, name=values["name"]),
            part("outdoors") if values["outdoors"] == YES else "",
            values["room"],
            values["bench"],
            part("assumed", usual=temperature(assumed))
            if usual is None
            else part("usual", usual=temperature(usual)),
        ]
    )


def _write(logbook: Logbook, values: Values) -> str:
    details = PlaceDetails(
        apart=values["apart"] == YES,
        outdoors=values["outdoors"] == YES,
        room=values["room"] or None,
        bench=values["bench"] or None,
        usual_c=_usual(values),
    )
    place = put_place(logbook, now(logbook.clock), values["name"], details)
    return done("place", name=place.name)

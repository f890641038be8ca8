"""Say what came, before any of it is looked at."""

from rounds import words
from rounds.errors import BadInput
from rounds.service.arrival.delivery import Delivery, check_delivery
from rounds.service.arrival.drafted import draft
from rounds.service.arrival.opening import opening_of
from rounds.service.logbook.book import DEFAULT_FORM, DEFAULT_SIZE, Logbook
from rounds.tui.forms.fields import Field, Form, Values
from rounds.tui.forms.new_plant import form_field, size_field
from rounds.tui.forms.values import choice_field, number_of, place_choices
from rounds.tui.forms.wording import done, fault, heading_day, hint_for, joined, label, part
from rounds.tui.screens.arrival import ArrivalScreen
from rounds.tui.screens.form import FormScreen


class DeliveryFormScreen(FormScreen):
    """After it is written, enter goes on to the look at the delivery."""

    def __init__(self, form: Form, logbook: Logbook, who: str | None) -> None:
        super().__init__(form)
        self._logbook, self._who = logbook, who

    def action_done(self) -> None:
        """On to what was begun."""
        self.app.switch_screen(ArrivalScreen(self._logbook, self._who))


def delivery_form(logbook: Logbook, who: str | None = None) -> FormScreen:
    """The screen that begins the look at a delivery."""
    form = Form(
        title=words.say("arrival.form.title"),
        plant=None,
        fields=(
            Field("source", label("source"), hint=hint_for("source"), may_be_empty=False),
            _count_field("units", may_be_empty=False),
            Field("name", label("name"), hint=hint_for("plant-name")),
            choice_field("place", _room(logbook), place_choices(logbook), "place"),
            form_field(DEFAULT_FORM),
            size_field(DEFAULT_SIZE),
            Field("value", label("value"), "1", hint=hint_for("value"), check=_value),
            _count_field("opened"),
        ),
        write=lambda values: _write(logbook, values, who),
        sentence=lambda values: _sentence(logbook, values),
        day=heading_day(logbook),
        lead=words.say("arrival.form.lead"),
        does="check",
    )
    return DeliveryFormScreen(form, logbook, who)


def _count_field(code: str, *, may_be_empty: bool = True) -> Field:
    def check(given: str) -> str:
        if not (given.isascii() and given.isdigit()):
            raise fault("no-count", code, given=given)
        return given

    return Field(code, label(code), hint=hint_for(code), check=check, may_be_empty=may_be_empty)


def _value(given: str) -> str:
    value = number_of(given, "value")
    if value <= 0:
        raise BadInput("value-not-positive", given=value, field="value")
    return given


def _room(logbook: Logbook) -> str:
    """A quarantine place is offered; else the first one there is."""
    today = logbook.clock.today()
    places = list(logbook.collection().places.values())
    apart = [place.name for place in places if place.apart(today)]
    return next(iter([*apart, *(place.name for place in places)]), "")


def _delivery(values: Values) -> Delivery:
    for code in ("source", "units"):
        if not values[code]:
            raise fault("needed", code, label=label(code))
    return Delivery(
        units=int(values["units"]),
        source=values["source"],
        opened=int(values["opened"]) if values["opened"] else None,
        name=values["name"] or None,
        place=values["place"],
        form=values["form"],
        size=values["size"],
        value=number_of(values["value"] or "1", "value"),
    )


def _sentence(logbook: Logbook, values: Values) -> str:
    delivery = _delivery(values)
    check_delivery(delivery)
    today = logbook.clock.today()
    opening = opening_of(logbook, today, delivery.units, values["form"], values["size"])
    opened = delivery.opened or opening.open_units
    return joined(
        [
            part("came-from", units=delivery.units, source=delivery.source),
            part("to-open", opened=opened, wanted=opening.open_units),
        ]
    )


def _write(logbook: Logbook, values: Values, who: str | None) -> str:
    begun = draft(logbook, _delivery(values), who)
    _, opened = begun.opened()
    begun.close()
    return done("delivery", opened=opened)

"""What is advised about a delivery; where it is taken, its plants come into quarantine as mates."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from rounds.core.collection import Plant
from rounds.errors import BadInput
from rounds.service.arrival.delivery import Delivery
from rounds.service.arrival.enter import CheckedDelivery, checked, enter
from rounds.service.arrival.opening import Opening, opening_of
from rounds.service.arrival.verdict import LEAVE, Seen, Verdict, seen_on, verdict_of
from rounds.service.inference.day import CollectionDay
from rounds.service.inference.nearby import WORTH, worth
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import ARRIVAL, EntryName
from rounds.service.logbook.moment import Moment


@dataclass(frozen=True, slots=True)
class Arrived:
    """What is advised about a delivery, and what was written of it."""

    delivery: Delivery
    opening: Opening
    seen: Seen
    verdict: Verdict
    plants: tuple[Plant, ...]
    """those of the delivery that are entered, in the order they were"""
    new: int
    """how many of these were entered now"""

    @property
    def new_plants(self) -> tuple[Plant, ...]:
        """Those entered now."""
        return self.plants[len(self.plants) - self.new :]

    @property
    def name(self) -> EntryName | None:
        """The name of the arrival: that of its first plant."""
        if not self.plants:
            return None
        first = self.plants[0]
        return EntryName(ARRIVAL, first.first_day, first.id, first.moves[0].id)


class _Left(Exception):
    """The delivery was left: what was written to see how it stands is rolled back."""

    def __init__(self, arrived: Arrived) -> None:
        super().__init__()
        self.arrived = arrived


def arrive(
    logbook: Logbook, moment: Moment, delivery: Delivery, *, take: bool | None = None
) -> Arrived:
    """What is advised about a delivery; where it is taken, its plants and looks are written.

    It is taken where some were opened, and nothing advises to leave it; `take` decides otherwise.
    Said again of the same day and source it goes on with the plants entered before. BadInput where
    it cannot be so.
    """
    try:
        with logbook.file.writing_part():
            arrived, of = _written(logbook, moment, delivery, is_taken=take is True)
            is_taken = take if take is not None else _is_taken(arrived)
            if not is_taken:
                raise _Left(arrived)
            if of.room is None:
                raise BadInput("delivery-needs-place", field="place")
            return arrived
    except _Left as left:
        here = logbook.collection().plants
        stay = tuple(plant for plant in left.arrived.plants if plant.id in here)
        return replace(left.arrived, plants=stay, new=0)


def _is_taken(arrived: Arrived) -> bool:
    return arrived.delivery.opened is not None and arrived.verdict.code != LEAVE


def _written(
    logbook: Logbook, moment: Moment, delivery: Delivery, *, is_taken: bool
) -> tuple[Arrived, CheckedDelivery]:
    """The delivery as its own log has it, written to be read."""
    day, of = moment.day, checked(logbook, moment.day, delivery)
    is_entered = is_taken or delivery.opened is not None
    plants = enter(logbook, moment, of) if is_entered else of.known
    return judge(logbook, day, of, plants), of


def judge(logbook: Logbook, on: date, of: CheckedDelivery, plants: Sequence[Plant]) -> Arrived:
    """What is advised about a delivery, by the looks at its plants up to the end of a day.

    Args:
        logbook: in which the plants are.
        on: the day.
        of: the delivery.
        plants: those of it that are entered.
    """
    day, delivery = CollectionDay(logbook, on), of.delivery
    seen = seen_on([day.record(p.id) for p in plants], delivery.opened or 0, delivery.units)
    opening = opening_of(logbook, on, delivery.units, of.form, of.size)
    value = worth(plants[0], on) if plants else delivery.value or WORTH
    verdict = verdict_of(seen, opening, day.table.deliveries, value, of.room, on)
    new = len(plants) - len(of.known)
    return Arrived(delivery, opening, seen, verdict, tuple(plants), new)

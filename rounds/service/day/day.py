"""A day of the logbook as it is read once: frozen, for every screen and command."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from rounds.core.away import Away, Stretch, stretches
from rounds.core.changes import ChangedValue
from rounds.core.collection import Place, Plant
from rounds.core.parameters import QuarantineRules
from rounds.core.walks import Round
from rounds.service.exposure.emptied import EmptiedSpot
from rounds.service.logbook.book import Stamp
from rounds.service.plan.away import Back
from rounds.service.plan.price import Price
from rounds.service.plan.today import DayPlan, Due
from rounds.service.plant.before import Before
from rounds.service.plant.status import PlantStatus


@dataclass(frozen=True, slots=True)
class Choices:
    """The grower's settings that a day rests on."""

    rules: QuarantineRules
    minutes: float
    """of the round"""
    by_risk: bool
    """walked strictly by risk, not from the clean side to the infested"""
    changed_values: tuple[ChangedValue, ...]
    """values of the table that are not the usual ones"""
    usual_c: float
    """assumed where no temperature was entered, degC"""


@dataclass(frozen=True, slots=True)
class UnderWay:
    """The round of the day that was begun and not ended."""

    walk: Round
    plant_id: int | None
    """at which it was left; None where all its zones are done"""
    zone: str | None
    done: int
    """how many of its plants are done"""
    plants: int


@dataclass(frozen=True, slots=True)
class Day:
    """All of one day. What is not worked out yet is None, here and in its statuses."""

    stamp: Stamp
    """the state of the logbook it was made from"""
    on: date
    choices: Choices
    plants: Mapping[int, Plant]
    """all there ever were, by id"""
    places: Mapping[int, Place]
    away: tuple[Away, ...]
    """the days away that are not over, in the order they come"""
    back: Back | None
    """on the first day after days away, where no round was walked yet"""
    under_way: UnderWay | None
    here: int
    """how many plants are here"""
    looked_ahead_to: date | None = None
    """the day of the newest look, where that is after today: the computer's clock may be wrong"""
    statuses: Mapping[int, PlantStatus] | None = None
    """of every plant that is here, by id, first to be looked at first; None before it is read"""
    due: tuple[Due, ...] = ()
    """what there is to do besides looking"""
    emptied: tuple[EmptiedSpot, ...] = ()
    """spots that plants with insects left, still to be kept empty"""
    plan: DayPlan | None = None
    price: Price | None = None
    """what a few minutes more would let in"""
    misfit: str | None = None
    """what assumed otherwise would make the finds of all plants far likelier; None without it"""
    before: Before | None = None
    """of the plants that were asked for"""
    is_whole: bool = False
    """whether all but `before` is worked out"""

    @property
    def ordered(self) -> tuple[PlantStatus, ...]:
        """The plants that are here, first to be looked at first; none before they are read."""
        return tuple((self.statuses or {}).values())

    @property
    def next_away(self) -> Stretch | None:
        """The next days away."""
        return next(iter(stretches(self.away)), None)

    def not_looked_back(self, plants: Iterable[int]) -> list[int]:
        """Those plants whose risk at the end of the last round is not worked out yet."""
        known, here = self.before, self.statuses
        if known is None or here is None:
            return list(plants)
        return [p for p in plants if p in here and not known.is_known(p)]

"""Which plants get seconds of a round, and how many at each zone."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from rounds.core.plan.call import Turn
from rounds.core.plan.calls import Calls
from rounds.core.plan.effort import FITS, Places, Values, Zones, fill, partly
from rounds.core.plan.floors import Floors, floors_within
from rounds.core.plan.offers import Offer, offers

Planned = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """The seconds of a round, split."""

    planned: NDArray[np.bool_]
    """(P,): it is looked at"""
    seconds: Values
    """(N,): of looking at each zone; 0 where it is not looked at"""
    prevented: float
    """harm found"""
    owed_is_met: bool
    """each plant that is due gets what it is owed"""
    spare: Values
    """(N,): of the seconds, those that nobody who is due could use, at plants with insects"""

    def by_plant(self, calls: Calls) -> list[list[float]]:
        """The seconds at each plant's zones; an empty list where it is not looked at."""
        found: list[list[float]] = [[] for _ in calls.codes]
        for plant, seconds in zip(calls.owner.tolist(), self.seconds.tolist(), strict=True):
            if self.planned[plant]:
                found[plant].append(seconds)
        return found

    def handling(self, calls: Calls) -> list[float]:
        """What is expected to be found on each plant takes so many seconds to handle."""
        found: list[float] = calls.by_plant(calls.zones.spent(self.seconds) - self.seconds).tolist()
        return found

    def plants(self) -> set[int]:
        """The numbers of the plants that are looked at."""
        return set(np.flatnonzero(self.planned).tolist())


def split(calls: Calls, seconds: float) -> Split:
    """Split the seconds of a round over plants and zones so that most harm is found.

    First what is owed, in its order, and what is brought forward. Where not all of that fits, the
    seconds too few for the next look go to plants with insects. Where all of it has its least,
    looks at others and looks made to count come in by gain per second, as many as find most
    together; what is left then goes to plants with insects, and to looks that count.

    With a fixed number of them more seconds never find less, so that the best number never does;
    what is owed comes first all the same, so that a look more at one who is due can take seconds
    from plants with insects at which they found more.
    """
    floors = floors_within(calls, seconds)
    if not floors.are_met or not len(calls.turn):
        return _as_owed(calls, floors, seconds)
    planned, least = floors.planned.copy(), floors.seconds.copy()
    most_offers = 1 + int(seconds / calls.shares.least_seconds)
    offered = list(islice(offers(calls, planned, least), most_offers))
    found = _with_one_more(calls, _filled(calls, planned, least, seconds), offered, seconds)
    for number, offer in enumerate(offered, 1):
        planned[offer.plant] = True
        least[offer.zones] = offer.seconds
        cost = calls.zones.spent(least).sum() + calls.overhead_of(np.flatnonzero(planned))
        if cost > seconds + FITS:
            break
        filled = _filled(calls, planned, least, seconds)
        filled = _with_one_more(calls, filled, offered[number:], seconds)
        if filled.prevented >= found.prevented:
            found = filled
    if found.planned.any() or not offered:
        return found
    return _in_part(calls, offered[0], seconds)


def _with_one_more(calls: Calls, filled: Split, others: Sequence[Offer], seconds: float) -> Split:
    """The same with the best of the other offers that fits into what nobody could use."""
    taken = calls.zones.spent(filled.seconds).sum()
    left = seconds - float(taken) - calls.overhead_of(np.flatnonzero(filled.planned))
    fits = [
        offer
        for offer in others
        if offer.cost <= left + FITS and filled.planned[offer.plant] != offer.adds
    ]
    if not fits:
        return filled
    best = max(fits, key=lambda offer: offer.found)
    planned, looked = filled.planned.copy(), filled.seconds.copy()
    planned[best.plant] = True
    looked[best.zones] = np.maximum(looked[best.zones], best.seconds)
    return Split(planned, looked, filled.prevented + best.found, filled.owed_is_met, filled.spare)


def _as_owed(calls: Calls, floors: Floors, seconds: float) -> Split:
    """What is owed or brought forward; what is left is too little for the next look.

    Plants with insects get that: first as much as they are owed, then where it gains most.
    """
    here = calls.zones_of(np.flatnonzero(floors.planned & (calls.turn == Turn.ALIVE)))
    zones, looked = calls.zones.take(here), floors.seconds.copy()
    used = float(calls.zones.spent(looked).sum()) + calls.overhead_of(
        np.flatnonzero(floors.planned)
    )
    room = seconds - used + float(zones.spent(looked[here]).sum())
    for most in (calls.floors[here], zones.most):
        given = looked[here]
        looked[here] = fill(replace(zones, least=given, most=np.maximum(given, most)), room)
    found = float(calls.zones.prevented(looked).sum())
    spare = looked - floors.seconds
    return Split(floors.planned, looked, found, floors.owed_is_met, spare)


def _in_part(calls: Calls, offer: Offer, seconds: float) -> Split:
    """As much of the first look as the seconds hold, where they hold none."""
    zones, room = (
        calls.zones.take(offer.zones),
        seconds - calls.overhead_of(np.array([offer.plant])),
    )
    given = partly(zones, np.zeros(len(offer.zones)), offer.seconds, room)
    looked = np.zeros(len(calls.owner))
    if given.sum() >= calls.shares.least_seconds:
        looked[offer.zones] = given
    found = float(calls.zones.prevented(looked).sum())
    nothing = np.zeros(len(looked))
    return Split(calls.by_plant(looked) > 0, looked, found, owed_is_met=True, spare=nothing)


def _filled(calls: Calls, planned: Planned, least: Values, seconds: float) -> Split:
    """The best split among these plants, each zone getting its least.

    A look at a plant without known insects that does not count gets no more, and where others are
    left out none is longer than usual.
    """
    plants = np.flatnonzero(planned)
    here = calls.zones_of(plants)
    zones, owner = replace(calls.zones.take(here), least=least[here]), calls.owner[here]
    calm = calls.turn != Turn.ALIVE
    too_short = calls.by_plant((least < calls.counts - FITS).astype(float)) > 0
    stays = (calm & too_short)[owner]
    zones = replace(zones, most=np.where(stays, zones.least, zones.most))
    room = seconds - calls.overhead_of(plants)
    limits = np.full(len(calls.turn), calls.most_of(seconds))
    is_all = bool((planned | (calls.harm <= 0)).all())
    if not is_all:
        limits[calm] = np.minimum(limits, calls.usual)[calm]
    limits = np.maximum(limits, np.bincount(owner, zones.spent(zones.least), len(limits)))
    found = _filled_up_to(zones, owner, room, limits)
    if float(zones.spent(found).sum()) < room - FITS:
        most = zones.most if is_all else np.where(calm[owner], found, zones.most)
        found = fill(replace(zones, least=found, most=most), room)
    spent = np.zeros(len(calls.owner))
    spent[here] = found
    prevented, nothing = float(zones.prevented(found).sum()), np.zeros(len(spent))
    return Split(planned.copy(), spent, prevented, owed_is_met=True, spare=nothing)


def _filled_up_to(zones: Zones, owner: Places, seconds: float, limits: Values) -> Values:
    """(N,): the seconds that find most, no plant taking more than its limit (P,).

    A plant that would take more gets its limit, and the others share the rest: on that lower level
    of gain it would take more still.
    """
    given = np.zeros(len(owner))
    free = np.arange(len(owner))
    left = seconds
    while len(free):
        given[free] = fill(zones.take(free), left)
        taken = np.bincount(owner[free], zones.take(free).spent(given[free]), len(limits))
        over = np.flatnonzero(taken > limits + FITS)
        for plant in over:
            own = free[owner[free] == plant]
            given[own] = fill(zones.take(own), float(limits[plant]))
            left -= float(zones.take(own).spent(given[own]).sum())
        free = free[~np.isin(owner[free], over)]
        if not len(over):
            break
    return given

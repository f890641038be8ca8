"""What a grower finds, from the zones looked at twice in a round."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from rounds.core.body import ROOTS
from rounds.core.estimates.own_detection import Pair
from rounds.core.estimates.own_detection import own_detection as rate_of
from rounds.core.log.effective import StandingLook
from rounds.core.parameters import Parameters
from rounds.core.quarantine.days import credited_seconds

if TYPE_CHECKING:
    from rounds.service.plant.record import PlantRecord

TIMES_APART = 20
"""Lengths of looks are told apart to so manieth a part of the reference seconds."""

DECIMALS = 3
"""of the rate: what is finer changes no figure on a screen"""


@dataclass(frozen=True, slots=True)
class OwnDetection:
    """`theta`: times the rates of the table; from how many pairs, and what they found in all."""

    theta: float
    pairs: int
    found: int


def learned(records: Iterable["PlantRecord"], before: date, parameters: Parameters) -> OwnDetection:
    """From all pairs of looks on the days before one: that day is worked out with one value.

    Args:
        records: every plant that came, also those that are gone.
        before: the day spoken about.
        parameters: the table.

    It is learned from the pest that is usually followed, and held to be the grower's for all.
    """
    pest = parameters.default_pest
    pairs = [pair for record in records for pair in _pairs(record, before, pest)]
    theta = rate_of(pairs, parameters.pests[pest].stages, parameters.second_looks)
    return OwnDetection(round(theta, DECIMALS), len(pairs), sum(pair.found for pair in pairs))


def _pairs(record: "PlantRecord", before: date, pest: str) -> Iterator[Pair]:
    if not record.entries.second_looks:
        return
    # those of a plant it was divided from are counted there
    looks = {look.id: look for look in record.own_log if look.day < before}
    for look in looks.values():
        first = looks.get(look.second_to or 0)
        if first is not None and _can_tell(first) and _can_tell(look):
            times = _times(record, first), _times(record, look)
            if first.zone == look.zone and all(times):
                yield Pair(_found(first, pest), _found(look, pest), *times)


def _can_tell(look: StandingLook) -> bool:
    """Finished, and nothing left there that the other look may have seen again."""
    stays = any(tally.kind in ("left", "doubtful") for tally in look.tallies)
    return look.outcome == "looked" and look.zone != ROOTS and not stays


def _found(look: StandingLook, pest: str) -> int:
    return sum(tally.count for tally in look.tallies if tally.pest == pest)


def _times(record: "PlantRecord", look: StandingLook) -> float:
    """Reference seconds of its zone; nothing where the plant had no such zone that day."""
    inspection = record.logbook.parameters.inspection
    for zone in record.body_on(look.day).zones:
        if zone.zone == look.zone:
            seconds = credited_seconds(look, zone.reference_seconds, inspection)
            least = inspection.seconds_with_find if look.tallies else 0.0
            times = max(seconds, least) / zone.reference_seconds
            return round(times * TIMES_APART) / TIMES_APART
    return 0.0

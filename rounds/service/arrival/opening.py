"""How many plants of a delivery to open, and what those opened tell."""

from dataclasses import dataclass
from datetime import date

from rounds.core.body import make_body
from rounds.core.estimates.delivery import (
    chance_to_hold_insects,
    found_in_full_look,
    look_sensitivity,
)
from rounds.core.estimates.freedom import chance_found, hypergeometric_sample
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import check_form

ARRIVAL = "arrival"


@dataclass(frozen=True, slots=True)
class Opening:
    """How many of a delivery to open, each looked at once and fully, but for the roots."""

    units: int
    open_units: int
    """all of them where not even all are enough"""
    is_enough: bool
    """those find the share supposed with the confidence asked"""
    infested_units: int
    share: float
    confidence: float
    sensitivity: float
    """of one look, on a plant that holds an insect"""
    full_look_seconds: float
    """at each, without the roots"""
    clean_unseen: float
    """chance clean of a plant nobody has opened, before any of them was"""

    def told_by(self, opened: int) -> float:
        """Chance that so many opened show something, were the share supposed infested."""
        return chance_found(self.units, self.infested_units, opened, self.sensitivity)


def opening_of(logbook: Logbook, on: date, units: int, form: str, size: str) -> Opening:
    """How many of so many like plants to open on a day.

    Exact: hypergeometric, each infested one opened found with the sensitivity of a full look
    (FAO 2008, ISPM 31, with an imperfect test).
    """
    # with what the grower is known to find
    table = CollectionDay(logbook, on).parameters
    biology, supposed = table.pests[table.default_pest], table.infestation.priors[ARRIVAL]
    body = make_body(check_form(logbook, form), size, False, table)
    found = found_in_full_look(body, biology.stages, table.detection_times)
    sensitivity = look_sensitivity(found, supposed)
    asked = table.deliveries
    sample = hypergeometric_sample(units, asked.share, asked.confidence, sensitivity)
    return Opening(
        units=units,
        open_units=sample.samples or units,
        is_enough=sample.samples is not None,
        infested_units=sample.infested_units or 1,
        share=asked.share,
        confidence=asked.confidence,
        sensitivity=sensitivity,
        full_look_seconds=sum(zone.reference_seconds for zone in body.outside),
        clean_unseen=1 - chance_to_hold_insects(supposed),
    )

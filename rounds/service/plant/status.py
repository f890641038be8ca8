"""A plant as commands print it, wherever it appears."""

from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.quarantine.criteria import CHANCE_CLEAN, Criterion, ready
from rounds.service.inference.result import Left
from rounds.service.logbook.book import DEFAULT_FORM, DEFAULT_SIZE
from rounds.service.plant.record import PlantRecord

COURSES = Criterion("courses", met=None, have=None, need=None, unit="course")
"""Keeps its place in what commands print: there are no courses of treatment yet to wait for."""


@dataclass(frozen=True, slots=True)
class StreakStatus:
    """Complete clean looks in a row, and the days from the first to the last of them."""

    looks: int
    days: int


@dataclass(frozen=True, slots=True)
class ChanceClean:
    """That no living insect of any stage is left, with its band, and how it was worked out."""

    value: float
    low: float
    high: float
    method: str


@dataclass(frozen=True, slots=True)
class RiskPart:
    """What one thing adds to the risk."""

    code: str
    value: float
    text: str


@dataclass(frozen=True, slots=True)
class RiskStatus:
    """From 0 to 100; its parts add up to it."""

    value: float
    word: str
    parts: tuple[RiskPart, ...]


@dataclass(frozen=True, slots=True)
class ReleaseStatus:
    """What quarantine still waits for."""

    ready: bool
    expected_on: date | None
    waiting_for: tuple[str, ...]
    criteria: tuple[Criterion, ...]


@dataclass(frozen=True, slots=True)
class PlantStatus:
    """A plant as commands print it; field by field the contract's plant_status."""

    code: str
    name: str
    botanical_name: str | None
    form: str
    size: str
    place: str | None
    spot: str | None
    pest: str
    pests: tuple[str, ...]
    standing: str
    standing_since: date
    chance_clean: ChanceClean
    probably_left: Left
    streak: StreakStatus
    last_look_on: date | None
    last_complete_look_on: date | None
    last_find_on: date | None
    risk: RiskStatus
    release: ReleaseStatus | None


def status_of(record: PlantRecord) -> PlantStatus:
    """The plant as commands print it."""
    return PlantStatus(
        code=record.plant.code,
        name=record.name(),
        botanical_name=record.plant.fact("botanical_name", record.on),
        form=record.plant.fact("form", record.on) or DEFAULT_FORM,
        size=record.plant.fact("size", record.on) or DEFAULT_SIZE,
        place=record.place_name(),
        spot=record.spot(),
        pest=record.pest,
        pests=record.pests,
        standing=record.standing,
        standing_since=record.standing_since,
        chance_clean=_chance_status(record),
        probably_left=record.likely.left,
        streak=StreakStatus(record.streak.looks, record.streak.days),
        last_look_on=record.last_look_on,
        last_complete_look_on=record.last_complete_look_on,
        last_find_on=record.last_find_on,
        risk=_risk_status(record),
        release=_release_status(record),
    )


def _chance_status(record: PlantRecord) -> ChanceClean:
    likely = record.likely
    return ChanceClean(likely.chance_clean, likely.band.low, likely.band.high, likely.method)


def _risk_status(record: PlantRecord) -> RiskStatus:
    risk = record.likely.risk
    parts = tuple(
        RiskPart(part.code, part.value, words.say(f"risk.parts.{part.code}")) for part in risk.parts
    )
    return RiskStatus(risk.value, risk.word, parts)


def _release_status(record: PlantRecord) -> ReleaseStatus | None:
    if record.forecast is None:
        return None
    criteria = record.forecast.criteria
    at = [criterion.code for criterion in criteria].index(CHANCE_CLEAN)
    return ReleaseStatus(
        ready=ready(criteria),
        expected_on=record.forecast.ready_on,
        waiting_for=record.forecast.waiting_for,
        criteria=(*criteria[:at], COURSES, *criteria[at:]),
    )

"""End a quarantine: when every criterion is met, or early with a reason that stays on record."""

from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.collection import Period, Plant
from rounds.errors import BadInput, Refused
from rounds.service.collection.plants import check_here
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_plant
from rounds.service.plant.record import PlantRecord
from rounds.store import plants


@dataclass(frozen=True, slots=True)
class Decision:
    """Whether the quarantine ended, and how. `refusal` says why not."""

    released: bool
    early: bool
    reason: str | None
    record: PlantRecord
    refusal: Refused | None = None


def end_quarantine(
    logbook: Logbook, moment: Moment, code: str, early_reason: str | None = None
) -> Decision:
    """Judge a plant at the end of the moment's day and end its quarantine if that is allowed.

    With a reason it ends although criteria are unmet; where all are met the reason is kept and
    the end is not an early one.
    """
    plant = find_plant(logbook, code)
    check_here(plant, moment.day)
    if early_reason is not None and not early_reason.strip():
        raise BadInput("empty-reason", field="early_reason")
    record = record_of(logbook, plant, moment.day)
    period = plant.quarantine(moment.day)
    if period is None or record.forecast is None:
        refusal = Refused("not-in-quarantine", code=plant.code, field="code")
        return Decision(False, False, early_reason, record, refusal)
    ready = all(criterion.met is True for criterion in record.forecast.criteria)
    if not ready and early_reason is None:
        return Decision(False, False, None, record, _not_yet(record))
    early = not ready
    reason = early_reason.strip() if early_reason else None
    _end(logbook, moment, plant, early=early, reason=reason)
    after = logbook.collection().plants[plant.id]
    return Decision(True, early, reason, record_of(logbook, after, moment.day))


def _end(
    logbook: Logbook, moment: Moment, plant: Plant, *, early: bool, reason: str | None
) -> None:
    with plants.in_one_go(logbook.file):
        for period in _open_quarantines(plant, moment.day):
            plants.append_period_end(
                logbook.file, period, moment.day, moment.at_ms, early=early, reason=reason
            )


def _open_quarantines(plant: Plant, day: date) -> list[Period]:
    return [p for p in plant.periods if p.kind == "quarantine" and p.is_open(day)]


def _not_yet(record: PlantRecord) -> Refused:
    waiting = record.forecast.waiting_for if record.forecast else ()
    names = [words.say(f"quarantine.criteria.{code}") for code in waiting]
    return Refused(
        "criteria-unmet",
        code=record.plant.code,
        unmet=len(waiting),
        all=len(record.criteria),
        names="; ".join(names),
        field="code",
    )

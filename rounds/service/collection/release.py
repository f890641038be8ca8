"""End a quarantine: when every criterion is met, or early with a reason that stays on record."""

from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.collection import Period, Plant
from rounds.core.quarantine.criteria import Criterion
from rounds.errors import BadInput, Refused
from rounds.service.collection.plants import check_here
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_plant
from rounds.service.plant.record import PlantRecord
from rounds.store import plants
from rounds.words.pests import pest_name


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
    ready = all(each.met is True for other in _each_pest(record) for each in _judged(other))
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


def _each_pest(record: PlantRecord) -> tuple[PlantRecord, ...]:
    """The plant with regard to each of its pests, the one that binds first: all are cleared."""
    return record, *record.others


def _judged(record: PlantRecord) -> tuple[Criterion, ...]:
    return record.forecast.criteria if record.forecast else ()


def _not_yet(record: PlantRecord) -> Refused:
    unmet = {
        each.pest: [c.code for c in _judged(each) if c.met is not True]
        for each in _each_pest(record)
    }
    named = {
        pest: "; ".join(words.say(f"quarantine.criteria.{code}") for code in codes)
        for pest, codes in unmet.items()
        if codes
    }
    # one pest needs no name
    names = "; ".join(named.values())
    if record.others:
        names = words.say("forms.and").join(
            words.say("quarantine.of-pest", pest=pest_name(pest), what=of)
            for pest, of in named.items()
        )
    return Refused(
        "criteria-unmet",
        code=record.plant.code,
        unmet=sum(map(len, unmet.values())),
        all=sum(len(each.criteria) for each in _each_pest(record)),
        names=names,
        field="code",
    )

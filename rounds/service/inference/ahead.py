"""When a quarantine may end: the forecast with the chance clean on the days to come."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from rounds.core.inference.facts import Refit
from rounds.core.quarantine.criteria import QuarantineHistory, judge
from rounds.core.quarantine.forecast import (
    ChanceAhead,
    Forecast,
    days_to_come,
    forecast,
)
from rounds.core.quarantine.interval import usual_interval
from rounds.core.quarantine.warmth import LIMIT_DAYS
from rounds.service.inference.kept import digest, kept_or_worked_out, knows

if TYPE_CHECKING:
    from rounds.core.quarantine.outlook import Outlook
    from rounds.service.standing import PlantRecord


def forecast_of(record: "PlantRecord", history: QuarantineHistory) -> Forecast:
    """The criteria as they stand, with the days on which they are expected to be met.

    The criteria are judged each time; the days, which take long, are kept.
    """
    kept: dict[str, Any] = kept_or_worked_out(
        record.logbook,
        record.plant.id,
        _what(record),
        _key(record),
        lambda: _days(_work_out(record, history)),
    )
    now = judge(history, record.on, record.logbook.rules())
    expected: dict[str, str | None] = kept["criteria"]
    return Forecast(
        criteria=tuple(replace(c, expected_on=_day(expected[c.code])) for c in now),
        ready_on=_day(kept["ready_on"]),
        others_on=_day(kept["others_on"]),
        waiting_for=tuple(c.code for c in now if c.met is not True),
    )


def is_kept(record: "PlantRecord") -> bool:
    """Whether the days of a plant are kept; true where it has none to keep."""
    if record.history is None:
        return True
    return knows(record.logbook, record.plant.id, _what(record), _key(record))


def _what(record: "PlantRecord") -> str:
    return f"forecast {record.likely.facts.pest}"


def _key(record: "PlantRecord") -> str:
    return digest(record.likely.key, record.logbook.rules())


def _work_out(record: "PlantRecord", history: QuarantineHistory) -> Forecast:
    # slow to import, and not needed where the days are kept
    from rounds.core.inference.band import refits
    from rounds.core.quarantine.outlook import Outlook

    rules = record.logbook.rules()
    interval = usual_interval(history.days, record.on)
    until = record.on + timedelta(days=LIMIT_DAYS)
    to_come = days_to_come(history, record.on, rules, interval, until)
    mean_c = record.temperatures.mean_c(record.lived, record.on)

    def outlook(refit: Refit | None = None) -> Outlook:
        facts, table = record.likely.facts, record.parameters
        return Outlook(facts, record.on, table, to_come, history.days, mean_c, refit)

    low = _least([outlook(r) for r in refits(record.logbook.parameters.infestation)]) \
        if rules.chance_low else None  # fmt: skip
    return forecast(
        history,
        record.on,
        rules,
        interval,
        record.temperatures.rate(record.lived, record.on),
        chance=ChanceAhead(outlook(), low),
    )


def _least(outlooks: "list[Outlook]") -> Callable[[date], float]:
    return lambda day: min(outlook(day) for outlook in outlooks)


def _days(found: Forecast) -> dict[str, Any]:
    return {
        "criteria": {c.code: _text(c.expected_on) for c in found.criteria},
        "ready_on": _text(found.ready_on),
        "others_on": _text(found.others_on),
    }


def _text(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None

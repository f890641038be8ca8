"""When a quarantine may end: the forecast with the chance clean on the days to come."""

from collections.abc import Generator
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from typing import Any

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
from rounds.service.inference.steps import finished
from rounds.service.plant.record import PlantRecord


def forecast_in_steps(record: PlantRecord) -> Generator[None, None, Forecast | None]:
    """The criteria as they stand, with the days on which they are expected to be met.

    None outside quarantine.

    The criteria are judged each time; the days, which take long, are kept. It yields often enough
    that no key press waits; where the days are kept, not at all.
    """
    history = record.history
    if history is None:
        return None
    days = None if is_kept(record) else (yield from _worked_out(record, history))
    kept: dict[str, Any] = kept_or_worked_out(
        record.logbook, record.plant.id, _what(record), _key(record),
        lambda: days or finished(_worked_out(record, history)),
    )  # fmt: skip
    now = judge(history, record.on, record.logbook.rules(record.pest))
    expected: dict[str, str | None] = kept["criteria"]
    return Forecast(
        criteria=tuple(replace(c, expected_on=_day(expected[c.code])) for c in now),
        ready_on=_day(kept["ready_on"]),
        others_on=_day(kept["others_on"]),
        waiting_for=tuple(c.code for c in now if c.met is not True),
    )


def is_kept(record: PlantRecord) -> bool:
    """Whether the days of a plant are kept; true where it has none to keep."""
    if record.history is None:
        return True
    return knows(record.logbook, record.plant.id, _what(record), _key(record))


def _what(record: PlantRecord) -> str:
    return f"forecast {record.likely.pest}"


def _key(record: PlantRecord) -> str:
    judged = [criterion.code for criterion in record.criteria]
    return digest(record.likely.key, record.logbook.rules(record.pest), judged)


def _worked_out(
    record: PlantRecord, history: QuarantineHistory
) -> Generator[None, None, dict[str, Any]]:
    # slow to import, and not needed where the days are kept
    from rounds.core.quarantine.outlook import NotWorkedOut

    rules = record.logbook.rules(record.pest)
    rate = record.temperatures.rate(record.lived, record.on, record.biology.warmth)
    interval = usual_interval(history.days, record.on)
    chance = _ahead(record, history, interval)
    while True:
        try:
            found = forecast(history, record.on, rules, interval, rate, chance=chance)
        except NotWorkedOut as asked:
            # days worked out are memoised, so that starting anew loses little
            yield from asked.steps
        else:
            return _days(found)


def _ahead(record: PlantRecord, history: QuarantineHistory, interval: int) -> ChanceAhead:
    """The chance clean on the days to come, and the least of its refits where that is asked for."""
    from rounds.core.inference.band import refits
    from rounds.core.quarantine.outlook import Outlook

    rules, on = record.logbook.rules(record.pest), record.on
    to_come = days_to_come(history, on, rules, interval, on + timedelta(days=LIMIT_DAYS))
    mean_c = record.temperatures.mean_c(record.lived, on)
    levels = [rules.chance_clean]
    if not history.ever_found:
        levels.append(rules.degree_days_waived_from)
    facts, table = record.likely.facts, record.parameters
    others, asked_low = refits(table.infestation), rules.chance_low or 0.0

    @cache
    def outlook(number: int, *asked: float) -> Outlook:
        refit, past = others[number], history.days
        return Outlook(facts, on, table, to_come, past, mean_c, refit, levels=asked, in_steps=True)

    def low(day: date) -> float:
        # where it is asked for, the chance as it is reaches what is asked of that one
        first = 0 if asked_low > rules.chance_clean else 1
        low = 1.0
        for number in range(first, len(others)):
            low = min(low, outlook(number, asked_low)(day))
            if low < asked_low:
                break
        return low

    return ChanceAhead(outlook(0, *levels), low if rules.chance_low else None)


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

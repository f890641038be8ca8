"""When a quarantine may end: the forecast with the chance clean on the days to come."""

from collections.abc import Generator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from typing import Any

from rounds.core.inference.facts import PlantFacts
from rounds.core.quarantine.criteria import QuarantineHistory, judge
from rounds.core.quarantine.forecast import (
    ChanceAhead,
    Forecast,
    clean_looks_to_come,
    days_to_come,
    forecast,
    with_root_look,
)
from rounds.core.quarantine.interval import usual_interval
from rounds.core.quarantine.warmth import LIMIT_DAYS
from rounds.service.inference.kept import (
    WAS,
    dated,
    digest,
    kept_or_worked_out,
    known,
    knows,
    newest_before,
)
from rounds.service.inference.moved import Moved, moved_from, rests_on
from rounds.service.inference.steps import finished
from rounds.service.plant.record import PlantRecord

LEAVING_ON = (0, 2, 5, 9, 14, 20, 28, 40, 60, 90, 130, LIMIT_DAYS - 1)
"""days ahead for which it is worked out what leaves an infested plant"""
LEAST_LEAVING = 1e-7
"""crawlers a day; fewer are taken to be as many, so that numbers in between can be told"""


@dataclass(frozen=True, slots=True)
class Supposed:
    """What is supposed of the days to come, where it is not that all goes on as it has."""

    every_days: int | None = None
    """between complete looks; None: as usual"""
    times: float = 1.0
    """how many times as long as usual a look is"""
    roots_on: date | None = None
    """one more look at the roots"""
    without: frozenset[int] = frozenset()
    """ids of neighbours from which nothing more comes"""


AS_IT_GOES = Supposed()


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
    key = digest(record.likely.key, record.logbook.rules(record.pest), judged)
    return dated(record.on, key)


def _worked_out(
    record: PlantRecord, history: QuarantineHistory
) -> Generator[None, None, dict[str, Any]]:
    found = yield from supposing(record, history, AS_IT_GOES)
    return {**_days(found), "rests_on": rests_on(record, history)}


def moved(record: PlantRecord) -> Moved | None:
    """How far the day on which a plant may leave moved since it was last told on an earlier day.

    None where it moved little, is of another quarantine, or either day is not kept.
    """
    if record.history is None:
        return None
    logbook, what = record.logbook, _what(record)
    now = known(logbook, record.plant.id, what, _key(record))
    then = newest_before(logbook, record.plant.id, f"{WAS}{what}", record.on)
    return None if now is None or then is None else moved_from(then, now)


def supposing(
    record: PlantRecord,
    history: QuarantineHistory,
    supposed: Supposed,
    limit_days: int = LIMIT_DAYS,
) -> Generator[None, None, Forecast]:
    """The forecast if the days to come are as supposed, up to so many days ahead; in steps."""
    # slow to import, and not needed where the days are kept
    from rounds.core.quarantine.outlook import NotWorkedOut

    rules = record.logbook.rules(record.pest)
    rate = record.temperatures.rate(record.lived, record.on, record.biology.warmth)
    interval = supposed.every_days or usual_interval(history.days, record.on)
    chance = _ahead(record, history, interval, supposed)
    while True:
        try:
            return forecast(history, record.on, rules, interval, rate, limit_days, chance)
        except NotWorkedOut as asked:
            # days worked out are memoised, so that starting anew loses little
            yield from asked.steps


def _ahead(
    record: PlantRecord, history: QuarantineHistory, interval: int, supposed: Supposed
) -> ChanceAhead:
    """The chance clean on the days to come, and the least of its refits where that is asked for."""
    from rounds.core.inference.band import refits
    from rounds.core.quarantine.outlook import Outlook

    rules, on = record.logbook.rules(record.pest), record.on
    to_come = days_to_come(history, on, rules, interval, on + timedelta(days=LIMIT_DAYS))
    mean_c = record.temperatures.mean_c(record.lived, on)
    levels = [rules.chance_clean]
    if not history.ever_found:
        levels.append(rules.degree_days_waived_from)
    if supposed.roots_on is not None:
        to_come = with_root_look(to_come, supposed.roots_on)
    facts, table = _facts_ahead(record, supposed), record.parameters
    others, asked_low = refits(table.infestation), rules.chance_low or 0.0

    @cache
    def outlook(number: int, *asked: float) -> Outlook:
        refit, past = others[number], history.days
        return Outlook(
            facts, on, table, to_come, past, mean_c, refit,
            levels=asked, in_steps=True, times=supposed.times,
        )  # fmt: skip

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


def _facts_ahead(record: PlantRecord, supposed: Supposed) -> PlantFacts:
    """The facts, with what comes from neighbours on the days to come."""
    facts = record.likely.facts
    ahead = record.day.arrivals_ahead(record, record.pest, supposed.without)
    return replace(facts, neighbours={**facts.neighbours, **ahead})


def leaving_to_come(source: PlantRecord, facts: PlantFacts) -> dict[str, float]:
    """Crawlers expected to leave a plant on the days to come, by the day they would arrive.

    As long as the looks at it go on as usual, and find nothing. Between the days worked out they
    are taken to grow or fall by the same factor from day to day.
    """
    # slow to import, and not needed where it is kept
    from rounds.core.biology.process import make_process
    from rounds.core.inference.day_by_day import day_by_day
    from rounds.core.quarantine.outlook import Outlook

    on, days, table = source.on, source.days(facts.pest), source.parameters
    mean_c = source.temperatures.mean_c(source.lived, on)
    until = on + timedelta(days=LIMIT_DAYS)
    to_come = clean_looks_to_come(days, on, usual_interval(days, on), until)
    leaving = make_process(source.body.zones, table, facts.pest).leaving(mean_c, mean_c)
    outlook = Outlook(facts, on, table, to_come, days, mean_c)
    found = day_by_day(outlook.expected(leaving, LEAVING_ON), LIMIT_DAYS, LEAST_LEAVING)
    arrive = (on + timedelta(days=n) for n in range(1, LIMIT_DAYS + 1))
    return {day.isoformat(): number for day, number in zip(arrive, found, strict=True)}


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

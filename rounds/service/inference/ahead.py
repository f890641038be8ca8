"""When a quarantine may end: the forecast with the chance clean on the days to come."""

from collections.abc import Generator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from typing import TYPE_CHECKING, Any

from rounds.core.away import DAY, first_day_back
from rounds.core.biology.degree_days import day_degree_days
from rounds.core.quarantine.criteria import QuarantineHistory, judge
from rounds.core.quarantine.forecast import (
    ChanceAhead,
    Forecast,
    Supposed,
    days_to_come,
    forecast,
    still_today,
)
from rounds.core.quarantine.interval import usual_interval
from rounds.core.quarantine.warmth import LIMIT_DAYS
from rounds.service.courses.standing import treated_ahead
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

if TYPE_CHECKING:
    # slow to import, and not needed where the days are kept
    from rounds.core.inference.facts import Refit
    from rounds.core.quarantine.outlook import Outlook


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
        record.logbook, record.plant.id, _what(record), forecast_key(record),
        lambda: days or finished(_worked_out(record, history)),
    )  # fmt: skip
    now = judge(history, record.on, record.rules)
    expected: dict[str, str | None] = kept["criteria"]
    return Forecast(
        criteria=tuple(replace(c, expected_on=_day(expected[c.code])) for c in now),
        ready_on=_day(kept["ready_on"]),
        others_on=_day(kept["others_on"]),
        waiting_for=tuple(c.code for c in now if c.met is not True),
        is_exact=kept["is_exact"],
    )


def is_kept(record: PlantRecord) -> bool:
    """Whether the days of a plant are kept; true where it has none to keep."""
    if record.history is None:
        return True
    return knows(record.logbook, record.plant.id, _what(record), forecast_key(record))


def _what(record: PlantRecord) -> str:
    return _what_of(record, record.likely.pest)


def _what_of(record: PlantRecord, pest: str) -> str:
    # what commands name of a day at its end does not take the place of what screens name of it
    end = " at its end" if record.logbook.day_is_over else ""
    return f"forecast {pest}{end}"


def forecast_key(record: PlantRecord) -> str:
    """Digest of all that the days of a plant rest on."""
    judged = [criterion.code for criterion in record.criteria]
    away = [(stretch.first_day, stretch.last_day) for stretch in record.away]
    rules = record.rules
    return dated(record.on, digest(record.likely.key, rules, judged, away, record.is_open))


def moved(record: PlantRecord) -> Moved | None:
    """How far the day on which a plant may leave moved since it was last told on an earlier day.

    None where it moved little, is of another quarantine, or either day is not kept.
    """
    if record.history is None:
        return None
    logbook, what = record.logbook, _what(record)
    now = known(logbook, record.plant.id, what, forecast_key(record))
    then = newest_before(logbook, record.plant.id, f"{WAS}{what}", record.on)
    return None if now is None or then is None else moved_from(then, now)


def day_named_last(record: PlantRecord) -> date | None:
    """The day on which this quarantine was last said to end, whatever that rested on.

    None where none is kept, or insects were found since.
    """
    history = record.history_seen
    what = _what_of(record, record.pest)
    then = newest_before(record.logbook, record.plant.id, what, record.on + DAY)
    if history is None or then is None or "rests_on" not in then:
        return None
    found_on = history.last_live_on and history.last_live_on.isoformat()
    told = then["rests_on"]
    same = (told["began_on"], told["found_on"]) == (history.began_on.isoformat(), found_on)
    return _day(then["ready_on"]) if same else None


def supposed_of(record: PlantRecord, times: float = 1.0) -> Supposed:
    """What its forecast supposes, with looks so many times as long as usual."""
    # slow to import, and not needed where the days are kept
    from rounds.core.quarantine.outlook import sees_medium

    past = record.history.days if record.history else ()
    facts = record.likely.facts
    return Supposed(
        away=record.away,
        is_open=record.is_open,
        sees_medium=sees_medium(facts, record.on, record.parameters, past, times),
        times=times,
        treated=tuple(
            replace(used, day=first_day_back(used.day, record.away))
            for used in treated_ahead(record, record.on + timedelta(days=LIMIT_DAYS))
        ),
    )


def _worked_out(
    record: PlantRecord, history: QuarantineHistory
) -> Generator[None, None, dict[str, Any]]:
    found = yield from supposing(record, history, supposed_of(record))
    return {**_days(found), "rests_on": rests_on(record, history)}


def supposing(
    record: PlantRecord,
    history: QuarantineHistory,
    supposed: Supposed,
    limit_days: int = LIMIT_DAYS,
) -> Generator[None, None, Forecast]:
    """The forecast if the days to come are as supposed, up to so many days ahead; in steps."""
    # slow to import, and not needed where the days are kept
    from rounds.core.quarantine.outlook import NotWorkedOut

    rules = record.rules
    warmth, celsius = record.biology.warmth, _celsius(record, supposed)
    rate = day_degree_days(celsius, celsius, warmth)
    interval = usual_interval(history.days, record.on, record.away)
    chance = _ahead(record, history, interval, supposed)
    while True:
        try:
            return forecast(history, record.on, rules, interval, rate, limit_days, chance, supposed)
        except NotWorkedOut as asked:
            # days worked out are memoised, so that starting anew loses little
            yield from asked.steps


def _celsius(record: PlantRecord, supposed: Supposed) -> float:
    """Mean temperature of the days to come: as supposed, else that of the last days."""
    if supposed.celsius is not None:
        return supposed.celsius
    return record.temperatures.mean_c(record.lived, record.on)


def _ahead(
    record: PlantRecord, history: QuarantineHistory, interval: int, supposed: Supposed
) -> ChanceAhead:
    """The chance clean on the days to come, and the least of its refits where that is asked for."""
    from rounds.core.inference.band import refits
    from rounds.core.quarantine.outlook import Outlook

    rules = record.rules
    levels = [rules.chance_clean]
    if not history.ever_found:
        levels.append(rules.degree_days_waived_from)
    others, asked_low = refits(record.parameters.infestation), rules.chance_low or 0.0

    @cache
    def outlook(number: int, *asked: float) -> Outlook:
        return _outlook(record, history, interval, supposed, others[number], asked)

    def low(day: date) -> float:
        # where it is asked for, the chance as it is reaches what is asked of that one
        first = 0 if asked_low > rules.chance_clean else 1
        low = 1.0
        for number in range(first, len(others)):
            low = min(low, outlook(number, asked_low)(day))
            if low < asked_low:
                break
        return low

    value = outlook(0, *levels)
    return ChanceAhead(value, low if rules.chance_low else None, value.is_exact)


def _outlook(
    record: PlantRecord,
    history: QuarantineHistory,
    interval: int,
    supposed: Supposed,
    refit: "Refit | None" = None,
    levels: Sequence[float] = (),
) -> "Outlook":
    from rounds.core.quarantine.outlook import Outlook

    rules, on = record.rules, record.on
    until = on + timedelta(days=LIMIT_DAYS)
    return Outlook(
        record.likely.facts,
        on,
        record.parameters,
        days_to_come(history, on, rules, interval, until, supposed),
        history.days,
        _celsius(record, supposed),
        refit,
        levels=levels,
        in_steps=True,
        today=still_today(history, on, rules, interval, supposed),
        times=supposed.times,
        coming=supposed.coming,
        treated=supposed.treated,
    )


def chances_ahead(
    record: PlantRecord, days: Sequence[date], refit: "Refit | None" = None
) -> Generator[None, None, list[float] | None]:
    """The chance clean at the end of days to come, under the looks a forecast supposes; in steps.

    With a refit, what it would be if that were so. None outside quarantine.
    """
    history = record.history
    if history is None:
        return None
    interval = usual_interval(history.days, record.on, record.away)
    outlook = _outlook(record, history, interval, supposed_of(record), refit)
    yield from outlook.work_out(days)
    return [outlook(day) for day in days]


def root_looks_ahead(record: PlantRecord, until: date) -> tuple[date, ...]:
    """The days to come on which a forecast supposes a look at the roots."""
    history = record.history
    if history is None:
        return ()
    interval = usual_interval(history.days, record.on, record.away)
    supposed = supposed_of(record)
    days = days_to_come(history, record.on, record.rules, interval, until, supposed)
    return tuple(looked.day for looked in days if looked.roots_seen and looked.day > record.on)


def _days(found: Forecast) -> dict[str, Any]:
    return {
        "criteria": {c.code: _text(c.expected_on) for c in found.criteria},
        "ready_on": _text(found.ready_on),
        "others_on": _text(found.others_on),
        "is_exact": found.is_exact,
    }


def _text(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None

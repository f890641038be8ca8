"""Why the figures of one plant are what they are, and what would bring its day nearer.

Several runs of the sums for each plant: they are done for one whose page is open, never for all.
"""

from collections.abc import Callable, Generator, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from rounds import words
from rounds.core.away import first_day_back
from rounds.core.quarantine.criteria import DAYS_APART, DEGREE_DAYS, QuarantineHistory
from rounds.core.quarantine.forecast import Supposed
from rounds.core.quarantine.interval import usual_interval
from rounds.core.quarantine.warmth import LIMIT_DAYS
from rounds.service.courses.advice import Option, options_in_steps, options_key, read_options
from rounds.service.courses.efficacy import Efficacy, read_works, works_in_steps, works_key
from rounds.service.inference.ahead import forecast_key, moved, supposed_of, supposing
from rounds.service.inference.course import Course, kept_course
from rounds.service.inference.kept import (
    NotKept,
    digest,
    kept_or_worked_out,
    knows,
    only_kept,
)
from rounds.service.inference.moved import Moved
from rounds.service.inference.steps import finished
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import calendar_day, codes_text, days_text, degree_days, expected_number

if TYPE_CHECKING:
    # slow to import, and not needed where all is kept
    from rounds.core.inference.holding import Told

ROOTS, LONGER_LOOKS, DAILY_LOOKS = "roots", "longer-looks", "daily-looks"
MOVE_AWAY, QUARANTINE_NEIGHBOUR = "move-away", "quarantine-neighbour"
TWICE = 2.0
LEAST_SHARE = 0.05
"""of what comes from all neighbours, from which on one of them is named: an assumption"""
FEW_COMING = 1e-4
"""crawlers a day from a neighbour; of fewer nothing is told: an assumption"""

Raw = dict[str, Any]


@dataclass(frozen=True, slots=True)
class HoldsDown:
    """One thing that holds the chance clean down."""

    code: str
    points: float
    """of 100, by which the chance would be higher without that one thing"""
    text: str
    brief: str
    """the same in fewer words"""


@dataclass(frozen=True, slots=True)
class Sooner:
    """Something that would bring the day nearer on which a plant may leave, or keep it."""

    code: str
    expected_on: date
    text: str


@dataclass(frozen=True, slots=True)
class Why:
    """What is told of one plant where its page is open."""

    holds_down: tuple[HoldsDown, ...]
    """its chance clean; largest first"""
    sooner: tuple[Sooner, ...]
    """earliest first"""
    moved: Moved | None = None
    """how far the day expected moved since it was last told on an earlier day"""
    removal: str = ""
    """how many are left by what each look removed alone, or that there is no estimate"""
    options: tuple[Option, ...] = ()
    """what to do next, best first; none where nothing was found lately"""
    works: Mapping[int, Efficacy] = field(default_factory=dict)
    """by the id of a course, what it achieved"""
    misfit: str | None = None
    """how its finds are not such as the sums foretold: too-many, too-few or too-clumped"""
    course: Course | None = None
    """how its chance clean went and goes on, in quarantine; worked out last"""


def why_of(record: PlantRecord) -> Why | None:
    """Why the figures of a plant are what they are, worked out where it is not kept.

    None for a plant that is gone, and where what was entered cannot happen.
    """
    return finished(why_in_steps(record))


def kept_why(record: PlantRecord) -> Why | None:
    """The same where it is kept; nothing is worked out."""
    if record.standing == "gone":
        return None
    with only_kept(record.logbook), suppress(NotKept):
        key = _key(record)
        if knows(record.logbook, record.plant.id, _what(record), key):
            return _read(record, _kept(record, key, dict))
    return None


def why_in_steps(record: PlantRecord) -> Generator[None, None, Why | None]:
    """As `why_of`, with a pause after each run of the sums."""
    if record.standing == "gone":
        return None
    while not record.work_on_forecast():
        yield
    key = _key(record)
    found: Raw = {}
    if not knows(record.logbook, record.plant.id, _what(record), key):
        found = yield from _worked_out(record)
    return _read(record, _kept(record, key, lambda: found))


def _what(record: PlantRecord) -> str:
    return f"why {record.likely.pest}"


def _key(record: PlantRecord) -> str:
    return digest(forecast_key(record), record.standing, options_key(record), works_key(record))


def _kept(record: PlantRecord, key: str, work_out: Callable[[], Raw]) -> Raw:
    kept: Raw = kept_or_worked_out(record.logbook, record.plant.id, _what(record), key, work_out)
    return kept


def _worked_out(record: PlantRecord) -> Generator[None, None, Raw]:
    held = yield from _held(record)
    sooner = yield from _sooner(record)
    misfit = yield from _misfit(record)
    removal = _removal(record)
    options = yield from options_in_steps(record)
    works = yield from works_in_steps(record)
    return {
        "holds_down": held, "sooner": sooner, "misfit": misfit, "removal": removal,
        "options": options, "works": works,
    }  # fmt: skip


def _misfit(record: PlantRecord) -> Generator[None, None, str | None]:
    # slow to import, and not needed where it is kept
    from rounds.core.inference.foretold import days_foretold
    from rounds.core.inference.misfit import FitRules, greatest, least_tail, misfit

    asked = record.parameters.infestation
    days = yield from days_foretold(record.likely.evidence().log, asked.fit_days)
    rules = FitRules(asked.fit_plant, asked.fit_tail, asked.fit_plant_alone)
    return misfit(greatest(days), least_tail(days), rules)


# what holds the chance down


def _held(record: PlantRecord) -> Generator[None, None, list[Raw]]:
    # slow to import, and not needed where it is kept
    from rounds.core.inference.holding import holds_down, told

    # what cannot have happened is refused by the figure itself, with the entry that did it
    _ = record.likely.chance_clean
    facts, table = record.likely.facts, record.parameters
    found = yield from holds_down(facts, record.on, table)
    values = _values(record, told(facts, record.on, table))
    return [
        {"code": held.code, "points": held.points, **values.get(held.code, {})} for held in found
    ]


def _values(record: PlantRecord, at: "Told") -> dict[str, Raw]:
    """What the words of a reason speak of, by its code."""
    found: dict[str, Raw] = {
        "few-looks": _looks_missing(record, at),
        "neighbour": _neighbours_told(record),
        "start": {"how": "start-unseen" if record.last_look_on is None else "start"},
    }
    if at.found_on is not None:
        warmth = record.degree_days_between(at.found_on, record.on)
        ago = (record.on - at.found_on).days
        how = "last-find" if ago else "last-find-today"
        found["last-find"] = {"how": how, "days": ago, "degree_days": warmth}
    return found


def _looks_missing(record: PlantRecord, at: "Told") -> Raw:
    days = (record.on - at.since).days
    looked = len({looked.day for looked in at.days if at.since <= looked.day < record.on})
    if not looked:
        return {"how": "few-looks-never", "days": days}
    how = "few-looks" if looked < days else "few-looks-zones"
    return {"how": how, "looked": looked, "days": days}


def _neighbours_told(record: PlantRecord) -> Raw:
    """The neighbours most came from: those near it now and not apart, else in quarantine, else."""
    by_source = record.day.arrivals_by_source(record, record.pest)
    came = {source: sum(by_day.values()) for source, by_day in by_source.items()}
    most = _most_of(came)
    near = {source.plant.id: source for source in record.day.near_now(record, record.pest)}
    here = [source for number, source in near.items() if number in most]
    free = [source.plant.code for source in here if source.standing != "quarantine"]
    if free:
        return {"how": "neighbour-here", "codes": free}
    if here:
        return {"how": "neighbour-quarantine", "codes": [s.plant.code for s in here]}
    codes = [plant.code for number, plant in record.day.plants.items() if number in most]
    return {"how": "neighbour-past" if codes else "neighbour-unnamed", "codes": codes}


def _most_of(came: Mapping[int, float]) -> set[int]:
    total = sum(came.values())
    return {source for source, number in came.items() if number >= LEAST_SHARE * total}


# whether its finds fit


def _removal(record: PlantRecord) -> Raw | None:
    """What passes alone say of the number left; None where none removed anything lately."""
    from rounds.core.inference.passes_removed import estimate, removed_by_pass

    passes = removed_by_pass(record.likely.facts, record.on, record.parameters)
    found = None if passes is None else estimate(passes)
    if found is None:
        return None if passes is None else {}
    high = (found.high or found.estimate) - found.removed
    return {
        "passes": len(passes or ()),
        "left": round(found.remaining),
        "low": round(found.low) - found.removed,
        "high": round(high),
        "sums": record.likely.left.mean,
    }


# what would bring the day nearer


def _sooner(record: PlantRecord) -> Generator[None, None, list[Raw]]:
    history, forecast = record.history, record.forecast
    if history is None or forecast is None or forecast.ready_on == record.on:
        return []
    ready_on, found = forecast.ready_on, list[Raw]()
    days = LIMIT_DAYS if ready_on is None else (ready_on - record.on).days - 1
    if days >= 1 and not _is_held_by_time(record, ready_on):
        for code, supposed, values in _otherwise(record, history):
            yield
            earlier = yield from supposing(record, history, supposed, days)
            if earlier.ready_on is not None:
                found.append({"code": code, "on": earlier.ready_on.isoformat(), **values})
    if ready_on is not None:
        found += yield from _without_neighbours(record, history, ready_on)
    return sorted(found, key=lambda raw: str(raw["on"]))


def _is_held_by_time(record: PlantRecord, ready_on: date | None) -> bool:
    """Whether the day rests on days and warmth alone, which nobody can bring nearer."""
    forecast = record.forecast
    if forecast is None or ready_on is None:
        return False
    fixed = {DAYS_APART, DEGREE_DAYS} if record.last_find_on is not None else {DAYS_APART}
    return any(c.code in fixed and c.expected_on == ready_on for c in forecast.criteria)


def _otherwise(
    record: PlantRecord, history: QuarantineHistory
) -> Iterator[tuple[str, Supposed, Raw]]:
    """What may be done with the plant itself, and what the words of it speak of."""
    as_it_goes = supposed_of(record)
    soon = first_day_back(record.on + timedelta(days=1), record.away)
    yield ROOTS, replace(as_it_goes, roots_on=soon), {"day": soon.isoformat()}
    yield LONGER_LOOKS, supposed_of(record, TWICE), {}
    if usual_interval(history.days, record.on, record.away) > 1:
        yield DAILY_LOOKS, replace(as_it_goes, every_days=1), {}


def _without_neighbours(
    record: PlantRecord, history: QuarantineHistory, ready_on: date
) -> Generator[None, None, list[Raw]]:
    """What keeps the day that is named from slipping, as it supposes that nothing comes over.

    It is told where the day is a later one, or none, with each neighbour sending on as today.
    """
    coming = coming_now(record)
    if not coming:
        return []
    yield
    stays = yield from supposing(record, history, sending(record, coming.values()))
    if stays.ready_on == ready_on:
        return []
    codes = {"codes": _codes(record, coming)}
    found: list[Raw] = [{"code": MOVE_AWAY, "on": ready_on.isoformat(), **codes}]
    near = record.day.near_now(record, record.pest)
    apart = {s.plant.id for s in near if s.standing == "quarantine"}
    free = {source: number for source, number in coming.items() if source not in apart}
    if free:
        yield
        others = [number for source, number in coming.items() if source in apart]
        freed = yield from supposing(record, history, sending(record, others))
        is_earlier = stays.ready_on is None or (freed.ready_on or date.max) < stays.ready_on
        if freed.ready_on is not None and is_earlier:
            on, codes = freed.ready_on.isoformat(), {"codes": _codes(record, free)}
            found.append({"code": QUARANTINE_NEIGHBOUR, "on": on, **codes})
    return found


def sending(record: PlantRecord, numbers: Iterable[float]) -> Supposed:
    """So many crawlers come over on every day to come."""
    total = min(sum(numbers), record.parameters.risk.most_reached)
    days = (record.on + timedelta(days=number) for number in range(1, LIMIT_DAYS + 1))
    return replace(supposed_of(record), coming=dict.fromkeys(days, total))


def coming_now(record: PlantRecord) -> dict[int, float]:
    """Crawlers reckoned to have come today from each neighbour that is near now, by its id."""
    by_source = record.day.arrivals_by_source(record, record.pest)
    near = (source.plant.id for source in record.day.near_now(record, record.pest))
    found = {source: by_source.get(source, {}).get(record.on, 0.0) for source in near}
    return {source: number for source, number in found.items() if number >= FEW_COMING}


def _codes(record: PlantRecord, coming: Mapping[int, float]) -> list[str]:
    return [record.day.plants[source].code for source in coming if source in _most_of(coming)]


# in words


def _read(record: PlantRecord, kept: Raw) -> Why:
    held = (
        HoldsDown(raw["code"], raw["points"], _held_text("holds", raw), _held_text("brief", raw))
        for raw in kept["holds_down"]
    )
    sooner = (
        Sooner(raw["code"], date.fromisoformat(raw["on"]), _sooner_text(raw, record.on))
        for raw in kept["sooner"]
    )
    return Why(
        holds_down=tuple(held),
        sooner=tuple(sooner),
        moved=moved(record),
        removal=_removal_text(kept["removal"]),
        options=read_options(record, kept["options"]),
        works=read_works(kept["works"]),
        misfit=kept["misfit"],
        course=kept_course(record),
    )


def _removal_text(raw: Raw | None) -> str:
    if not raw:
        return "" if raw is None else words.say("fit.no-removal")
    values = {**raw, "sums": expected_number(raw["sums"])}
    return words.say("fit.removal", **values)


def _held_text(words_of: str, raw: Raw) -> str:
    values = dict(raw)
    if "codes" in raw:
        values["codes"] = codes_text(raw["codes"])
    if "degree_days" in raw:
        values["degree_days"] = degree_days(raw["degree_days"])
    if raw.get("how") in ("last-find", "few-looks-never"):
        values["days"] = days_text(raw["days"])
    return words.say(f"why.{words_of}.{raw.get('how', raw['code'])}", **values)


def _sooner_text(raw: Raw, on: date) -> str:
    values = dict(raw)
    if "codes" in raw:
        values["codes"] = codes_text(raw["codes"])
    if "day" in raw:
        values["day"] = calendar_day(date.fromisoformat(raw["day"]), on)
    return words.say(f"why.sooner.{raw['code']}", **values)

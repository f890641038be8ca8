"""How the chance clean of one plant went and goes on, with its band and what is asked."""

from collections.abc import Generator, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import chain
from typing import Any

from rounds import words
from rounds.core.quarantine.criteria import CHANCE_CLEAN
from rounds.service.charts.chart import Chart, Point, Row, Series, day_axis, share_axis, value
from rounds.service.inference.ahead import chances_ahead, forecast_key, root_looks_ahead
from rounds.service.inference.course import Course, course_in_steps
from rounds.service.inference.kept import kept_or_worked_out, knows
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status_text import low_text
from rounds.words.forms import band_in_column, calendar_day, day_month, in_100, out_of_100
from rounds.words.pests import pest_name

CHANCE = "chance"
SHOWN_DAYS = 90
"""before today, of a plant that is not in quarantine"""
MOST_BEFORE, MOST_AHEAD = 6, 5
"""days whose band is worked out, besides those on which something happens; between two of them its
ends are straight lines"""


@dataclass(frozen=True, slots=True)
class Banded:
    """A day with its chance clean and the ends of its band, 0 to 1."""

    day: date
    value: float
    low: float
    high: float


def plant_chance(record: PlantRecord) -> Generator[None, None, Chart]:
    """The chart of one plant, in short steps. RoundsError for what cannot have happened."""
    course = yield from course_in_steps(record)
    banded = yield from _banded(record, course)
    on = record.on
    known = {each.day: each.value for each in banded}
    # what was worked out for the band stands on the line too: on these days it turns
    points = tuple(sorted({**dict(course.points if course else ()), **known}.items()))
    asked = course.asked if course else None
    roots = root_looks_ahead(record, course.last) if course else ()
    reached = reached_on(record) if course else None
    text = course_text(course, banded, reached) if course else _today(banded, on)
    return Chart(
        code=CHANCE,
        title=words.say("quarantine.criteria.chance_clean"),
        sentence=_of_pest(record, text),
        about=_about(record, is_past=course is None),
        across=day_axis(
            points[0][0],
            points[-1][0],
            on,
            words.say("charts.unit.day"),
            [reached] if reached else [],
        ),
        up=share_axis(words.say("charts.unit.chance"), asked=asked),
        series=(*series_of(points, banded, on, asked), *_root_signs(roots)),
        heads=tuple(words.say(f"charts.head.{each}") for each in ("day", "chance", "which")),
        rows=tuple(_row(each, on) for each in reversed(banded)),
    )


def _of_pest(record: PlantRecord, text: str) -> str:
    """The text, and whose figures they are where the plant is followed for several."""
    if len(record.pests) < 2:
        return text
    return " ".join((text, words.say("charts.chance.of-pest", pest=pest_name(record.pest))))


def curve_of(course: Course) -> Chart:
    """The same without a band, as the page on ending a quarantine draws it."""
    return Chart(
        code=CHANCE,
        title="",
        sentence=course.text,
        about="",
        across=day_axis(course.first, course.last, course.on, ""),
        up=share_axis(words.say("charts.unit.chance"), asked=course.asked),
        series=tuple(
            replace(each, name=words.say("course.ahead")) if each.kind == "ahead" else each
            for each in series_of(course.points, (), course.on, course.asked)
        ),
        heads=(),
        rows=(),
    )


def series_of(
    points: Sequence[tuple[date, float]],
    banded: Sequence[Banded],
    on: date,
    asked: float | None,
) -> Iterator[Series]:
    """What lies behind comes first."""
    if banded:
        ends = tuple(Point(each.day.toordinal(), each.low, each.high) for each in banded)
        yield Series("band", words.say("charts.chance.band"), ends)
    if asked is not None:
        first, last = points[0][0].toordinal(), points[-1][0].toordinal()
        level = value(first, asked), value(last, asked)
        yield Series("asked", words.say("charts.chance.asked", asked=out_of_100(asked)), level)
    was = tuple(value(day.toordinal(), chance) for day, chance in points if day <= on)
    ahead = tuple(value(day.toordinal(), chance) for day, chance in points if day >= on)
    if len(ahead) > 1:
        yield Series("ahead", words.say("charts.chance.ahead"), ahead)
    yield Series("was", words.say("charts.chance.was"), was)


def _root_signs(days: Sequence[date]) -> Iterator[Series]:
    """The looks at the roots that are supposed: on these days the chance jumps."""
    if days:
        points = tuple(value(day.toordinal(), 1.0) for day in days)
        yield Series(
            "sign", words.say("charts.chance.roots-due"), points, words.say("charts.sign.roots")
        )


def reached_on(record: PlantRecord) -> date | None:
    """The day on which its chance clean is expected to be enough, as everywhere else."""
    criteria = record.forecast.criteria if record.forecast else ()
    return next((each.expected_on for each in criteria if each.code == CHANCE_CLEAN), None)


def course_text(course: Course, banded: Sequence[Banded], reached: date | None) -> str:
    """Today with its band, and when it reaches what is needed."""
    asked = out_of_100(course.asked)
    if reached is None:
        ahead = words.say("charts.chance.no-day", asked=asked)
    elif reached <= course.on:
        ahead = words.say("charts.chance.reached", asked=asked)
    else:
        day = day_month(reached, course.on)
        ahead = words.say("charts.chance.reaches", asked=asked, day=day)
    return f"{_today(banded, course.on)} {ahead}"


def _today(banded: Sequence[Banded], on: date) -> str:
    now = next(each for each in banded if each.day == on)
    chance, ends = in_100(now.value), (out_of_100(now.low), out_of_100(now.high))
    if ends[0] == ends[1]:
        return words.say("charts.chance.today", chance=chance)
    return words.say("charts.chance.today-band", chance=chance, low=ends[0], high=ends[1])


def _about(record: PlantRecord, *, is_past: bool) -> str:
    """What the band is, and what makes it lowest today."""
    why = record.likely.band.low_why
    said = words.say("charts.chance.about-low", low=low_text(why)) if why else ""
    return said or words.say("charts.chance.about-past" if is_past else "charts.chance.about")


def _row(each: Banded, on: date) -> Row:
    which = "expected" if each.day > on else "was"
    chance = band_in_column(each.value, each.low, each.high)
    return Row(
        (calendar_day(each.day, on), chance, words.say(f"charts.chance.{which}")),
        {
            "day": each.day, "chance": each.value, "low": each.low, "high": each.high,
            "is_expected": each.day > on,
        },
    )  # fmt: skip


def _banded(
    record: PlantRecord, course: Course | None
) -> Generator[None, None, tuple[Banded, ...]]:
    """Some days with their bands, kept; worked out where they are not."""
    what, key = f"course band {record.likely.pest}", forecast_key(record)
    found: list[Any] = []
    if not knows(record.logbook, record.plant.id, what, key):
        found = yield from _worked_out(record, course)
    kept = kept_or_worked_out(record.logbook, record.plant.id, what, key, lambda: found)
    return tuple(Banded(date.fromisoformat(day), *chances) for day, *chances in kept)


def _worked_out(record: PlantRecord, course: Course | None) -> Generator[None, None, list[Any]]:
    on = record.on
    before = yield from _before(record, course)
    yield from record.likely.band_in_steps()
    now, band = record.likely.chance_clean, record.likely.band
    after: list[Banded] = []
    if course is not None:
        days = _spread([day for day, _ in course.points if day > on], MOST_AHEAD)
        after = yield from _ahead(record, sorted({*days, *_turns(record, course)}))
    found = [*before, Banded(on, now, band.low, band.high), *after]
    return [[each.day.isoformat(), each.value, each.low, each.high] for each in found]


def _turns(record: PlantRecord, course: Course) -> Iterator[date]:
    """Days to come on which the line turns: a look at the roots and the day before, and enough."""
    roots = root_looks_ahead(record, course.last)
    days = chain.from_iterable((day - timedelta(days=1), day) for day in roots)
    reached = reached_on(record)
    wanted = [*days, *([reached] if reached else [])]
    return (day for day in wanted if record.on < day <= course.last)


def _past_days(record: PlantRecord, course: Course | None) -> list[date]:
    # slow to import, and not needed where all is kept
    from rounds.core.quarantine.course import days_before

    if course is not None:
        return _spread([day for day, _ in course.points if day < record.on], MOST_BEFORE)
    first = max(record.likely.facts.first_day, record.on - timedelta(days=SHOWN_DAYS))
    return days_before(first, record.on, MOST_BEFORE)


def _spread(days: Sequence[date], most: int) -> list[date]:
    """At most so many of some days, evenly spread, the first and the last among them."""
    if len(days) <= most:
        return list(days)
    return [days[round(number * (len(days) - 1) / (most - 1))] for number in range(most)]


def _before(record: PlantRecord, course: Course | None) -> Generator[None, None, list[Banded]]:
    # slow to import, and not needed where all is kept
    from rounds.core.inference.band import band_in_steps
    from rounds.core.inference.holding import HOLDING_BUDGET
    from rounds.core.quarantine.course import chances_at

    facts, table, found = record.likely.facts, record.parameters, list[Banded]()
    days = _past_days(record, course)
    if course is None:
        chances = yield from chances_at(facts, days, table, HOLDING_BUDGET)
    else:
        chances = [course.chance_on(day) for day in days]
    for day, chance in zip(days, chances, strict=True):
        band = yield from band_in_steps(facts, day, table, figure=chance)
        found.append(Banded(day, chance, band.low, band.high))
    return found


def _ahead(record: PlantRecord, days: Sequence[date]) -> Generator[None, None, list[Banded]]:
    """The chance on days to come as it is, and its ends over the refits of the band."""
    # slow to import, and not needed where all is kept
    from rounds.core.inference.band import refits
    from rounds.core.inference.observed import ImpossibleEntry
    from rounds.core.inference.scale import ChanceOutOfRange

    told: list[list[float]] = []
    for number, refit in enumerate(refits(record.parameters.infestation)):
        try:
            told.append((yield from chances_ahead(record, days, refit)) or [])
        except (ImpossibleEntry, ChanceOutOfRange):
            # under an assumption of the band what was entered may be out of the question
            if number == 0:
                raise
        yield
    by_day = zip(*told, strict=True)
    return [
        Banded(day, chances[0], min(chances), max(chances))
        for day, chances in zip(days, by_day, strict=True)
    ]

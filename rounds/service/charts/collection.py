"""The collection week by week: what was found, and how many plants stood in quarantine."""

from collections import Counter
from collections.abc import Generator, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rounds import words
from rounds.service.charts.chart import (
    SPAN_DAYS,
    Chart,
    Point,
    Row,
    Series,
    count_axis,
    value,
    week_axis,
)
from rounds.service.charts.finds import Find, finds_in_steps
from rounds.service.inference.day import CollectionDay
from rounds.words.forms import calendar_day, codes_text, day_month

WEEKS, APART = "weeks", "quarantine"
WEEK = timedelta(days=7)
DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Week:
    """Seven days, and what they brought on each plant by its code."""

    first: date
    last: date
    by_plant: Mapping[str, int]

    @property
    def found(self) -> int:
        """Insects on all plants."""
        return sum(self.by_plant.values())


def weeks_before(on: date, first: date) -> list[tuple[date, date]]:
    """The weeks that end with the day, back to the one that holds `first`; oldest first."""
    count = min(SPAN_DAYS // 7, max(1, -(-((on - first).days + 1) // 7)))
    lasts = [on - WEEK * number for number in reversed(range(count))]
    return [(last - WEEK + DAY, last) for last in lasts]


def finds_by_week(day: CollectionDay) -> Generator[None, None, Chart]:
    """Insects found in each week, on all plants that ever were here."""
    records = yield from day.read_in_steps()
    on = day.on
    begins = min((record.plant.first_day for record in records.values()), default=on)
    spans = weeks_before(on, begins)
    found = yield from finds_in_steps(records.values(), spans[0][0])
    codes = {record.plant.id: record.plant.code for record in records.values()}
    weeks = [_week(span, found, codes) for span in spans]
    most = max(week.found for week in weeks)
    return Chart(
        code=WEEKS,
        title=words.say("charts.weeks.title"),
        sentence=_said(weeks, on),
        about=words.say("charts.weeks.about"),
        across=week_axis([week.last for week in weeks], on, words.say("charts.unit.week")),
        # one more, so that the number on the highest has room
        up=count_axis(most + 1 if most else 0, words.say("charts.weeks.up")),
        series=(
            Series(
                "none",
                words.say("charts.weeks.none"),
                tuple(value(week.last.toordinal(), 0) for week in weeks if not week.found),
            ),
            Series(
                "column",
                words.say("charts.weeks.column"),
                tuple(Point(w.last.toordinal(), 0, w.found) for w in weeks if w.found),
                is_numbered=True,
            ),
        ),
        heads=tuple(words.say(f"charts.head.{each}") for each in ("week", "found", "plants")),
        rows=tuple(
            Row(
                (calendar_day(week.last, on), str(week.found), str(len(week.by_plant))),
                {
                    "from": week.first,
                    "to": week.last,
                    "found": week.found,
                    "plants": len(week.by_plant),
                },
            )
            for week in reversed(weeks)
        ),
    )


def _week(span: tuple[date, date], found: Sequence[Find], codes: Mapping[int, str]) -> Week:
    by_plant: Counter[str] = Counter()
    for find in found:
        if span[0] <= find.day <= span[1]:
            by_plant[codes[find.plant_id]] += find.count
    return Week(*span, by_plant)


def _said(weeks: Sequence[Week], on: date) -> str:
    """The last week, whether it is the one with the most, and on which plants they were."""
    most, last = max(reversed(weeks), key=lambda week: week.found), weeks[-1]
    if not most.found:
        return words.say("charts.weeks.nothing", weeks=len(weeks))
    said = {"found": last.found, "day": calendar_day(last.last, on), "weeks": len(weeks)}
    where = words.say("charts.weeks.where", codes=codes_text(_most_of(last))) if last.found else ""
    if len(weeks) == 1:
        return f"{words.say('charts.weeks.one', **said)}{where}."
    if most is last:
        return f"{words.say('charts.weeks.most', **said)}{where}."
    other = words.say(
        "charts.weeks.other", weeks=len(weeks), most=most.found, day=day_month(most.last, on)
    )
    return f"{words.say('charts.weeks.one', **said)}{where}; {other}"


def _most_of(week: Week) -> Iterator[str]:
    """The fewest plants on which more than half of them were."""
    told = 0
    for code, count in Counter(week.by_plant).most_common():
        if 2 * told > week.found:
            return
        told += count
        yield code


def apart_by_week(day: CollectionDay) -> Generator[None, None, Chart]:
    """How many plants stood in quarantine, and how many were here, at the end of each week."""
    on, plants = day.on, [p for p in day.plants.values() if p.first_day <= day.on]
    spans = weeks_before(on, min((plant.first_day for plant in plants), default=on))
    counts: list[tuple[date, int, int]] = []
    for _, last in spans:
        apart = here = 0
        for plant in plants:
            if plant.first_day <= last and plant.gone(last) is None:
                here += 1
                apart += plant.quarantine(last) is not None
        counts.append((last, apart, here))
        yield
    most = max(apart for _, apart, _ in counts)
    return Chart(
        code=APART,
        title=words.say("charts.quarantine.title"),
        sentence=_apart_said(counts, most, on),
        about=words.say("charts.quarantine.about"),
        across=week_axis([last for last, _, _ in counts], on, words.say("charts.unit.week")),
        up=count_axis(most, words.say("charts.quarantine.up")),
        series=(
            Series(
                "step",
                words.say("charts.quarantine.step"),
                tuple(value(last.toordinal(), apart) for last, apart, _ in counts),
            ),
        ),
        heads=tuple(words.say(f"charts.head.{each}") for each in ("day", "quarantine", "here")),
        rows=tuple(
            Row(
                (calendar_day(last, on), str(apart), str(here)),
                {"day": last, "quarantine": apart, "here": here},
            )
            for last, apart, here in reversed(counts)
        ),
    )


def _apart_said(counts: Sequence[tuple[date, int, int]], most: int, on: date) -> str:
    _, now, here = counts[-1]
    said = {"now": now, "here": here, "weeks": len(counts)}
    if not most:
        return words.say("charts.quarantine.none", **said)
    if now == most:
        return words.say("charts.quarantine.seen", **said)
    day = next(last for last, apart, _ in reversed(counts) if apart == most)
    return words.say("charts.quarantine.seen-more", **said, most=most, day=day_month(day, on))

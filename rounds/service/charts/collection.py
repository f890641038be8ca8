"""The collection week by week: what was found, and how many plants stood in quarantine."""

from collections.abc import Generator, Sequence
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
    day_axis,
    value,
)
from rounds.service.charts.finds import Find, finds_in_steps
from rounds.service.inference.day import CollectionDay
from rounds.words.forms import calendar_day, day_month

WEEKS, APART = "weeks", "quarantine"
WEEK = timedelta(days=7)
DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Week:
    """Seven days, and what they brought; `plants` of those with finds."""

    first: date
    last: date
    found: int
    plants: int


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
    weeks = [_week(span, found) for span in spans]
    return Chart(
        code=WEEKS,
        title=words.say("charts.weeks.title"),
        sentence=_said(weeks, on),
        about=words.say("charts.weeks.about"),
        across=day_axis(weeks[0].last, on, on, words.say("charts.unit.week")),
        up=count_axis(max(week.found for week in weeks), words.say("charts.weeks.up")),
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
            ),
        ),
        heads=tuple(words.say(f"charts.head.{each}") for each in ("week", "found", "plants")),
        rows=tuple(
            Row(
                (calendar_day(week.first, on), str(week.found), str(week.plants)),
                {"from": week.first, "to": week.last, "found": week.found, "plants": week.plants},
            )
            for week in reversed(weeks)
        ),
    )


def _week(span: tuple[date, date], found: Sequence[Find]) -> Week:
    within = [find for find in found if span[0] <= find.day <= span[1]]
    return Week(*span, sum(f.count for f in within), len({f.plant_id for f in within}))


def _said(weeks: Sequence[Week], on: date) -> str:
    whole = sum(week.found for week in weeks)
    if not whole:
        return words.say("charts.weeks.nothing", weeks=len(weeks))
    most = max(weeks, key=lambda week: week.found)
    return words.say(
        "charts.weeks.seen", found=whole, weeks=len(weeks), most=most.found,
        first=day_month(most.first, on), last=weeks[-1].found,
    )  # fmt: skip


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
    said = {"now": counts[-1][1], "here": counts[-1][2], "most": most}
    most_on = next(last for last, apart, _ in counts if apart == most)
    return Chart(
        code=APART,
        title=words.say("charts.quarantine.title"),
        sentence=words.say("charts.quarantine.seen", **said, day=day_month(most_on, on)),
        about=words.say("charts.quarantine.about"),
        across=day_axis(counts[0][0], on, on, words.say("charts.unit.week")),
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

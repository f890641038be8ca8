"""The grower's own pace, round by round, and how much of what is there the own eye finds."""

import math
from collections.abc import Generator, Sequence
from datetime import date

from rounds import words
from rounds.core.estimates.own_detection import OwnDetection
from rounds.core.parameters import StageParameters
from rounds.core.plan.pace import AS_PLANNED, median_times
from rounds.service.charts.chart import (
    SPAN_DAYS,
    Axis,
    Chart,
    Point,
    Row,
    Series,
    Tick,
    class_axis,
    day_axis,
    share_axis,
    value,
)
from rounds.service.inference.day import CollectionDay
from rounds.service.plan.pace import pace_learned, timed_by_round
from rounds.words.forms import calendar_day

PACE, EYE = "pace", "eye"
MOST_ROUNDS = 60
STEP = 0.25
"""times the planned seconds, to which the ends of the pace's axis are rounded"""

Walked = tuple[date, float, int]
"""A day, times the planned seconds its looks took, and how many they were."""


def pace_by_round(day: CollectionDay) -> Generator[None, None, Chart]:
    """How long the looks of each round took against their plan."""
    on, walked = day.on, list[Walked]()
    for walk, looks in timed_by_round(day.logbook, on, MOST_ROUNDS):
        if (on - walk.day).days < SPAN_DAYS and looks:
            walked.append((walk.day, median_times(looks), len(looks)))
        yield
    walked.reverse()
    first = walked[0][0] if walked else on
    return Chart(
        code=PACE,
        title=words.say("charts.pace.title"),
        sentence=_pace_said(day, walked),
        about=words.say("charts.pace.about"),
        across=day_axis(first, on, on, words.say("charts.unit.day")),
        up=_times_axis([AS_PLANNED, *(times for _, times, _ in walked)]),
        series=(
            Series(
                "asked",
                words.say("charts.pace.planned"),
                (value(first.toordinal(), AS_PLANNED), value(on.toordinal(), AS_PLANNED)),
            ),
            Series(
                "middle",
                words.say("charts.pace.round"),
                tuple(value(each.toordinal(), times) for each, times, _ in walked),
            ),
        ),
        heads=tuple(words.say(f"charts.head.{each}") for each in ("day", "times", "looks")),
        rows=tuple(
            Row(
                (calendar_day(each, on), f"{times:.1f}", str(looks)),
                {"day": each, "times": times, "looks": looks},
            )
            for each, times, looks in reversed(walked)
        ),
    )


def _times_axis(times: Sequence[float]) -> Axis:
    """Only as far as needed: with as planned on a row of its own, and something on either side."""
    low = STEP * min(math.floor(min(times) / STEP), round(AS_PLANNED / STEP) - 1)
    top = STEP * max(math.ceil(max(times) / STEP), round(AS_PLANNED / STEP) + 1)
    ticks = tuple(Tick(at, f"{at:g}") for at in (AS_PLANNED, top, low))
    return Axis(low, top, ticks, words.say("charts.pace.up"), steps=round((top - low) / STEP))


def _pace_said(day: CollectionDay, walked: Sequence[Walked]) -> str:
    if not walked:
        return words.say("charts.pace.nothing")
    pace = pace_learned(day.logbook, day.on)
    looks = sum(count for _, _, count in walked)
    said = {"rounds": len(walked), "looks": looks, "times": f"{pace.times:.1f}"}
    return words.say("charts.pace.seen", **said)


def own_eye(day: CollectionDay) -> Generator[None, None, Chart]:
    """How much of what is in reach a full look finds, stage by stage: assumed, and as learned."""
    eye = yield from day.own_detection_in_steps()
    stages = day.table.pests[day.table.default_pest].stages
    names = words.section("parameters.it")
    is_learned = eye.is_used and eye.found > 0
    spreads, middles, assumed = [], [], []
    rows = []
    for number, stage in enumerate(stages):
        height = float(len(stages) - number)
        found = [_found(stage, times) for times in (eye.theta, eye.low, eye.high)]
        assumed.append(value(stage.found_in_reach, height))
        if is_learned:
            spreads.append(Point(height, found[1], found[2]))
            middles.append(value(found[0], height))
        rows.append(
            _eye_row(stage, names.get(stage.code, stage.code), found if is_learned else None)
        )
    learned = (
        Series("spread", words.say("charts.spread"), tuple(spreads)),
        Series("middle", words.say("charts.eye.yours"), tuple(middles)),
    )
    return Chart(
        code=EYE,
        title=words.say("charts.eye.title"),
        sentence=_eye_said(eye, stages[-1]),
        about=words.say("charts.eye.about"),
        across=share_axis(words.say("charts.eye.across")),
        up=class_axis([names.get(stage.code, stage.code) for stage in stages]),
        series=(
            *(learned if is_learned else ()),
            Series("assumed", words.say("charts.eye.assumed"), tuple(assumed)),
        ),
        heads=tuple(words.say(f"charts.head.{each}") for each in ("stage", "assumed", "yours")),
        rows=tuple(rows),
        of_classes=True,
    )


def _found(stage: StageParameters, times: float) -> float:
    """Share of a stage in reach that a full look finds, with so many times the usual rate."""
    return float(1 - (1 - stage.found_in_reach) ** times)


def _eye_row(stage: StageParameters, name: str, found: Sequence[float] | None) -> Row:
    yours = ""
    if found is not None:
        mean, low, high = (f"{100 * each:.0f}" for each in found)
        yours = words.say("charts.in-column", mean=mean, low=low, high=high)
    return Row(
        (name, f"{100 * stage.found_in_reach:.0f}", yours),
        {
            "stage": stage.code, "assumed": stage.found_in_reach,
            **dict(zip(("yours", "low", "high"), found or (None,) * 3, strict=True)),
        },
    )  # fmt: skip


def _eye_said(eye: OwnDetection, adult: StageParameters) -> str:
    if not eye.is_used:
        return words.say("charts.eye.switched-off")
    if not eye.found:
        return words.say("charts.eye.nothing")
    found, low, high = (_found(adult, times) for times in (eye.theta, eye.low, eye.high))
    shares = {"yours": found, "low": low, "high": high, "assumed": adult.found_in_reach}
    said = {name: f"{100 * share:.0f}" for name, share in shares.items()}
    code = "none" if not eye.pairs else "one" if eye.pairs == 1 else "some"
    learned = words.say(f"charts.eye.learned-{code}", found=eye.found, pairs=eye.pairs)
    return f"{words.say('charts.eye.seen', **said)} {learned}"

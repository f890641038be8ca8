"""The figures as tables of a page."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite

from tests.bench.evidence.compare import Estimate, alone, beside, common, counted, greatest
from tests.bench.evidence.ledger import Figures
from tests.bench.evidence.study import Kept, Season
from tests.bench.evidence.truths import TRUTHS
from tests.proof.values import ESTABLISHED


@dataclass(frozen=True, slots=True)
class Measure:
    """A row of a table."""

    code: str
    says: str
    times: float = 1.0
    """what the figure is told in"""


MEASURES = (
    Measure("days-to-find", "days from the first insect on a plant to its first find"),
    Measure("near-in-time", "neighbours of a find looked at within 2 days, in 100", 100),
    Measure("near-looked", "days from a find to the first look at a neighbour"),
    Measure("near-whole", "days until it was seen whole (a third of its reference seconds)"),
    Measure("known-left-out", "known alive, not in the round of the day, in 100", 100),
    Measure("longest-wait", "longest wait of any plant, days"),
    Measure("infested-worst", "infested plants, at the worst"),
    Measure("infested-end", "infested plants, at the end"),
    Measure("insects-worst", "insects, at the worst"),
    Measure("insects-end", "insects, at the end"),
    Measure("lost", "plants lost"),
    Measure("released-infested", "released while infested, in 100 releases", 100),
    Measure("never-found-infested", "the same where nothing was ever found, in 100", 100),
    Measure("releases", "releases"),
    Measure("clean-days-apart", "days apart of plants that were clean"),
    Measure("visits", "plants looked at, a day"),
    Measure("minutes", "minutes used, a day"),
)

Setting = tuple[str, float, int, int, float]
"""Truth, minutes, plants, days, chance of a plant to be infested at first."""


@dataclass(frozen=True, slots=True)
class Goal:
    """What evidence is asked for, at so many minutes."""

    says: str
    measure: str
    minutes: tuple[float, ...]
    habit: str = "tool"
    at_most: float | None = None
    at_least: float | None = None
    than: str | None = None
    """of this habit's figure, `at_most` times"""


GOALS = (
    Goal("days to the first find <= .7 x fixed order", "days-to-find", (6, 10, 20),
         at_most=0.7, than="fixed-order-42"),
    Goal("neighbours of a find seen: 90 in 100 within 2 days", "near-in-time", (10,), at_least=0.9),
    Goal("infested plants at the end <= half of fixed order", "infested-end", (10,),
         at_most=0.5, than="fixed-order-42"),
    Goal("known alive, not in the round: never", "known-left-out", (6, 10, 20), at_most=0.0),
    Goal("longest wait of any plant in any season <= 10 days", "longest-wait", (10,), at_most=10),
    Goal("released infested <= 5 in 100", "released-infested", (6, 10, 20), at_most=0.05),
    Goal("released infested by the strict rule <= 1 in 100", "released-infested", (6, 10, 20),
         habit="tool-strict", at_most=0.01),
    Goal("released infested, nothing ever found <= 1 in 100", "never-found-infested", (6, 10, 20),
         at_most=0.01),
    Goal("days apart of clean plants <= those of 'clean for 42 days'", "clean-days-apart",
         (6, 10, 20), at_most=1.0, than="fixed-order-42"),
)  # fmt: skip


def settings_of(kept: Kept) -> dict[Setting, dict[str, dict[int, Figures]]]:
    """Seasons by what all habits have in common, then by habit and seed."""
    found: dict[Setting, dict[str, dict[int, Figures]]] = {}
    for season, figures in kept.items():
        by_habit = found.setdefault(_setting(season), {})
        by_habit.setdefault(season.habit, {})[season.seed] = figures
    return found


def _setting(season: Season) -> Setting:
    return season.truth, season.minutes, season.plants, season.days, season.infested


def table(setting: Setting, by_habit: Mapping[str, Mapping[int, Figures]]) -> str:
    """The habits of one setting side by side; the first is what the others are compared with."""
    truth, minutes, plants, days, infested = setting
    usual = infested == ESTABLISHED.infested
    chance = "" if usual else f", each infested at first with chance {infested:g}"
    seeds = common(by_habit)
    lived = {habit: [seasons[seed] for seed in seeds] for habit, seasons in by_habit.items()}
    first, *others = sorted(lived, key=lambda habit: habit != "tool")
    lines = [
        f"### {truth}, {minutes:g} minutes",
        "",
        f"{TRUTHS[truth].says}; {plants} plants{chance}, {days} days, {len(seeds)} seasons.",
        "",
        f"| | {first} | " + " | ".join(others) + " |",
        "|---|" + "---|" * (1 + len(others)),
    ]
    for measure in MEASURES:
        cells = [told(alone(lived[first], measure.code), measure.times)]
        for habit in others:
            found = beside(lived[first], lived[habit], measure.code)
            less = told(found.less, measure.times, sign="+")
            cells.append(f"{number(found.own.value * measure.times)}; {less}")
        lines.append(f"| {measure.says} | " + " | ".join(cells) + " |")
    return "\n".join(lines)


def goals(found: Mapping[Setting, Mapping[str, Mapping[int, Figures]]]) -> str:
    """What was asked for, what was seen, and whether it was reached, under the first truth."""
    lines = ["| goal | minutes | seen | reached |", "|---|---|---|---|"]
    for setting, by_habit in sorted(found.items()):
        truth, minutes, *_ = setting
        if truth != next(iter(TRUTHS)):
            continue
        seeds = common(by_habit)
        lived = {habit: [seasons[seed] for seed in seeds] for habit, seasons in by_habit.items()}
        lines += [
            f"| {goal.says} | {minutes:g} | {seen} | {'yes' if reached else 'no'} |"
            for goal in GOALS
            if minutes in goal.minutes
            for seen, reached in _verdict(goal, lived)
        ]
    return "\n".join(lines)


def _verdict(goal: Goal, lived: Mapping[str, Sequence[Figures]]) -> Iterator[tuple[str, bool]]:
    """Nothing where a habit was not lived."""
    if goal.habit not in lived or (goal.than is not None and goal.than not in lived):
        return
    ours = lived[goal.habit]
    if goal.than is not None:
        found = beside(ours, lived[goal.than], goal.measure).times
        seen = f"{told(found)} times"
    elif goal.measure == "longest-wait":
        most = greatest(ours, goal.measure)
        found, seen = Estimate(most, most, most), number(most)
    else:
        found = alone(ours, goal.measure)
        seen = f"{told(found, 100)} in 100, of {counted(ours, goal.measure):g}"
    low_enough = goal.at_most is None or found.value <= goal.at_most
    yield seen, low_enough and (goal.at_least is None or found.value >= goal.at_least)


def told(found: Estimate, times: float = 1.0, sign: str = "") -> str:
    """A figure with its interval."""
    if not isfinite(found.value):
        return "-"
    value, low, high = (number(times * v, sign) for v in (found.value, found.low, found.high))
    return f"{value} ({low} to {high})"


def number(value: float, sign: str = "") -> str:
    """Three digits, no power of ten."""
    if not isfinite(value):
        return "-"
    digits = 0 if abs(value) >= 100 else 1 if abs(value) >= 10 else 2
    return f"{value:{sign}.{digits}f}"

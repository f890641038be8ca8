"""What a season's finds say, in words."""

from datetime import date

from rounds import words
from rounds.service.learned.season import (
    WANDERING,
    ZONES,
    LearnedSource,
    LearnedValue,
    Season,
    group_of,
    is_learned,
)
from rounds.words.forms import day_month

Line = LearnedValue | LearnedSource
DAYS_OF_YEAR = 365


def name_of_learned(line: Line) -> str:
    """What is learned: axils, new plants infested, from the ferry."""
    if isinstance(line, LearnedSource):
        return words.say("season.line.source", source=line.source)
    group = group_of(line.row)
    if group != ZONES:
        return words.say(f"season.line.{group}")
    return words.say(f"zones.{line.row.code.rpartition('.')[2]}.name")


def said_of_100(line: Line) -> str:
    """61 in 100 (48 to 72); of crawlers, on as many plants, 37 a year (20 to 61)."""
    ends = (_of_100(line, share) for share in (line.mean, line.low, line.high))
    code = "a-year" if _is_rate(line) else "of-100"
    return words.say(f"season.line.{code}", **dict(zip(("mean", "low", "high"), ends, strict=True)))


def beside_learned(line: Line) -> str:
    """What is assumed of it, or that what was learned is in use."""
    if isinstance(line, LearnedSource):
        return ""
    if is_learned(line.row):
        return words.say("season.line.in-use")
    return words.say("season.line.assumed", assumed=_of_100(line, line.assumed))


def about_line(season: Season, line: Line, on: date) -> str:
    """What one line means, and since when it is in use."""
    if isinstance(line, LearnedSource):
        return words.say("season.about.source", infested=line.infested, plants=line.plants)
    about = words.say(
        f"season.about.{group_of(line.row)}", plants=season.arrived, looked=season.looked
    )
    change = line.row.change
    if change is None or not is_learned(line.row):
        return about
    return f"{about} {words.say('season.about.taken', day=day_month(change.day, on))}"


def finds_text(season: Season) -> str:
    """From how much it is told."""
    if season.finds == 1:
        return words.say("season.finds-one")
    if season.plants == 1:
        return words.say("season.finds-one-plant", finds=season.finds)
    return words.say("season.finds", finds=season.finds, plants=season.plants)


def about_season(season: Season) -> str:
    """The same, and how many it takes where there are too few."""
    if season.is_offered:
        return f"{finds_text(season)}."
    return f"{finds_text(season)}. {words.say('season.too-few', needed=season.needed)}"


def _is_rate(line: Line) -> bool:
    return isinstance(line, LearnedValue) and group_of(line.row) == WANDERING


def _of_100(line: Line, value: float) -> str:
    """A share of 100; of a daily rate, how many that makes on 100 plants in a year."""
    return f"{100 * value * (DAYS_OF_YEAR if _is_rate(line) else 1):.0f}"

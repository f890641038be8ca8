"""What a season's finds say, in words."""

from datetime import date

from rounds import words
from rounds.service.learned.season import (
    ARRIVALS,
    LearnedSource,
    LearnedValue,
    Season,
    group_of,
    is_learned,
)
from rounds.words.forms import day_month

Line = LearnedValue | LearnedSource


def name_of_learned(line: Line) -> str:
    """What is learned: axils, new plants infested, from the ferry."""
    if isinstance(line, LearnedSource):
        return words.say("season.line.source", source=line.source)
    if group_of(line.row) == ARRIVALS:
        return words.say("season.line.arrivals")
    return words.say(f"zones.{line.row.code.rpartition('.')[2]}.name")


def said_of_100(line: Line) -> str:
    """61 in 100 (48 to 72)."""
    ends = (_of_100(share) for share in (line.mean, line.low, line.high))
    return words.say("season.line.of-100", **dict(zip(("mean", "low", "high"), ends, strict=True)))


def beside_learned(line: Line) -> str:
    """What is assumed of it, or that what was learned is in use."""
    if isinstance(line, LearnedSource):
        return ""
    if is_learned(line.row):
        return words.say("season.line.in-use")
    return words.say("season.line.assumed", assumed=_of_100(line.assumed))


def about_line(season: Season, line: Line, on: date) -> str:
    """What one line means, and since when it is in use."""
    if isinstance(line, LearnedSource):
        return words.say("season.about.source", infested=line.infested, plants=line.plants)
    about = words.say(f"season.about.{group_of(line.row)}", plants=season.arrived)
    change = line.row.change
    if change is None or not is_learned(line.row):
        return about
    return f"{about} {words.say('season.about.taken', day=day_month(change.day, on))}"


def finds_text(season: Season) -> str:
    """From how much it is told."""
    if season.finds == 1:
        return words.say("season.finds-one")
    return words.say("season.finds", finds=season.finds, plants=season.plants)


def about_season(season: Season) -> str:
    """The same, and how many it takes where there are too few."""
    if season.is_offered:
        return f"{finds_text(season)}."
    return f"{finds_text(season)}. {words.say('season.too-few', needed=season.needed)}"


def _of_100(share: float) -> str:
    return f"{100 * share:.0f}"

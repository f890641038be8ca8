"""What a plant's own past and those it came with say of it, in sentences."""

from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.lineage import origin_of
from rounds.service.inference.facts import begins_of
from rounds.service.inference.kept import NotKept
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import calendar_day, codes_text, day_month, days_text, temperature


@dataclass(frozen=True, slots=True)
class Heat:
    """Days on which it was warmer where a plant stood than anything is known of its pest."""

    above_c: float
    days: int
    last_on: date
    greatest_c: float


def came_of(record: PlantRecord) -> str:
    """The division it came of, in words: divided from S03 on 4 May; empty without one."""
    origin = origin_of(record.plant)
    if origin is None or record.parent is None:
        return ""
    day = calendar_day(origin.day, record.on)
    return words.say("origins.sentence.divided-from", code=record.parent.plant.code, day=day)


def came_together(record: PlantRecord) -> str:
    """The codes of those it came with; of a part none, as its origin is the plant divided."""
    if record.parent is not None:
        return ""
    return codes_text(other.plant.code for other in record.day.came_with(record))


def batch_told(record: PlantRecord) -> list[str]:
    """On whom of those it came with insects were found; that on none, where one was seen whole."""
    batch = [] if record.parent is not None else record.day.came_with(record)
    infested = [other.plant.code for other in batch if other.last_find_on is not None]
    if infested:
        return [words.say("origins.sentence.batch-found", codes=codes_text(infested))]
    if any(other.last_complete_look_on is not None for other in batch):
        return [words.say("origins.sentence.batch-clean")]
    return []


def came_with_infested(record: PlantRecord) -> str:
    """A sentence that plants it came with were infested; empty where they were not."""
    if record.standing != "quarantine" or record.last_find_on is not None:
        return ""
    infested = [o.plant.code for o in record.day.came_with(record) if o.last_find_on is not None]
    if not infested:
        return ""
    try:
        told = record.day.told_by_mates(record, record.pest)
    except NotKept:
        # said as soon as it is worked out: nothing else of the plant waits for it
        return ""
    supposed = record.table.infestation.priors["arrival"].chance
    if told is None or told <= supposed:
        return ""
    return words.say("origins.reasons.came-with-infested", codes=codes_text(infested))


@dataclass(frozen=True, slots=True)
class Cleared:
    """That insects were found on a plant after its quarantine ended."""

    on: date
    """the day it ended"""
    days: int
    """ago"""
    text: str


def cleared_before(record: PlantRecord) -> Cleared | None:
    """When a plant was cleared on which insects were found since; None where none were."""
    released, found = record.lived.released_on(record.on), record.last_find_on
    if released is None or found is None or found <= released:
        return None
    days = (record.on - released).days
    return Cleared(released, days, words.say("origins.cleared", days=days_text(days)))


def heat_of(record: PlantRecord) -> Heat | None:
    """How often it was too warm to know, of the days the sums read; None where it never was."""
    limit = record.parameters.pests[record.pest].warmth.known_up_to_c
    first = begins_of(record, record.pest)
    days = record.temperatures.warmer(record.lived, first, record.on, limit)
    if not days:
        return None
    return Heat(limit, len(days), days[-1][0], max(celsius for _, celsius in days))


def heat_text(heat: Heat | None, on: date) -> str:
    """The same in a sentence; empty where there is nothing to say."""
    if heat is None:
        return ""
    code = "one-day" if heat.days == 1 else "days"
    return words.say(
        f"origins.heat.{code}", above=temperature(heat.above_c), days=days_text(heat.days),
        last=day_month(heat.last_on, on),
    )  # fmt: skip


def heat_at(logbook: Logbook, greatest_c: float, on: date) -> str:
    """What is said of a day's temperature as it is entered; empty where all is known of it."""
    limit_c = logbook.biology(logbook.parameters.default_pest, on).warmth.known_up_to_c
    if greatest_c <= limit_c:
        return ""
    return words.say("origins.heat.entered", above=temperature(limit_c))

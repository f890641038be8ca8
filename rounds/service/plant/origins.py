"""What a plant's own past and those it came with say of it, in sentences."""

from rounds import words
from rounds.core.inference.facts import chance_infested
from rounds.core.lineage import origin_of
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import calendar_day, codes_text, days_text


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
    mates = record.day.mates(record, record.pest)
    infestation = record.table.infestation
    if mates is None or not mates.infested:
        return ""
    if chance_infested(mates, infestation) <= infestation.priors["arrival"].chance:
        return ""
    infested = [o.plant.code for o in record.day.came_with(record) if o.last_find_on is not None]
    return words.say("origins.reasons.came-with-infested", codes=codes_text(infested))


def cleared_before(record: PlantRecord) -> str:
    """A sentence that insects were found after its quarantine ended; empty where none were."""
    released, found = record.lived.released_on(record.on), record.last_find_on
    if released is None or found is None or found <= released:
        return ""
    days = days_text((record.on - released).days)
    return words.say("origins.cleared", days=days)

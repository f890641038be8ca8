"""Now and then a zone is looked at twice in a row, to learn how much the grower sees."""

import hashlib
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.body import ROOTS
from rounds.core.log.entries import SecondLook
from rounds.core.quarantine.days import SECONDS_LOST
from rounds.service.logbook.book import Logbook
from rounds.service.round.questions import ask_for_second_look
from rounds.service.round.view import Question
from rounds.store import desk
from rounds.store.signs import append_second_look

if TYPE_CHECKING:
    from rounds.service.round.walk import RoundWalk

SETTING, OFF = "second-looks", "off"


def are_asked(logbook: Logbook) -> bool:
    """Whether rounds ask for second looks; they do unless it was switched off."""
    return desk.setting(logbook.file, SETTING) != OFF


def is_drawn(round_id: int, plant_id: int, zone: str, one_in: int) -> bool:
    """Whether a zone of a round is one to look at twice: the same answer whenever it is asked."""
    drawn = hashlib.blake2b(f"{round_id} {plant_id} {zone}".encode(), digest_size=8).digest()
    return int.from_bytes(drawn) % one_in == 0


def question(walk: "RoundWalk") -> Question | None:
    """The question for a second look at the open zone, if it is its turn."""
    opened = walk.opened
    if opened is None or _code(opened.id) in walk.put_off or not are_asked(walk.logbook):
        return None
    one_in = walk.logbook.parameters.second_looks.one_in
    if not is_drawn(walk.walk.id, opened.plant_id, opened.zone, one_in):
        return None
    return ask_for_second_look(opened.zone, opened.id) if _can_tell(walk, opened.zone) else None


def _can_tell(walk: "RoundWalk", zone: str) -> bool:
    """Seen for long enough, nothing left there that would be seen again, and not asked before."""
    plant = walk.plant
    if zone == ROOTS or any(look.second_to is not None for look in plant.looks_at(zone)):
        return False
    if plant.open_doubt_at(zone) is not None or plant.left_there_at(zone) is not None:
        return False
    tallies = plant.tallies_at(zone)
    if any(tally.kind in ("left", "doubtful") for tally in tallies):
        return False
    inspection = walk.logbook.parameters.inspection
    seconds = walk.seconds_here() - inspection.seconds_per_find * sum(t.count for t in tallies)
    needed = inspection.seen_from * plant.body.zone(zone).reference_seconds
    return seconds >= needed - SECONDS_LOST


def decline(walk: "RoundWalk") -> None:
    """Not asked again of this look."""
    if walk.opened is not None:
        walk.put_off.add(_code(walk.opened.id))


def begin(walk: "RoundWalk") -> None:
    """Close the look, and open a second one at the same zone: both are written, or neither."""
    file = walk.logbook.file
    with file.writing():
        first = walk.close_zone("looked")
        opened = walk.enter(walk.at)
        append_second_look(file, SecondLook(opened.id, first.day, first.plant_id, first.id))
    walk.plant.refresh()
    walk.message = words.say("bench.second-look", zone=words.say(f"zones.{first.zone}.name"))


def is_second(walk: "RoundWalk") -> bool:
    """Whether the open look is the second at its zone."""
    return walk.opened is not None and any(
        look.id == walk.opened.id and look.second_to is not None for look in walk.plant.today
    )


def _code(look_id: int) -> str:
    return f"second-look-{look_id}"

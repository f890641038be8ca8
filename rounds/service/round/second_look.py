"""Now and then a zone is looked at twice in a row, to learn how much the grower sees."""

import hashlib
from collections.abc import Set

from rounds.core.body import ROOTS
from rounds.core.quarantine.days import SECONDS_LOST, handling_seconds
from rounds.core.walks import Round
from rounds.service.logbook.book import Logbook
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.course import Course
from rounds.service.round.shown.questions import ask_for_second_look, put_off_code
from rounds.service.round.view import Question
from rounds.store import desk

SETTING, OFF = "second-looks", "off"


def are_asked(logbook: Logbook) -> bool:
    """Whether rounds ask for second looks; they do unless it was switched off."""
    return desk.setting(logbook.file, SETTING) != OFF


def is_drawn(round_id: int, plant_id: int, zone: str, one_in: int) -> bool:
    """Whether a zone of a round is one to look at twice: the same answer whenever it is asked."""
    drawn = hashlib.blake2b(f"{round_id} {plant_id} {zone}".encode(), digest_size=8).digest()
    return int.from_bytes(drawn) % one_in == 0


def ask_to_look_twice(
    walk: Round,
    course: Course,
    plant: PlantAtHand,
    put_off: Set[str],
    seconds_here: float,
) -> Question | None:
    """The question for a second look at the open zone, if it is its turn.

    Args:
        walk: the round.
        course: where it stands.
        plant: the one at hand.
        put_off: the codes of questions that are not asked again here.
        seconds_here: spent at the zone so far.
    """
    opened = course.opened
    if opened is None:
        return None
    logbook = plant.record.logbook
    question = ask_for_second_look(opened.zone, opened.id)
    if put_off_code(question) in put_off or not are_asked(logbook):
        return None
    one_in = logbook.parameters_on(plant.day).second_looks.one_in
    if not is_drawn(walk.id, opened.plant_id, opened.zone, one_in):
        return None
    return question if _can_tell(plant, opened.zone, seconds_here) else None


def _can_tell(plant: PlantAtHand, zone: str, seconds_here: float) -> bool:
    """Whether a second look tells something: seen long enough, nothing left, no second yet."""
    if zone == ROOTS or any(look.second_to is not None for look in plant.looks_at(zone)):
        return False
    if plant.open_doubt_at(zone) is not None or plant.left_there_at(zone) is not None:
        return False
    tallies = plant.tallies_at(zone)
    if any(tally.kind in ("left", "doubtful") for tally in tallies):
        return False
    inspection = plant.record.table.inspection
    seconds = seconds_here - handling_seconds(tallies, inspection)
    needed = inspection.seen_from * plant.body.as_planned(zone).reference_seconds
    return seconds >= needed - SECONDS_LOST

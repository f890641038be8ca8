"""Plants put off, and others opened for a find just seen: what is asked and said of them."""

from collections.abc import Sequence
from dataclasses import replace

from rounds import words
from rounds.service.entries.walked import END, PUT_OFF_BECAUSE, TOMORROW, PutOff, Until
from rounds.service.plant.reasons import put_off_text
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.shown.questions import question_of
from rounds.service.round.shown.said import zone_name
from rounds.service.round.view import Answer, Question

UNTIL: tuple[Until, ...] = (END, TOMORROW)
"""To when a plant is put off, in the order of their numbers."""


def ask_to_put_off(code: str, *, is_last: bool) -> Question:
    """To when a plant is put off; the last one of a round to tomorrow alone."""
    question = question_of("put-off", ("1", "2", "not-now"), code=code)
    if not is_last:
        return question
    return replace(question, answers=tuple(a for a in question.answers if a.role != "1"))


def ask_why_put_off(until: int) -> Question:
    """Why it is put off; `about` is to when, the number of the answer before."""
    figures = tuple(str(number) for number, _ in enumerate(PUT_OFF_BECAUSE, 1))
    return question_of("put-off-why", (*figures, "next", "not-now"), about=until)


def ask_other_zone(plant_id: int, code: str, zones: Sequence[str]) -> Question:
    """At which zone of another plant something was seen; the tenth lies on 0."""
    question = question_of("other-zone", ("not-now",), about=plant_id, code=code)
    figures = tuple(
        Answer(str(number % 10), zone_name(zone)) for number, zone in enumerate(zones, 1)
    )
    return replace(question, answers=(*figures, *question.answers))


def until_of(figure: int) -> Until:
    """To when a plant is put off, by its number from 1."""
    return UNTIL[figure - 1]


def why_put_off(figure: int) -> str | None:
    """Why a plant is put off, by a number."""
    return PUT_OFF_BECAUSE[figure - 1] if 1 <= figure <= len(PUT_OFF_BECAUSE) else None


def said_put_off(code: str, put_off: PutOff) -> str:
    """G02 put off to tomorrow: short of time."""
    return words.say("round.said.plant-put-off", code=code, what=put_off_text(put_off))


def said_detour(plant: PlantAtHand, zone: str, left: PlantAtHand) -> str:
    """Message that a zone of another plant is open, and that the one left is gone back to."""
    code = "detour-clean-hands" if left.needs_hygiene() else "detour"
    codes = {"code": plant.plant.code, "left": left.plant.code}
    return words.say(f"round.said.{code}", zone=zone_name(zone), **codes)


def said_back_at(plant: PlantAtHand, zone: str) -> str:
    """Message that one is again at the zone that was set aside."""
    return words.say("round.said.back-at", code=plant.plant.code, zone=zone_name(zone))

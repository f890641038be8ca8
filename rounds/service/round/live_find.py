"""A live find outside quarantine: the plant is put apart, what it touched is looked at today."""

from typing import TYPE_CHECKING

from rounds import words
from rounds.service.collection.apart import put_apart, said_apart
from rounds.service.logbook.moment import now
from rounds.service.round.join import join_today
from rounds.service.round.questions import ask_about_live_find
from rounds.service.round.view import Question

if TYPE_CHECKING:
    from rounds.service.round.course import RoundCourse
    from rounds.service.round.walk import RoundWalk


def question(walk: "RoundCourse") -> Question | None:
    """Whether the plant at hand is put apart, until that is answered for this round."""
    plant = walk.plant
    if plant.plant.id in walk.apart_later or not plant.live_today():
        return None
    if plant.record.standing not in ("collection", "watch"):
        return None
    return ask_about_live_find(plant.plant.code)


def answer(walk: "RoundWalk", role: str) -> str:
    """Put apart, cannot be moved, or not now; what came of it."""
    plant = walk.plant.plant
    if role == "not-now":
        walk.apart_later.add(plant.id)
        return words.say("round.said.apart-later", code=plant.code)
    cannot_move = role == "cannot-move"
    with walk.logbook.file.writing():
        walk.note_seconds()
        watched = put_apart(walk.logbook, now(walk.logbook.clock), plant.code,
                            cannot_move=cannot_move)  # fmt: skip
        joined = join_today(walk, watched)
    walk.plant.reload()
    said = said_apart(walk.plant.record, watched, cannot_move=cannot_move)
    return words.say("forms.and").join([said, *joined])

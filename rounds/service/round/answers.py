"""What an answer to a waiting question does."""

from typing import TYPE_CHECKING

from rounds import words
from rounds.core.log.entries import Withdrawal
from rounds.service.logbook.moment import now
from rounds.service.round import live_find, second_look, signs, take_back, whole_plant
from rounds.service.round.questions import hidden_reason
from rounds.service.round.reasons import NO_REASON
from rounds.service.round.view import Question, RoundView
from rounds.store import log

if TYPE_CHECKING:
    from rounds.service.round.walk import RoundWalk

BY_FIGURE = ("hidden", "signs", "which-zone")
"""Questions that figures answer."""

VERDICT_OF = {"yes": "alive", "remains": "remains", "no": "not-an-insect"}


def give(walk: "RoundWalk", question: Question, role: str) -> None:
    """Answer a question by the role of a key that it takes."""
    if question.code == "live-find":
        walk.message = live_find.answer(walk, role)
    elif question.code == "burst":
        walk.message = take_back.newest(walk, whole_burst=role == "yes")
    elif question.code in BY_FIGURE:
        # z leaves the question, and numbers answer it
        return
    elif question.code == "second-look":
        if role == "yes":
            second_look.begin(walk)
        else:
            second_look.decline(walk)
            walk.go_on()
    elif role == "not-now":
        walk.put_off.add(f"{question.code}-{question.about}")
        walk.message = words.say("round.said.put-off")
    elif question.code == "left-there":
        walk.tally("left", question.about)
    else:
        _settle(walk, question.about, VERDICT_OF[role])


def by_figure(walk: "RoundWalk", question: Question, figure: int) -> RoundView:
    """Answer a question by one of the figures that stand before its answers."""
    if question.code == "which-zone":
        return whole_plant.open_at(walk, figure)
    if question.code == "hidden":
        return why_hidden(walk, figure)
    sign = signs.of_figure(figure)
    if sign is None:
        return walk.view()
    return signs.write(walk, sign)


def why_hidden(walk: "RoundWalk", figure: int | None = None) -> RoundView:
    """Close the zone as not to be seen, for the reason of a number, or without one."""
    reason = NO_REASON if figure is None else hidden_reason(figure)
    if reason is None:
        return walk.view()
    walk.asked = None
    walk.close_and_go_on("cannot-see", reason)
    return walk.view()


def _settle(walk: "RoundWalk", tally_id: int, verdict: str) -> None:
    look, tally = next(
        (look, t) for look in walk.plant.past for t in look.tallies if t.id == tally_id
    )
    with walk.logbook.file.writing():
        walk.note_seconds()
        log.append_withdrawal(
            walk.logbook.file,
            Withdrawal(walk.logbook.file.next_id(), look.day, walk.plant.plant.id, tally.id,
                       now(walk.logbook.clock).at_ms, verdict),
        )  # fmt: skip
    walk.plant.reload()
    walk.message = words.say(f"round.said.settled.{verdict}")

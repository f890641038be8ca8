"""A round walked for what is shown of it."""

from collections.abc import Callable

from rounds import words
from rounds.service.round import RoundWalk
from rounds.words.forms import chance_clean, out_of_100

from .asking import SECONDS_PER_FIND

Wait = Callable[[float], None]


def shown(walked: RoundWalk) -> float:
    likely = walked.likely()
    assert likely is not None
    found = likely.chance_clean
    view = walked.view()
    assert view.plant is not None
    said = chance_clean(found)
    if view.stage != "zone":
        assert view.plant.clean_text == said
    elif view.plant.live_today:
        assert view.plant.clean_text == words.say("round.at-best", chance=out_of_100(found))
    else:
        assert f"{out_of_100(found)} " in view.plant.clean_text
        assert view.plant.clean_text.endswith(" if clear")
    return found


def counted(walked: RoundWalk) -> int:
    here = walked.view().zone
    assert here is not None
    return here.counts.removed + here.counts.killed + here.counts.left + here.counts.doubtful


def end_zone(walked: RoundWalk, wait: Wait) -> None:
    """The zone ends when its planned seconds are over, and those that finds took."""
    spent = walked.course.step.planned_seconds + SECONDS_PER_FIND * counted(walked)
    wait(spent - walked.progress.seconds_here())
    walked.go_on()


def count(walked: RoundWalk, number: int, kind: str = "removed") -> None:
    for _ in range(number):
        walked.count(kind)

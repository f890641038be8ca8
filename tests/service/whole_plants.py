"""Plants that a round looks at in one go, and how they stand in the log."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundView, RoundWalk, resume
from rounds.store import walks

TODAY = date(2026, 5, 4)
DAY_BEFORE = TODAY - timedelta(1)
OUTSIDE = ["new-growth", "undersides", "axils", "sheaths", "stem-base", "medium", "pot-rim"]
WEIGHTS = {"new-growth": 0.15, "undersides": 0.25, "axils": 0.35, "sheaths": 0.10,
           "stem-base": 0.05, "medium": 0.02, "pot-rim": 0.03}  # fmt: skip
AXILS = OUTSIDE.index("axils") + 1

Add = Callable[..., Plant]
Walk = Callable[[], RoundWalk]
Wait = Callable[[float], None]


def in_one_go(begun: RoundWalk) -> RoundWalk:
    """The same round with every plant in one go, come back to."""
    steps = [replace(s, whole_plant=True, planned_seconds=2.0) for s in begun.course.steps]
    walks.replace_steps(begun.logbook.file, begun.walk.id, steps)
    begun.leave()
    return resume(begun.logbook, begun.walk)


def log_of(walk: RoundWalk) -> list[EffectiveLook]:
    with Logbook(walk.logbook.file.path, walk.logbook.clock) as other:
        plant = other.collection().plants[walk.plant.plant.id]
        return [k for k in record_of(other, plant, walk.walk.day).log if k.day == TODAY]


def asks(view: RoundView) -> str | None:
    return view.question.code if view.question else None


def share(zone: str, seconds: float) -> float:
    return seconds * WEIGHTS[zone] / sum(WEIGHTS.values())


def chance(walk: RoundWalk) -> float | None:
    likely = walk.likely()
    return likely.chance_clean if likely else None


def zone(view: RoundView) -> str:
    assert view.zone is not None
    return view.zone.zone

"""How long the grower's own looks take against the plan they were made by."""

from collections.abc import Iterator
from datetime import date
from itertools import groupby

from rounds.core.log.effective import EffectiveLook
from rounds.core.plan.pace import AS_PLANNED, TimedLook, own_pace
from rounds.core.walks import Round
from rounds.service.entries.walked import OPENED, looks_of
from rounds.service.logbook.book import Logbook
from rounds.store import walks

GRAIN = 1.0
"""resolution, in seconds, to which the beginning of a look is kept"""


def pace_of(logbook: Logbook, on: date, before: Round | None = None) -> float:
    """Times the planned seconds a look takes, from the rounds up to the end of `on`.

    Args:
        logbook: its rounds.
        on: the last day that counts.
        before: a round under way; neither it nor later ones count.
    """
    planning = logbook.parameters.planning
    found: list[TimedLook] = []
    for walk in walks.newest_rounds(logbook.file, on, planning.pace_looks):
        if before is None or walk.id < before.id:
            found = [*_timed(logbook, walk), *found]
        if len(found) >= planning.pace_looks:
            break
    return own_pace(found, planning) if found else AS_PLANNED


def _timed(logbook: Logbook, walk: Round) -> Iterator[TimedLook]:
    """The looks of a round at zones of its plan, in the order they were made.

    Walking to a plant runs on the clock of its first look, and is planned there. What lies
    between looks is cleaning hands, or nobody was there: no more of it counts than a pause.
    """
    parameters = logbook.parameters
    steps = {(s.plant_id, s.zone): s for s in walks.steps_of(logbook.file, walk.id)}
    looks = [(p, k) for p, found in looks_of(logbook, walk).items() for k in found]
    looks.sort(key=lambda look: (look[1].began_at, look[1].id))
    before: float | None = None
    last_plant = None
    for began_at, together in groupby(looks, key=lambda look: look[1].began_at):
        closed = list(together)
        between = 0.0 if before is None else max(0.0, began_at - before)
        between = min(between, parameters.inspection.idle_seconds) if between > GRAIN else 0.0
        for plant_id, look in closed:
            step = steps.get((plant_id, look.zone))
            walked = parameters.planning.walk_seconds if plant_id != last_plant else 0.0
            if step is not None and _counts(look):
                yield TimedLook(look.seconds + between, step.planned_seconds + walked)
            between, last_plant = 0.0, plant_id
        before = began_at + sum(look.seconds for _, look in closed)


def _counts(look: EffectiveLook) -> bool:
    """Whether a look was finished, not cut short by a find, and no second look."""
    return look.outcome == "looked" and look.reason != OPENED and look.second_to is None

"""How long the grower's own looks take against the plan they were made by."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby

from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import Parameters
from rounds.core.plan.pace import AS_PLANNED, Pace, TimedLook, own_pace
from rounds.core.quarantine.days import handling_seconds
from rounds.core.walks import Round, Step
from rounds.service.entries.walked import OPENED, REST_OF_PLANT, SET_ASIDE, gone_on_with, looks_of
from rounds.service.inference.kept import NotKept, digest, kept_or_worked_out
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import OFF, chosen
from rounds.store import walks

SETTING = "own-pace"
"""The choice that sets the own pace aside."""

KEPT = "pace"
"""Name under which it is kept, with the plant that was entered first."""

PACE_VERSION = 1
"""Increased whenever the same rounds may tell another pace."""

GRAIN = 1.0
"""resolution, in seconds, to which the beginning of a look is kept"""


def pace_of(logbook: Logbook, on: date, before: Round | None = None) -> float:
    """Times the planned seconds a look takes; as planned where the own pace is set aside.

    Args:
        logbook: its rounds.
        on: the last day that counts.
        before: a round under way; neither it nor later ones count.
    """
    if chosen(logbook, SETTING) == OFF:
        return AS_PLANNED
    if before is not None or not logbook.collection().plants:
        return pace_learned(logbook, on, before).times
    # a round of a thousand plants has thousands of looks, and the pace is asked for at every plan
    table = logbook.parameters_on(on)
    key = digest(PACE_VERSION, on, logbook.stamp().written, table.planning, table.inspection)
    first = min(logbook.collection().plants)

    def learned() -> float:
        return pace_learned(logbook, on).times

    try:
        return float(kept_or_worked_out(logbook, first, KEPT, key, learned))
    except NotKept:
        return learned()


def pace_learned(logbook: Logbook, on: date, before: Round | None = None) -> Pace:
    """The same, whether it is set aside or not, with the number of looks it rests on."""
    table = logbook.parameters_on(on)
    planning = table.planning
    found: list[TimedLook] = []
    for walk in walks.newest_rounds(logbook.file, on, planning.pace_looks):
        if before is None or walk.id < before.id:
            found = [*_timed(logbook, walk, table), *found]
        if len(found) >= planning.pace_looks:
            break
    return own_pace(found, planning)


def timed_by_round(
    logbook: Logbook, on: date, most: int
) -> Iterator[tuple[Round, Sequence[TimedLook]]]:
    """The newest rounds up to a day, newest first, each with its looks that tell of the pace."""
    table = logbook.parameters_on(on)
    for walk in walks.newest_rounds(logbook.file, on, most):
        yield walk, tuple(_timed(logbook, walk, table))


def _timed(logbook: Logbook, walk: Round, table: Parameters) -> Iterator[TimedLook]:
    """The complete looks of a round at zones of its plan, in the order they were made.

    What was left sooner than the fastest pace allows was no look at all of the zone.
    Walking to a plant runs on the clock of its first look, and is planned there. What lies
    between looks is cleaning hands, or nobody was there: no more of it counts than a pause.
    """
    steps = {(s.plant_id, s.zone): s for s in walks.steps_of(logbook.file, walk.id)}
    looks = [(p, k) for p, found in looks_of(logbook, walk).items() for k in found]
    looks.sort(key=lambda look: (look[1].began_at, look[1].id))
    broken = _broken([look for _, look in looks], gone_on_with(logbook, walk))
    before: float | None = None
    last_plant = None
    for began_at, together in groupby(looks, key=lambda look: look[1].began_at):
        closed = list(together)
        between = 0.0 if before is None else max(0.0, began_at - before)
        between = min(between, table.inspection.idle_seconds) if between > GRAIN else 0.0
        walked = table.planning.walk_seconds if closed[0][0] != last_plant else 0.0
        timed = [
            (look, step)
            for plant_id, look in closed
            if (step := steps.get((plant_id, look.zone))) is not None
            if look.id not in broken and _counts(look)
        ]
        yield from _timed_together(timed, between, walked, table)
        last_plant = closed[-1][0]
        is_broken = any(look.id in broken for _, look in closed)
        # how long it took until the next is not told by its seconds
        before = None if is_broken else began_at + sum(look.seconds for _, look in closed)


def _timed_together(
    closed: Sequence[tuple[EffectiveLook, Step]], between: float, walked: float, table: Parameters
) -> Iterator[TimedLook]:
    """Zones that were looked at in one go share all that their look took, the walk to it too.

    Args:
        closed: each with its step.
        between: seconds from the end of the look before.
        walked: seconds planned for the walk to the plant.
        table: the values of the day.
    """
    looking = sum(step.planned_seconds for _, step in closed)
    if not looking:
        return
    # what is found is handled in a time of its own
    handled = sum(handling_seconds(look.tallies, table.inspection) for look, _ in closed)
    elapsed = sum(look.seconds for look, _ in closed) + between - handled
    planned = looking + walked
    if elapsed < table.planning.pace_least * planned:
        return
    for _, step in closed:
        share = step.planned_seconds / looking
        yield TimedLook(elapsed * share, planned * share)


def _broken(looks: Sequence[EffectiveLook], gone_on: Mapping[int, int]) -> set[int]:
    """The ids of looks that others came into, and of these.

    Args:
        looks: in the order in which they were begun.
        gone_on: the looks that others came into, with the ids under which they went on.
    """
    found: set[int] = set()
    for look in looks:
        if look.id in gone_on:
            into = [k for k in looks if k.began_at > look.began_at and k.id < gone_on[look.id]]
            found |= {look.id, *(k.id for k in into)}
    return found


def _counts(look: EffectiveLook) -> bool:
    """Whether a look was finished as planned: not cut short by a find or `rest`, no second look."""
    is_whole = look.reason not in (OPENED, REST_OF_PLANT, SET_ASIDE)
    return look.outcome == "looked" and is_whole and look.second_to is None

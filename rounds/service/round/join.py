"""Plants that join a round under way, and those that wait until tomorrow for it."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.plan.walk import walking_order
from rounds.core.walks import Step
from rounds.service.inference.together import in_order
from rounds.service.logbook.named import find_plant
from rounds.service.plan.pace import pace_of
from rounds.service.plan.planning import Allotted, asked_of
from rounds.service.plant.record import PlantRecord, must_look, risk_order
from rounds.words.forms import codes_text, minutes_seconds

if TYPE_CHECKING:
    from rounds.service.round.walk import RoundWalk

JOINED = "standing-touched"
LEAST_BEYOND_SECONDS = 30.0


def join_today(walk: "RoundWalk", codes: Sequence[str]) -> list[str]:
    """Plants that touched a find are looked at in this round; what is said of it.

    They come after the plant at hand, before those that stand apart. The seconds that are left
    are split anew, as the plan split them, among all that nobody has begun; whom they no longer
    reach waits until tomorrow.
    """
    if not codes:
        return []
    # need and standing as they were when the round began: to work them out anew takes too long
    known = walk.collection.records
    touched = [_as_now(walk, code) for code in codes]
    now = {**known, **{record.plant.id: record for record in touched}}
    new = [record for record in touched if record.plant.id not in walk.plants]
    planned = {step.plant_id for step in walk.steps if not _is_begun(walk, step.plant_id)}
    to_come = [known.get(r.plant.id, r) for r in now.values()
               if r.plant.id in planned or r in new]  # fmt: skip
    asked = asked_of(
        walk.logbook, in_order(to_come), must=lambda record: must_look(now[record.plant.id])
    )
    pace = pace_of(walk.logbook, walk.walk.day, walk.walk)
    left = _seconds_left(walk, pace)
    # who must be looked at stays, whether there is time or not
    reached = asked.within(max(left, asked.calls.least_seconds))
    going = [found for found in reached if found]
    walk.take_steps(_steps(walk, going, now))
    stays = {found.record.plant.id for found in going}
    return _said([record for record in new if record.plant.id in stays],
                 [r for r in known.values() if r.plant.id in planned - stays],
                 (asked.calls.least_seconds - left) * pace)  # fmt: skip


def _as_now(walk: "RoundWalk", code: str) -> PlantRecord:
    """A plant that was put on watch this moment."""
    plant = find_plant(walk.logbook, code)
    return walk.collection.read_anew(plant)


def _said(
    joined: Sequence[PlantRecord], pushed: Sequence[PlantRecord], beyond_seconds: float
) -> list[str]:
    said = []
    if joined:
        said.append(words.say("round.said.joined", codes=_codes(joined)))
    if pushed:
        code = "pushed" if len(pushed) > 1 else "pushed-one"
        said.append(words.say(f"round.said.{code}", codes=_codes(pushed)))
    if joined and beyond_seconds >= LEAST_BEYOND_SECONDS:
        said.append(words.say("round.said.beyond", minutes=minutes_seconds(beyond_seconds)))
    return said


def _codes(found: Sequence[PlantRecord]) -> str:
    return codes_text([record.plant.code for record in found])


def _steps(
    walk: "RoundWalk", going: Sequence[Allotted], now: Mapping[int, PlantRecord]
) -> list[Step]:
    """What is over or at hand stays as it was; the rest goes as the plan would have it walk."""
    # the plant at hand was put apart just now, and is being looked at all the same
    begun = [step for step in walk.steps if _is_begun(walk, step.plant_id)]
    reasons = {step.plant_id: step.reason for step in walk.steps}
    if walk.logbook.walks_by_risk():
        ordered = sorted(going, key=lambda found: risk_order(found.record))
    else:
        standings = [(n, now[found.record.plant.id].standing) for n, found in enumerate(going)]
        ordered = [going[number] for number in walking_order(standings)]
    return begun + [
        Step(0, found.record.plant.id, zone.zone, zone.planned_seconds,
             reasons.get(found.record.plant.id, JOINED), whole_plant=found.whole_plant)
        for found in ordered
        for zone in found.zones
    ]  # fmt: skip


def _is_begun(walk: "RoundWalk", plant_id: int) -> bool:
    return plant_id == walk.step.plant_id or any(owner == plant_id for owner, _ in walk.done)


def _seconds_left(walk: "RoundWalk", pace: float) -> float:
    """Seconds of the plan for the plants nobody has begun, once those begun are done."""
    of_begun = sum(
        step.planned_seconds
        for step in walk.steps
        if (step.plant_id, step.zone) not in walk.done and _is_begun(walk, step.plant_id)
    )
    minutes = walk.walk.minutes or 0.0
    # a walk leads to the next plant, which to the first of a round none does
    walk_to_next = walk.logbook.parameters.planning.walk_seconds
    return (minutes * 60 - walk.elapsed_seconds()) / pace - of_begun - walk_to_next

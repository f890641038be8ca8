"""Begin a round, come back to one, and close what was abandoned."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from rounds import words
from rounds.core.log.entries import OpenLook
from rounds.core.walks import Round, Step, in_groups
from rounds.errors import Refused
from rounds.service.inference.day import CollectionDay, collection_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plan.today import DayPlan
from rounds.service.round import finish
from rounds.service.round.course import Course
from rounds.service.round.walk import RoundWalk
from rounds.service.round.walker import walk_here
from rounds.store import log, walks

WALKED = "walked"


def is_under_way(logbook: Logbook, day: date) -> Round | None:
    """The round of a day that was begun and not ended."""
    return next((walk for walk in walks.unfinished_rounds(logbook.file) if walk.day == day), None)


def begin(logbook: Logbook, plan: DayPlan, who: str | None = None) -> RoundWalk:
    """Write a plan down as a round and enter its first zone. Refused where there is nothing to do.

    Rounds of earlier days that were left in the middle are closed first.
    """
    if not plan.plan:
        raise Refused("nothing-planned")
    moment = now(logbook.clock, who)
    collection = collection_on(logbook, plan.on)
    # need and standing as they are when the round begins
    _ = collection.records
    with logbook.file.writing():
        if is_under_way(logbook, plan.on) is not None:
            raise Refused("round-elsewhere")
        close_abandoned(logbook, plan.on)
        walk = Round(
            logbook.file.next_id(), plan.on, who, moment.seconds, None, plan.minutes, WALKED
        )
        walks.append_round(logbook.file, walk)
        steps = steps_for(plan)
        walks.append_steps(logbook.file, walk.id, steps)
        walked_by = walk_here(logbook, walk, who, take_over=False)
        message = "" if who is None else words.say("round.said.begun-by", who=who)
        course = Course(tuple(steps), done=frozenset())
        return RoundWalk(logbook, walk, course, walked_by, collection, message)


def steps_for(plan: DayPlan) -> list[Step]:
    """A plan zone by zone, in walking order."""
    found = [
        step
        for planned in plan.plan
        for step in in_groups(
            [
                Step(0, planned.status.plant_id, zone.zone, zone.planned_seconds,
                     planned.status.reasons[0].code)
                for zone in planned.zones
            ],
            planned.steps,
            whole=planned.whole_plant,
        )
    ]  # fmt: skip
    return [replace(step, position=position) for position, step in enumerate(found, 1)]


def resume(
    logbook: Logbook, walk: Round, who: str | None = None, *, take_over: bool = False
) -> RoundWalk:
    """Come back to a round at the very zone where it was left.

    Refused while another program walks it, unless it is taken over from there.
    """
    with logbook.file.writing():
        walked_by = walk_here(logbook, walk, who, take_over=take_over)
        course = finish.course_of(logbook, walk)
        return RoundWalk(logbook, walk, course, walked_by, CollectionDay(logbook, walk.day))


def left_at(logbook: Logbook, walk: Round) -> Step | None:
    """The step at which a round was left; None where all its zones are done."""
    course = finish.course_of(logbook, walk)
    opened = course.opened
    if opened is not None:
        return course.steps[course.position_of(opened.plant_id, opened.zone)]
    # the step before the first, so that the first itself can be the one to come
    before = course.placed_at(len(course.steps) - 1)
    following = before.following(leaving=True)
    return None if following is None else course.steps[following]


def plants_done(logbook: Logbook, walk: Round) -> tuple[int, int]:
    """How many plants of a round are done, and how many it has that were not put off to later."""
    course = finish.course_of(logbook, walk)
    plants = set(course.plants) - course.turns.to_tomorrow
    open_still = {step.plant_id for step in course.steps if course.is_to_come(step)}
    return len(plants - open_still), len(plants)


def close_abandoned(logbook: Logbook, before: date) -> None:
    """End the rounds of days before `before` that nobody ended."""
    for walk in walks.unfinished_rounds(logbook.file):
        if walk.day < before:
            opened = log.open_look_of(logbook.file, walk.id)
            steps = walks.steps_of(logbook.file, walk.id)
            if opened is not None:
                whole = _in_one_go_with(opened, steps)
                finish.close_as_left(logbook, opened, whole)
            finish.end(logbook, walk, steps, walk.began_at)


def _in_one_go_with(opened: OpenLook, steps: Sequence[Step]) -> list[str]:
    """The zones that the open look stands for; none where it is of one alone."""
    own = [step for step in steps if step.plant_id == opened.plant_id]
    here = next((step.together for step in own if step.zone == opened.zone), None)
    return [step.zone for step in own if here is not None and step.together == here]

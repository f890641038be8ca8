"""Plants that join a round under way, and those that wait until tomorrow for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rounds import words
from rounds.core.plan.claims import NEAR, Claim
from rounds.core.plan.near import Find
from rounds.core.walks import Round, Step, in_groups
from rounds.service.inference.together import worked_out_together
from rounds.service.logbook.named import find_plant
from rounds.service.plan.pace import pace_of
from rounds.service.plan.planning import Allotted, asked_of
from rounds.service.plan.today import as_walked
from rounds.service.plant.claims import claim_near
from rounds.service.plant.record import DayOfPlants, PlantRecord, risk_order
from rounds.service.round.course import Course
from rounds.words.forms import codes_text


@dataclass(frozen=True, slots=True)
class Joined:
    """The steps a round goes on by, and what is said of the plants they gained and lost."""

    steps: tuple[Step, ...]
    said: tuple[str, ...]


def join_today(
    walk: Round,
    course: Course,
    collection: DayOfPlants,
    elapsed_seconds: float,
    found_on: str,
) -> Joined:
    """The steps of the round once plants near a find join it, where the minutes allow.

    They come after the plant at hand, before those that stand apart. The seconds that are left
    are split anew, as the plan split them, among all that nobody has begun; whom they no longer
    reach waits until tomorrow.

    Args:
        walk: the round.
        course: where it stands.
        collection: as it was when the round began.
        elapsed_seconds: of looking so far.
        found_on: the code of the plant on which something was found this moment.
    """
    logbook = collection.logbook
    find = Find(find_plant(logbook, found_on), [walk.day])
    # need and standing as they were when the round began: to work them out anew takes too long
    known = collection.records
    near = _near(known, find, course)
    new = [known[plant_id] for plant_id in near if plant_id not in course.plants]
    if not near:
        return Joined(course.steps, ())
    planned = {step.plant_id for step in course.steps if not course.is_begun(step.plant_id)}
    to_come = [r for r in known.values() if r.plant.id in planned or r in new]

    def claim_now(record: PlantRecord) -> Claim:
        return near.get(record.plant.id, record.claim)

    with worked_out_together(to_come):
        ordered = sorted(to_come, key=lambda r: (claim_now(r).order, risk_order(r)))
    pace = pace_of(logbook, walk.day, walk)
    whole = (walk.minutes or 0.0) * 60 / pace
    asked = asked_of(logbook, ordered, claim_of=claim_now, whole_seconds=whole)
    # unlike the first plant of a round, the next one costs a walk
    walk_to_next = logbook.parameters.planning.walk_seconds
    left = whole - elapsed_seconds / pace - _of_begun(course) - walk_to_next
    going = [found for found in asked.within(max(0.0, left)) if found]
    stays = {found.record.plant.id for found in going}
    said = _said([record for record in new if record.plant.id in stays],
                 [record for record in new if record.plant.id not in stays],
                 [r for r in known.values() if r.plant.id in planned - stays])  # fmt: skip
    walked = as_walked(going, by_risk=logbook.walks_by_risk())
    return Joined((*_begun(course), *_steps(course, walked)), tuple(said))


def _near(known: Mapping[int, PlantRecord], find: Find, course: Course) -> dict[int, Claim]:
    """The claims of the plants near a find that nobody has begun, by id."""
    found = {}
    for plant_id, record in known.items():
        claim = None if course.is_begun(plant_id) else claim_near(record, find)
        if claim is not None:
            found[plant_id] = min(claim, record.claim, key=lambda claim: claim.order)
    return found


def _of_begun(course: Course) -> float:
    """Seconds planned for what is still to come of the plants that were begun."""
    return sum(step.planned_seconds for step in _begun(course) if course.is_to_come(step))


def _begun(course: Course) -> list[Step]:
    """The steps of plants that are done or begun, which stay as they were."""
    # the plant at hand was put apart just now, and is being looked at all the same
    return [step for step in course.steps if course.is_begun(step.plant_id)]


def _steps(course: Course, going: Sequence[Allotted]) -> list[Step]:
    reasons = {step.plant_id: step.reason for step in course.steps}
    return [
        step
        for found in going
        for step in in_groups(
            [
                Step(0, found.record.plant.id, zone.zone, zone.planned_seconds,
                     reasons.get(found.record.plant.id, NEAR))
                for zone in found.zones
            ],
            found.steps,
            whole=found.whole_plant,
        )
    ]  # fmt: skip


def _said(
    joined: Sequence[PlantRecord], waiting: Sequence[PlantRecord], pushed: Sequence[PlantRecord]
) -> list[str]:
    said = []
    if joined:
        said.append(words.say("round.said.joined", codes=_codes(joined)))
    if waiting:
        said.append(words.say("round.said.near-waits", codes=_codes(waiting)))
    if pushed:
        code = "pushed" if len(pushed) > 1 else "pushed-one"
        said.append(words.say(f"round.said.{code}", codes=_codes(pushed)))
    return said


def _codes(found: Sequence[PlantRecord]) -> str:
    return codes_text([record.plant.code for record in found])

"""Plants that join a round under way, and those that wait until tomorrow for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rounds import words
from rounds.core.plan.walk import walking_order
from rounds.core.walks import Round, Step
from rounds.service.inference.together import in_order
from rounds.service.logbook.named import find_plant
from rounds.service.plan.pace import pace_of
from rounds.service.plan.planning import Allotted, asked_of
from rounds.service.plant.record import DayOfPlants, PlantRecord, must_look, risk_order
from rounds.service.round.course import Course
from rounds.words.forms import codes_text, minutes_seconds

JOINED = "standing-touched"
LEAST_BEYOND_SECONDS = 30.0


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
    codes: Sequence[str],
) -> Joined:
    """The steps of the round once plants that touched a find join it.

    They come after the plant at hand, before those that stand apart. The seconds that are left
    are split anew, as the plan split them, among all that nobody has begun; whom they no longer
    reach waits until tomorrow.

    Args:
        walk: the round.
        course: where it stands.
        collection: as it was when the round began.
        elapsed_seconds: of looking so far.
        codes: of the plants, at least one, put on watch this moment.
    """
    logbook = collection.logbook
    # need and standing as they were when the round began: to work them out anew takes too long
    known = collection.records
    touched = [collection.read_anew(find_plant(logbook, code)) for code in codes]
    now = {**known, **{record.plant.id: record for record in touched}}
    new = [record for record in touched if record.plant.id not in course.plants]
    planned = {step.plant_id for step in course.steps if not course.is_begun(step.plant_id)}
    to_come = [known.get(r.plant.id, r) for r in now.values()
               if r.plant.id in planned or r in new]  # fmt: skip
    asked = asked_of(
        logbook, in_order(to_come), must=lambda record: must_look(now[record.plant.id])
    )
    pace = pace_of(logbook, walk.day, walk)
    # unlike the first plant of a round, the next one costs a walk
    walk_to_next = logbook.parameters.planning.walk_seconds
    left = ((walk.minutes or 0.0) * 60 - elapsed_seconds) / pace - _of_begun(course) - walk_to_next
    # who must be looked at stays, whether there is time or not
    reached = asked.within(max(left, asked.calls.least_seconds))
    going = [found for found in reached if found]
    ordered = _in_walking_order(going, now, by_risk=logbook.walks_by_risk())
    stays = {found.record.plant.id for found in going}
    said = _said([record for record in new if record.plant.id in stays],
                 [r for r in known.values() if r.plant.id in planned - stays],
                 (asked.calls.least_seconds - left) * pace)  # fmt: skip
    return Joined((*_begun(course), *_steps(course, ordered)), tuple(said))


def _of_begun(course: Course) -> float:
    """Seconds planned for what is still to come of the plants that were begun."""
    return sum(step.planned_seconds for step in _begun(course) if course.is_to_come(step))


def _begun(course: Course) -> list[Step]:
    """The steps of plants that are done or begun, which stay as they were."""
    # the plant at hand was put apart just now, and is being looked at all the same
    return [step for step in course.steps if course.is_begun(step.plant_id)]


def _in_walking_order(
    going: Sequence[Allotted], now: Mapping[int, PlantRecord], *, by_risk: bool
) -> list[Allotted]:
    """Plants in the walking order that a plan would give them."""
    if by_risk:
        return sorted(going, key=lambda found: risk_order(found.record))
    standings = [(n, now[found.record.plant.id].standing) for n, found in enumerate(going)]
    return [going[number] for number in walking_order(standings)]


def _steps(course: Course, going: Sequence[Allotted]) -> list[Step]:
    reasons = {step.plant_id: step.reason for step in course.steps}
    return [
        Step(0, found.record.plant.id, zone.zone, zone.planned_seconds,
             reasons.get(found.record.plant.id, JOINED), whole_plant=found.whole_plant)
        for found in going
        for zone in found.zones
    ]  # fmt: skip


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

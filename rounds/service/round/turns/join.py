"""Plants that join a round under way, and those that wait until tomorrow for it."""

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

from rounds import words
from rounds.core.plan.claims import ALIVE, Claim
from rounds.core.plan.near import Find
from rounds.core.walks import Round, Step, in_groups
from rounds.service.entries.walked import looks_of
from rounds.service.inference.together import worked_out_together
from rounds.service.logbook.named import find_plant
from rounds.service.plan.order import risk_order
from rounds.service.plan.pace import pace_of
from rounds.service.plan.planning import Allotted, asked_of
from rounds.service.plan.today import as_walked
from rounds.service.plant.claims import claim_found, claim_near
from rounds.service.plant.record import DayOfPlants, PlantRecord
from rounds.service.round.course import Course
from rounds.service.round.reasons import DETOUR
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

    They come after the plant at hand, before those in quarantine. The seconds that are left
    are split anew, as the plan split them, among all that nobody has begun, and the plant of the
    find where it was opened out of turn; whom they no longer reach waits until tomorrow, unless
    it is known alive: that stays as it was planned.

    Args:
        walk: the round.
        course: where it stands.
        collection: as it was when the round began.
        elapsed_seconds: of looking so far.
        found_on: the code of the plant on which something was found this moment.
    """
    logbook = collection.logbook
    # need and standing as they were when the round began: to work them out anew takes too long
    known = collection.records
    find = Find(find_plant(logbook, found_on), [walk.day])
    earlier = _found_before(walk, known, find)
    # what was found earlier in the round counts on, so that the same plants are near all along
    claims = {**_near(known, [*earlier, find], course), **_of_detour(known, course)}
    if not claims:
        return Joined(course.steps, ())
    open_still = {s.plant_id for s in course.steps if not _is_kept(course, s.plant_id)}
    to_come = [r for r in known.values() if r.plant.id in open_still or r.plant.id in claims]

    def claim_now(record: PlantRecord) -> Claim:
        return claims.get(record.plant.id, record.claim)

    with worked_out_together(to_come):
        ordered = sorted(to_come, key=lambda r: (claim_now(r).order, risk_order(r)))
    pace = pace_of(logbook, walk.day, walk)
    whole = (walk.minutes or 0.0) * 60 / pace
    kept = _kept(course)
    asked = asked_of(
        collection.table,
        ordered,
        later_seconds=logbook.minutes() * 60 / pace,
        claim_of=claim_now,
        whole_seconds=whole,
        done={(step.plant_id, step.zone) for step in kept},
    )
    # unlike the first plant of a round, the next one costs a walk
    walk_to_next = collection.table.planning.walk_seconds
    left = whole - elapsed_seconds / pace - _of_kept(course) - walk_to_next
    going = [found for found in asked.within(max(0.0, left)) if found]
    reached = {found.record.plant.id for found in going}
    alive = {r.plant.id for r in to_come if claim_now(r).code == ALIVE}
    held = [s for s in course.steps if s.plant_id in open_still & alive - reached and s not in kept]
    walked = as_walked(going, by_risk=logbook.walks_by_risk())
    steps = (*kept, *_steps(course, walked), *held)
    changed = _Changed(claims.keys(), _near(known, earlier, course).keys(), set(course.plants))
    return Joined(steps, tuple(changed.said(to_come, {step.plant_id for step in steps})))


def unjoined(course: Course, before: Sequence[Step]) -> list[Step]:
    """The steps as they were before a find let others join; plants begun since stay as they are."""
    now = {(step.plant_id, step.zone): step for step in course.steps}
    were = {(step.plant_id, step.zone) for step in before}
    begun = [
        *(now[s.plant_id, s.zone] for s in before if (s.plant_id, s.zone) in now),
        *(step for key, step in now.items() if key not in were),
    ]
    return [
        *(step for step in begun if _is_kept(course, step.plant_id)),
        *(step for step in before if not _is_kept(course, step.plant_id)),
    ]


def unjoined_text(course: Course, steps: Sequence[Step], collection: DayOfPlants) -> list[str]:
    """Who leaves the round again, and who is in it again, in words."""
    before, after = set(course.plants), {step.plant_id for step in steps}
    said = []
    for code, plants in (("unjoined", before - after), ("again", after - before)):
        if plants:
            names = _codes([collection.records[plant_id] for plant_id in plants])
            said.append(words.say(f"round.said.{code}", codes=names))
    return said


def _found_before(walk: Round, known: Mapping[int, PlantRecord], find: Find) -> list[Find]:
    """The finds of the round on other plants for which plants could join it."""
    looks = looks_of(next(iter(known.values())).logbook, walk)
    return [
        Find(record.plant, [walk.day])
        for plant_id, record in known.items()
        if plant_id != find.plant.id and lets_join(record)
        if any(look.live() for look in looks.get(plant_id, ()))
    ]


def lets_join(known: PlantRecord) -> bool:
    """Whether a find on a plant lets others join: in quarantine only one that nobody knew of.

    Args:
        known: of the plant, as it was when the round began.
    """
    return known.standing != "quarantine" or known.claim_seen.code != ALIVE


def _near(
    known: Mapping[int, PlantRecord], finds: Sequence[Find], course: Course
) -> dict[int, Claim]:
    """The claims of the plants near finds that nobody has begun or put off, by id."""
    found = {}
    for plant_id, record in known.items():
        claim = None if _is_kept(course, plant_id) else claim_near(record, finds)
        if claim is not None:
            found[plant_id] = min(claim, record.claim, key=lambda claim: claim.order)
    return found


def _of_detour(known: Mapping[int, PlantRecord], course: Course) -> dict[int, Claim]:
    """The claim of the plant at hand where it was opened out of turn: its rest comes later."""
    plant_id = course.step.plant_id
    if not course.is_detour or plant_id in course.turns.to_tomorrow:
        return {}
    return {plant_id: claim_found(known[plant_id])}


def _is_kept(course: Course, plant_id: int) -> bool:
    """Whether the steps of a plant stay: it was begun, or put off to tomorrow."""
    if course.is_detour and plant_id == course.step.plant_id:
        return plant_id in course.turns.to_tomorrow
    return course.is_begun(plant_id) or plant_id in course.turns.to_tomorrow


def _kept(course: Course) -> list[Step]:
    """The steps that stay as they were: of plants begun or put off, and all that are done."""
    # the plant at hand was put apart just now, and is being looked at all the same
    return [
        step
        for step in course.steps
        if _is_kept(course, step.plant_id) or step == course.step or not course.is_to_come(step)
    ]


def _of_kept(course: Course) -> float:
    """Seconds planned for what is still to come of these."""
    tomorrow = course.turns.to_tomorrow
    return sum(
        step.planned_seconds
        for step in _kept(course)
        if course.is_to_come(step) and step.plant_id not in tomorrow
    )


def _steps(course: Course, going: Sequence[Allotted]) -> list[Step]:
    reasons = {step.plant_id: step.reason for step in course.steps if step.reason != DETOUR}
    return [
        step
        for found in going
        for step in in_groups(
            [
                Step(0, found.record.plant.id, zone.zone, zone.planned_seconds,
                     reasons.get(found.record.plant.id, found.claim.code))
                for zone in found.zones
            ],
            found.steps,
            whole=found.whole_plant,
        )
    ]  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Changed:
    """What a find changes of who is looked at."""

    nearby: Set[int]
    """the plants near it, and near what was found before in the round"""
    nearby_before: Set[int]
    """of these, the ones that were known to be"""
    were: Set[int]
    """the plants of the round before"""

    def said(self, to_come: Sequence[PlantRecord], after: Set[int]) -> Iterator[str]:
        """Who joined, who is near and there is no time for, and who gave way; once each."""
        there = {record.plant.id: record for record in to_come}
        told = {
            "joined": (self.nearby & after) - self.were,
            "near-waits": self.nearby - self.nearby_before - self.were - after,
            "pushed": (self.were & there.keys()) - after,
        }
        if told["pushed"] and told["near-waits"]:
            # one list of those there is no time for
            told["pushed"] |= told["near-waits"]
            del told["near-waits"]
        for code, plants in told.items():
            if plants:
                names = _codes([there[plant_id] for plant_id in plants])
                yield words.say(f"round.said.{code}", codes=names)


def _codes(found: Sequence[PlantRecord]) -> str:
    return codes_text([record.plant.code for record in found])

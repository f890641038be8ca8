"""Plants that join a round under way, and those that wait until tomorrow for it."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.plan.walk import walking_order
from rounds.core.walks import Step
from rounds.service.named import find_plant
from rounds.service.standing import PlantRecord, in_order, must_look
from rounds.service.today import zones_to_do
from rounds.words.forms import codes_text, minutes_seconds

if TYPE_CHECKING:
    from rounds.service.round.walk import RoundWalk

JOINED = "standing-touched"
LEAST_BEYOND_SECONDS = 30.0


def join_today(walk: "RoundWalk", codes: Sequence[str]) -> list[str]:
    """Plants that touched a find are looked at in this round; what is said of it.

    They come after the plant at hand, before those that stand apart. What the minutes no longer
    reach for it waits until tomorrow: the plants of least need that nobody has begun.
    """
    if not codes:
        return []
    # need and standing as they were when the round began: to work them out anew takes too long
    known = walk.collection.records
    touched = [_as_now(walk, code) for code in codes]
    new = [record for record in touched if record.plant.id not in walk.plants]
    added = [step for record in new for step in _steps_of(record)]
    now = {**known, **{record.plant.id: record for record in touched}}
    steps = _in_walking_order(walk, added, now.values())
    dropped = _dropped(walk, steps, in_order(list(known.values())), now)
    walk.take_steps([step for step in steps if step.plant_id not in dropped])
    return _said(walk, [record for record in new if _steps_of(record)],
                 [record for record in known.values() if record.plant.id in dropped])  # fmt: skip


def _as_now(walk: "RoundWalk", code: str) -> PlantRecord:
    """A plant that was put on watch this moment."""
    plant = find_plant(walk.logbook, code)
    return PlantRecord(walk.logbook, plant, walk.walk.day, day=walk.collection)


def _said(
    walk: "RoundWalk", joined: Sequence[PlantRecord], pushed: Sequence[PlantRecord]
) -> list[str]:
    said = []
    if joined:
        said.append(words.say("round.said.joined", codes=_codes(joined)))
    if pushed:
        code = "pushed" if len(pushed) > 1 else "pushed-one"
        said.append(words.say(f"round.said.{code}", codes=_codes(pushed)))
    beyond = _seconds_beyond(walk, walk.steps)
    if joined and beyond >= LEAST_BEYOND_SECONDS:
        said.append(words.say("round.said.beyond", minutes=minutes_seconds(beyond)))
    return said


def _codes(found: Sequence[PlantRecord]) -> str:
    return codes_text([record.plant.code for record in found])


def _steps_of(record: PlantRecord) -> list[Step]:
    return [
        Step(0, record.plant.id, zone.zone, zone.planned_seconds, JOINED)
        for zone in zones_to_do(record)
    ]


def _in_walking_order(
    walk: "RoundWalk", added: Sequence[Step], found: Iterable[PlantRecord]
) -> list[Step]:
    """What is over or at hand stays as it was; the rest goes clean side first."""
    standing = {record.plant.id: record.standing for record in found}
    # the plant at hand was put apart just now, and is being looked at all the same
    begun = [s for s in walk.steps if _is_begun(walk, s.plant_id)]
    to_come = [s for s in walk.steps if not _is_begun(walk, s.plant_id)] + list(added)
    plants = list(dict.fromkeys(step.plant_id for step in to_come))
    order = walking_order([(n, standing.get(p, "collection")) for n, p in enumerate(plants)])
    return [*begun, *(s for number in order for s in to_come if s.plant_id == plants[number])]


def _is_begun(walk: "RoundWalk", plant_id: int) -> bool:
    return plant_id == walk.step.plant_id or any(owner == plant_id for owner, _ in walk.done)


def _seconds_beyond(walk: "RoundWalk", steps: Iterable[Step]) -> float:
    to_come = sum(
        step.planned_seconds for step in steps if (step.plant_id, step.zone) not in walk.done
    )
    return walk.elapsed_seconds() + to_come - (walk.walk.minutes or 0.0) * 60


def _dropped(
    walk: "RoundWalk",
    steps: Sequence[Step],
    by_need: Sequence[PlantRecord],
    now: Mapping[int, PlantRecord],
) -> set[int]:
    """The plants of least need that wait, as many as it takes to keep within the minutes."""
    planned = {step.plant_id for step in steps}
    beyond = _seconds_beyond(walk, steps)
    dropped: set[int] = set()
    for record in reversed(by_need):
        plant_id = record.plant.id
        if beyond <= 0:
            break
        if plant_id in planned and not must_look(now[plant_id]) and not _is_begun(walk, plant_id):
            dropped.add(plant_id)
            beyond -= sum(s.planned_seconds for s in steps if s.plant_id == plant_id)
    return dropped

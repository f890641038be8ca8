"""A plant looked at in one go: its zones are closed together, until a find opens them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.log.entries import Withdrawal
from rounds.core.walks import Step
from rounds.service.round.as_planned import as_planned, keep_as_planned
from rounds.service.round.questions import seen_text
from rounds.service.round.reasons import REOPENED
from rounds.service.round.rest import pass_others
from rounds.service.round.view import RoundView
from rounds.store import log

if TYPE_CHECKING:
    from rounds.service.round.course import RoundCourse
    from rounds.service.round.walk import RoundWalk


def open_at(walk: "RoundWalk", figure: int) -> RoundView:
    """Open the zones at the one of a figure: what was seen on the plant stands there from now on.

    The seconds so far are shared over all zones, as seconds looked. From there the zones are
    looked at one by one.
    """
    zones, seen = walk.zones_at_hand(), walk.seen_on_whole()
    at = (figure or 10) - 1
    if at >= len(zones):
        return walk.view()
    with walk.logbook.file.writing():
        _open(walk, zones, zones[at])
    walk.plant.refresh()
    zone = words.say(f"zones.{zones[at]}.name")
    walk.message = words.say("bench.placed", seen=seen_text(seen), zone=zone)
    return walk.view()


def _open(walk: "RoundWalk", zones: Sequence[str], here: str) -> None:
    """Inside a transaction."""
    file = walk.logbook.file
    whole = walk.note_seconds()
    shares = pass_others(walk.logbook, walk.plant.body, whole, here, zones)
    # under an id of its own, so that it is the newest of them
    walk.opened = replace(whole, id=file.next_id(), zone=here, seconds=shares[here])
    log.put_open_look(file, walk.opened)
    log.append_withdrawal(
        file,
        Withdrawal(file.next_id(), whole.day, whole.plant_id, whole.id, walk.at_ms(), REOPENED,
                   walk.opened.id),
    )  # fmt: skip
    walk.closed_seconds += whole.seconds - shares[here]
    put_off = walk.put_off
    keep_as_planned(walk, whole.plant_id)
    walk.take_steps(_one_by_one(walk, here, shares))
    walk.stand_at(walk.position_of(whole.plant_id, here))
    walk.put_off, walk.asked = put_off, None


def _one_by_one(walk: "RoundWalk", here: str, shares: dict[str, float]) -> list[Step]:
    """The steps with those of the plant at hand opened: the zone of the find first.

    A zone that was seen long enough on the way is looked at by itself all the same, for its share
    of what was planned for them together.
    """
    seen_from = walk.logbook.parameters.inspection.seen_from
    plant_id = walk.step.plant_id
    opened = []
    for step in walk.steps:
        if step.plant_id == plant_id:
            needed = walk.plant.body.zone(step.zone).reference_seconds * seen_from
            # the look at the zone of the find goes on with its seconds
            had = 0.0 if step.zone == here else shares.get(step.zone, 0.0)
            planned = max(needed - had, min(needed, step.planned_seconds))
            opened.append(replace(step, whole_plant=False, planned_seconds=planned))
    opened.sort(key=lambda step: step.zone != here)
    return _in_place(walk, opened)


def close_again(walk: "RoundCourse", plant_id: int) -> None:
    """The steps of a plant are one again, for the seconds planned before a find opened them.

    Inside a transaction.
    """
    order = [zone.zone for zone in walk.plant.body.zones]
    own = [replace(s, whole_plant=True) for s in walk.steps if s.plant_id == plant_id]
    own = as_planned(walk, own)
    walk.take_steps(_in_place(walk, sorted(own, key=lambda step: order.index(step.zone))))


def first_zone(walk: "RoundCourse", plant_id: int) -> str:
    """The zone that stands for a plant looked at in one go."""
    return next(step.zone for step in walk.steps if step.plant_id == plant_id)


def _in_place(walk: "RoundCourse", own: Sequence[Step]) -> list[Step]:
    """All steps, with those of one plant where its steps stood."""
    plant_id = own[0].plant_id
    first = next(n for n, step in enumerate(walk.steps) if step.plant_id == plant_id)
    before = [step for step in walk.steps[:first] if step.plant_id != plant_id]
    after = [step for step in walk.steps[first:] if step.plant_id != plant_id]
    return [*before, *own, *after]

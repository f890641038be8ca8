"""A plant looked at in one go: its zones are closed together, until a find opens them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.log.entries import Unplaced
from rounds.core.walks import Step
from rounds.service.looks import share_seconds
from rounds.service.round.as_planned import as_planned, keep_as_planned
from rounds.service.round.reasons import SIGNS
from rounds.service.round.rest import shared_look
from rounds.service.round.unplaced import place, unplaced_text
from rounds.service.round.view import RoundView
from rounds.service.walked import OPENED
from rounds.store import log
from rounds.store.unplaced import put_unplaced

if TYPE_CHECKING:
    from rounds.service.round.course import RoundCourse
    from rounds.service.round.walk import RoundWalk


def see(walk: "RoundWalk", kind: str, count: int) -> RoundView:
    """Keep what was seen: it is on disk, and of the log once it is said at which zone."""
    walk.pending, walk.asked = "", None
    keep(walk, (*walk.unplaced, Unplaced(walk.at_ms(), kind, count, walk.plant.pest)))
    return walk.view()


def keep(walk: "RoundWalk", seen: tuple[Unplaced, ...]) -> None:
    """Write all that waits for its zone from now on."""
    with walk.logbook.file.writing():
        walk.note_seconds()
        put_unplaced(walk.logbook.file, walk.walk.id, seen)
    walk.unplaced = seen


def stage_newest(walk: "RoundWalk", stage: str) -> bool:
    """Say the stage of what was counted last and waits; whether anything does."""
    at = next(
        (n for n, one in reversed([*enumerate(walk.unplaced)]) if one.kind not in SIGNS), None
    )
    if at is None:
        return False
    staged = replace(walk.unplaced[at], stage=stage)
    keep(walk, (*walk.unplaced[:at], staged, *walk.unplaced[at + 1 :]))
    return True


def take_newest_back(walk: "RoundWalk") -> str:
    """What was pressed last waits no longer; says what went."""
    gone = walk.unplaced[-1]
    keep(walk, walk.unplaced[:-1])
    return words.say("bench.took-seen", seen=unplaced_text([gone]))


def open_at(walk: "RoundWalk", figure: int) -> RoundView:
    """Open the zones at the one of a figure: what was seen is written there.

    The seconds so far are shared over all zones, as seconds looked. From there the zones are
    looked at one by one.
    """
    zones = walk.zones_at_hand()
    at = (figure or 10) - 1
    if at >= len(zones):
        return walk.view()
    with walk.logbook.file.writing():
        seen = walk.unplaced
        _open(walk, zones, zones[at])
        if walk.opened is not None:
            place(walk.logbook, walk.opened, seen)
    walk.unplaced = ()
    walk.plant.refresh()
    zone = words.say(f"zones.{zones[at]}.name")
    walk.message = words.say("bench.placed", seen=unplaced_text(seen), zone=zone)
    return walk.view()


def _open(walk: "RoundWalk", zones: Sequence[str], here: str) -> None:
    """Inside a transaction."""
    file = walk.logbook.file
    whole = walk.note_seconds()
    shares = share_seconds([walk.plant.body.zone(zone) for zone in zones], whole.seconds)
    for zone in zones:
        if zone != here:
            log.append_look(file, shared_look(walk, whole, zone, shares[zone], OPENED))
    # after the others, so that it is the newest of them
    walk.opened = replace(whole, id=file.next_id(), zone=here, seconds=shares[here])
    log.put_open_look(file, walk.opened)
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


def _in_place(walk: "RoundCourse", own: Sequence[Step]) -> list[Step]:
    """All steps, with those of one plant where its steps stood."""
    plant_id = own[0].plant_id
    first = next(n for n, step in enumerate(walk.steps) if step.plant_id == plant_id)
    before = [step for step in walk.steps[:first] if step.plant_id != plant_id]
    after = [step for step in walk.steps[first:] if step.plant_id != plant_id]
    return [*before, *own, *after]

"""A plant looked at in one go: its zones are closed together, until a find opens them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.walks import Step
from rounds.service.looks import share_seconds
from rounds.service.round import signs
from rounds.service.round.questions import ask_which_zone
from rounds.service.round.rest import shared_look
from rounds.service.round.view import RoundView, ToPlace
from rounds.service.walked import OPENED
from rounds.store import log

if TYPE_CHECKING:
    from rounds.service.round.course import RoundCourse
    from rounds.service.round.walk import RoundWalk


def ask_where(walk: "RoundWalk", kind: str, count: int) -> RoundView:
    """Ask at which zone something was seen; nothing is written before that is said."""
    walk.pending = ""
    walk.to_place = ToPlace(kind, count)
    walk.asked = ask_which_zone(_said(walk.to_place), walk.zones_at_hand())
    return walk.view()


def _said(seen: ToPlace) -> str:
    if seen.kind in signs.SIGNS:
        return words.say(f"bench.signs.{seen.kind}")
    return words.say("plant.entry.counted", count=seen.count,
                     kind=words.say(f"round.kinds.{seen.kind}"))  # fmt: skip


def open_at(walk: "RoundWalk", figure: int) -> RoundView:
    """Open the zones at the one of a figure: what was seen is written there.

    The seconds so far are shared over all zones, as seconds looked. From there the zones are
    looked at one by one.
    """
    zones = walk.zones_at_hand()
    at = (figure or 10) - 1
    seen = walk.to_place
    if at >= len(zones) or seen is None:
        return walk.view()
    with walk.logbook.file.writing():
        _open(walk, zones, zones[at])
        if seen.kind in signs.SIGNS:
            return signs.write(walk, seen.kind)
        return walk.tally(seen.kind, seen.count)


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
    walk.take_steps(_one_by_one(walk, here, shares))
    walk.stand_at(walk.position_of(whole.plant_id, here))
    walk.put_off, walk.asked, walk.to_place = put_off, None, None
    walk.plant.refresh()


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
    """The steps of a plant are one again: the find that opened them was taken back.

    Inside a transaction.
    """
    order = [zone.zone for zone in walk.plant.body.zones]
    own = [replace(s, whole_plant=True) for s in walk.steps if s.plant_id == plant_id]
    walk.take_steps(_in_place(walk, sorted(own, key=lambda step: order.index(step.zone))))


def _in_place(walk: "RoundCourse", own: Sequence[Step]) -> list[Step]:
    """All steps, with those of one plant where its steps stood."""
    plant_id = own[0].plant_id
    first = next(n for n, step in enumerate(walk.steps) if step.plant_id == plant_id)
    before = [step for step in walk.steps[:first] if step.plant_id != plant_id]
    after = [step for step in walk.steps[first:] if step.plant_id != plant_id]
    return [*before, *own, *after]

"""What a round has done so far, and how its looks and it itself are closed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from rounds.core.body import Body
from rounds.core.log.effective import EffectiveLook, effective_log
from rounds.core.log.entries import Look, OpenLook
from rounds.core.walks import Round, Step
from rounds.service.entries.looks import share_seconds
from rounds.service.entries.walked import OPENED, SET_ASIDE, looks_of, put_off_by
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round.course import Course
from rounds.service.round.reasons import ZONE_NOT_SAID
from rounds.service.round.turns.out_of_turn import OutOfTurn, out_of_turn
from rounds.store import log, walks


def course_of(logbook: Logbook, walk: Round) -> Course:
    """The course of a round from the file, standing at its first step."""
    steps = walks.steps_of(logbook.file, walk.id)
    opened = log.open_look_of(logbook.file, walk.id)
    done, turns = come_to_in(logbook, walk, steps)
    return Course(tuple(steps), done, opened, turns=turns)


def come_to_in(
    logbook: Logbook, walk: Round, steps: Iterable[Step]
) -> tuple[frozenset[tuple[int, str]], OutOfTurn]:
    """The plants and zones whose turn is over in a round, and what is out of its turn."""
    looks = looks_of(logbook, walk)
    return done_by(looks), out_of_turn(looks, ((step.plant_id, step.zone) for step in steps))


def done_by(looks: Mapping[int, Iterable[EffectiveLook]]) -> frozenset[tuple[int, str]]:
    """The plants and zones whose turn is over: looked at, or said to be hidden."""
    return frozenset(
        (plant_id, look.zone)
        for plant_id, found in looks.items()
        for look in found
        if look.outcome in ("looked", "cannot-see") and look.reason not in (OPENED, SET_ASIDE)
    )


def last_closed(logbook: Logbook, walk: Round) -> tuple[int, EffectiveLook] | None:
    """The look of a round that was closed last, of those on its plan, and its plant.

    A correction may have moved a look to a zone that was never planned.
    """
    planned = {(step.plant_id, step.zone) for step in walks.steps_of(logbook.file, walk.id)}
    looks = [
        (look.id, plant_id, look)
        for plant_id, found in looks_of(logbook, walk).items()
        for look in found
        if (plant_id, look.zone) in planned
    ]
    return max(looks)[1:] if looks else None


def is_put_off(look: EffectiveLook) -> bool:
    """Whether a look was closed to put its plant off."""
    return put_off_by(look) is not None


def seconds_walked(logbook: Logbook, walk: Round) -> float:
    """Seconds of all closed looks of a round."""
    return sum(look.seconds for looks in looks_of(logbook, walk).values() for look in looks)


def closed(opened: OpenLook, outcome: str, reason: str | None = None) -> Look:
    """An open look as the closed look it becomes."""
    return Look(
        id=opened.id,
        day=opened.day,
        plant_id=opened.plant_id,
        zone=opened.zone,
        round_id=opened.round_id,
        began_at=opened.began_at,
        seconds=0.0 if outcome == "cannot-see" else opened.seconds,
        outcome=outcome,
        reason=reason,
    )


def close_together(
    logbook: Logbook, opened: OpenLook, body: Body, zones: Sequence[str], reason: str
) -> None:
    """Write a look at each of the zones, the open one first: they share its seconds.

    Inside a transaction.
    """
    shares = share_seconds([body.as_planned(zone) for zone in zones], opened.seconds)
    for zone in zones:
        _append_share(logbook, opened, zone, shares[zone], reason)


def pass_others(
    logbook: Logbook, body: Body, whole: OpenLook, here: str, zones: Sequence[str]
) -> dict[str, float]:
    """Write looks at all zones but one of a plant looked at in one go; returns seconds by zone.

    Inside a transaction.
    """
    shares = share_seconds([body.as_planned(zone) for zone in zones], whole.seconds)
    of_find = replace(whole, zone=here)
    for zone in zones:
        if zone != here:
            _append_share(logbook, of_find, zone, shares[zone], OPENED)
    return shares


def _append_share(
    logbook: Logbook, opened: OpenLook, zone: str, seconds: float, reason: str
) -> None:
    """Write a zone's share of the seconds of the open look, which alone keeps its id."""
    look_id = opened.id if zone == opened.zone else logbook.file.next_id()
    own = replace(opened, id=look_id, zone=zone, seconds=seconds)
    log.append_look(logbook.file, closed(own, "looked", reason))


def close_as_left(logbook: Logbook, opened: OpenLook, whole: Sequence[str] = ()) -> str:
    """Close a look that was walked away from; its outcome. With something counted it stands.

    `whole` are the zones where it stands for a plant looked at in one go. Then nobody said at
    which of them something was counted: it stays at the one that was open, and all share the
    seconds.
    """
    entries = log.entries_of(logbook.file, opened.plant_id, opened.day, opened.day)
    counted = any(
        look.counted() for look in effective_log(entries, opened.day) if look.id == opened.id
    )
    outcome = "looked" if counted else "partial"
    with logbook.file.writing():
        if counted and whole:
            plant = logbook.collection().plants[opened.plant_id]
            body = record_of(logbook, plant, opened.day).body
            shares = pass_others(logbook, body, opened, opened.zone, whole)
            opened = replace(opened, seconds=shares[opened.zone])
        reason = ZONE_NOT_SAID if counted and whole else None
        log.append_look(logbook.file, closed(opened, outcome, reason))
        log.clear_open_look(logbook.file, opened.round_id)
    return outcome


def end(logbook: Logbook, walk: Round, steps: Iterable[Step], ended_at: int) -> None:
    """Write that a round is over, and of each step whether it was looked at; once."""
    if all(other.id != walk.id for other in walks.unfinished_rounds(logbook.file)):
        return
    planned = list(steps)
    done, turns = come_to_in(logbook, walk, planned)

    def came_out(step: Step) -> str:
        if (step.plant_id, step.zone) in done:
            return "looked-at"
        return "put-off" if step.plant_id in turns.to_tomorrow else "not-looked-at"

    ended_as = {step.position: came_out(step) for step in planned}
    walks.end_round(logbook.file, walk.id, ended_at, ended_as)

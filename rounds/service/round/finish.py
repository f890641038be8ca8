"""How looks and rounds are closed, and what is said when they are."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from rounds import words
from rounds.core.log.effective import effective_log
from rounds.core.log.entries import Look, OpenLook
from rounds.core.quarantine.streak import Streak
from rounds.core.walks import Round, Step
from rounds.service.entries.walked import OPENED, looks_of
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.reasons import ZONE_NOT_SAID
from rounds.service.round.rest import pass_others
from rounds.store import log, walks
from rounds.words.forms import days_text, looks_text, minutes_seconds


def closed(opened: OpenLook, outcome: str, reason: str | None = None) -> Look:
    """The look an open one becomes."""
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


def last_closed(logbook: Logbook, walk: Round) -> tuple[int, str] | None:
    """The plant and zone of the look of a round that was closed last, of those on its plan.

    A correction may have moved a look to a zone that was never planned.
    """
    planned = {(step.plant_id, step.zone) for step in walks.steps_of(logbook.file, walk.id)}
    looks = [
        (look.id, plant_id, look.zone)
        for plant_id, found in looks_of(logbook, walk).items()
        for look in found
        if (plant_id, look.zone) in planned
    ]
    return max(looks)[1:] if looks else None


def done_in(logbook: Logbook, walk: Round) -> set[tuple[int, str]]:
    """The plants and zones whose turn is over: looked at in this round, or said to be hidden."""
    return {
        (plant_id, look.zone)
        for plant_id, looks in looks_of(logbook, walk).items()
        for look in looks
        if look.outcome in ("looked", "cannot-see") and look.reason != OPENED
    }


def seconds_walked(logbook: Logbook, walk: Round) -> float:
    """Seconds of all closed looks of a round."""
    return sum(look.seconds for looks in looks_of(logbook, walk).values() for look in looks)


def end(logbook: Logbook, walk: Round, steps: Iterable[Step], ended_at: int) -> None:
    """Write that a round is over, and of each step whether it was looked at; once."""
    if all(other.id != walk.id for other in walks.unfinished_rounds(logbook.file)):
        return
    done = done_in(logbook, walk)
    came_out = {
        step.position: "looked-at" if (step.plant_id, step.zone) in done else "not-looked-at"
        for step in steps
    }
    walks.end_round(logbook.file, walk.id, ended_at, came_out)


def said_of(plant: PlantAtHand, look: Look) -> str:
    """One line about a zone just closed."""
    zone = words.say(f"zones.{look.zone}.name")
    if look.outcome == "cannot-see":
        return words.say("round.said.hidden", zone=zone)
    found = sum(standing.live() for standing in plant.today if standing.id == look.id)
    seconds = minutes_seconds(look.seconds)
    if found:
        return words.say("round.said.closed-found", zone=zone, found=found, seconds=seconds)
    if plant.is_short(look.zone):
        return words.say("round.said.closed-short", zone=zone, seconds=seconds)
    return words.say("round.said.closed-clean", zone=zone, seconds=seconds)


def said_of_plant(plant: PlantAtHand) -> str:
    """One line about a plant just done: what was found, and its streak."""
    said = [
        words.say(f"round.said.{code}", count=count, zone=words.say(f"zones.{look.zone}.name"))
        for look in plant.today
        for code, count in (("found-at", look.live()), ("doubtful-at", look.open_doubts()))
        if count
    ]
    what = words.say("forms.and").join(said) or words.say("round.said.nothing-alive")
    return words.say(
        "round.said.plant-done",
        code=plant.plant.code,
        what=what,
        streak=streak_text(plant),
    )


def streak_text(plant: PlantAtHand) -> str:
    """The streak of the plant at hand after the last press."""
    return streak_words(plant.streak)


def streak_words(streak: Streak) -> str:
    """streak 4 looks, 5 days."""
    return words.say("round.streak", looks=looks_text(streak.looks), days=days_text(streak.days))

"""What is said of a press that was written."""

from rounds import words
from rounds.core.log.effective import EffectiveTally
from rounds.core.log.entries import Look
from rounds.service.plant.status_text import streak_words
from rounds.service.round.at_hand import PlantAtHand
from rounds.words.forms import minutes_seconds


def zone_name(zone: str) -> str:
    """The name of a zone: leaf axils."""
    return words.say(f"zones.{zone}.name")


def of_look(plant: PlantAtHand, look: Look) -> str:
    """One line about a zone just closed."""
    zone = zone_name(look.zone)
    if look.outcome == "cannot-see":
        return words.say("round.said.hidden", zone=zone)
    effective = plant.look_of(look.id)
    found = effective.live() if effective else 0
    seconds = minutes_seconds(look.seconds)
    if found:
        return words.say("round.said.closed-found", zone=zone, found=found, seconds=seconds)
    if plant.is_short(look.zone):
        return words.say("round.said.closed-short", zone=zone, seconds=seconds)
    return words.say("round.said.closed-clean", zone=zone, seconds=seconds)


def of_plant(plant: PlantAtHand) -> str:
    """One line about a plant just done: what was found, and its streak."""
    said = [
        words.say(f"round.said.{code}", count=count, zone=zone_name(look.zone))
        for look in plant.today
        for code, count in (("found-at", look.live()), ("doubtful-at", look.open_doubts()))
        if count
    ]
    what = words.say("forms.and").join(said) or words.say("round.said.nothing-alive")
    return words.say(
        "round.said.plant-done",
        code=plant.plant.code,
        what=what,
        streak=streak_words(plant.streak),
    )


def counted(kind: str, count: int, zone: str) -> str:
    """Message that some of a kind were counted at a zone."""
    kind_text = words.say(f"round.kinds.{kind}")
    return words.say("round.said.counted", kind=kind_text, count=count, zone=zone_name(zone))


def staged(tally: EffectiveTally, stage: str) -> str:
    """Message of the stage given to a count."""
    return words.say(
        "round.said.staged",
        count=tally.count,
        kind=words.say(f"round.kinds.{tally.kind}"),
        stage=words.say(f"round.stages.{stage}"),
    )


def sign(kind: str, zone: str, *, is_new: bool) -> str:
    """Message that a sign was seen at a zone, now or before in the same look."""
    code = "bench.sign-kept" if is_new else "bench.sign-known"
    return words.say(code, sign=words.say(f"bench.signs.{kind}"), zone=zone_name(zone))

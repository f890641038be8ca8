"""What is said of a press that was written."""

from collections import Counter

from rounds import words
from rounds.core.log.effective import EffectiveTally
from rounds.core.log.entries import Look
from rounds.service.plant.status_text import streak_words
from rounds.service.round.at_hand import PlantAtHand
from rounds.words.forms import minutes_seconds
from rounds.words.pests import pest_name


def zone_name(zone: str) -> str:
    """The name of a zone: leaf axils."""
    return words.say(f"zones.{zone}.name")


def of_look(plant: PlantAtHand, look: Look) -> str:
    """One line about a zone just closed."""
    at = _at(look.zone, plant)
    if look.outcome == "cannot-see":
        return words.say("round.said.hidden", **at)
    effective = plant.look_of(look.id)
    found = effective.live() if effective else 0
    seconds = minutes_seconds(look.seconds)
    if found:
        return words.say("round.said.closed-found", found=found, seconds=seconds, **at)
    code = "closed-short" if plant.is_short(look.zone) else "closed-clean"
    return words.say(f"round.said.{code}", seconds=seconds, **at)


def of_plant(plant: PlantAtHand) -> str:
    """One line about a plant just done: what was found, and its streak."""
    # a zone looked at twice on a day is named once
    counted: Counter[tuple[str, bool]] = Counter()
    for look in plant.today:
        counted[look.zone, True] += look.live()
        counted[look.zone, False] += look.open_doubts()
    said = [
        words.say(
            "round.said.found-at" if alive else "round.said.doubtful-at",
            count=count,
            zone=zone_name(zone),
        )
        for (zone, alive), count in counted.items()
        if count
    ]
    if not said:
        nothing = "nothing-alive" if plant.is_fully_checked else "nothing-yet"
        said = [words.say(f"round.said.{nothing}")]
    what = words.say("forms.and").join(said)
    return words.say(
        "round.said.plant-done",
        code=plant.plant.code,
        what=what,
        streak=streak_words(plant.streak),
    )


def counted(kind: str, count: int, zone: str, plant: PlantAtHand, pest: str, had: int = 0) -> str:
    """Message that some of a kind were counted at a zone of a plant.

    Of a pest of which at least so many are told, it says how many in all: `had` were before.
    """
    at_least = plant.record.table.pests[pest].counted_from
    what = at_least_text(count + had) if at_least else str(count)
    values = {"kind": words.say(f"round.kinds.{kind}"), "count": what}
    if pest == plant.first_pest:
        return words.say("round.said.counted", **values, **_at(zone, plant))
    return words.say("round.said.counted-pest", pest=pest_name(pest), **values, **_at(zone, plant))


def at_least_text(count: int) -> str:
    """Of a pest that nobody counts one by one: at least 20."""
    return words.say("round.at-least", count=count)


def one_more(plant: PlantAtHand, pest: str, had: int) -> int:
    """How many one press of a key counts; 0 where there is no greater number to tell."""
    levels = plant.record.table.pests[pest].counted_from
    return next((level - had for level in levels if level > had), 0) if levels else 1


def many_already(plant: PlantAtHand, pest: str, had: int) -> str:
    """Message that a press says no more than is known."""
    return words.say("round.said.many", pest=pest_name(pest), count=at_least_text(had))


def counting(plant: PlantAtHand) -> str:
    """Message of which pest the next counts are."""
    return words.say("round.said.counting", pest=pest_name(plant.pest))


def no_such_stage(pest: str, stage: str) -> str:
    """Message that a pest has no such stage."""
    name = words.say(f"round.stages.{stage}")
    return words.say("round.said.no-stage", pest=pest_name(pest), stage=name)


def settled(verdict: str, zone: str, plant: PlantAtHand) -> str:
    """Message that it was said what a doubt at a zone of a plant was."""
    return words.say(f"round.said.settled.{verdict}", **_at(zone, plant))


def staged(tally: EffectiveTally, stage: str, zone: str, plant: PlantAtHand) -> str:
    """Message of the stage given to a count."""
    return words.say(
        "round.said.staged",
        count=tally.count,
        kind=words.say(f"round.kinds.{tally.kind}"),
        stage=words.say(f"round.stages.{stage}"),
        **_at(zone, plant),
    )


def sign(kind: str, zone: str, plant: PlantAtHand, *, is_new: bool) -> str:
    """Message that a sign was seen at a zone, now or before in the same look."""
    code = "bench.sign-kept" if is_new else "bench.sign-known"
    what = words.say(f"bench.signs.{kind}")
    return words.say(code, sign=what, **_at(zone, plant))


def placed(seen: str, zone: str, plant: PlantAtHand) -> str:
    """Message that it was said at which zone of a whole plant something was seen."""
    return words.say("bench.placed", seen=seen, **_at(zone, plant))


def _at(zone: str, plant: PlantAtHand) -> dict[str, str]:
    """Where something was entered, as its messages name it."""
    return {"zone": zone_name(zone), "code": plant.plant.code}

"""Put what a round knows into the view a screen shows."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from rounds import words
from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveTally
from rounds.core.log.entries import OpenLook
from rounds.core.walks import Round
from rounds.service.entries.walked import OPENED
from rounds.service.plant.status_text import standing_text, streak_words, where_text
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.course import Course
from rounds.service.round.live import Likely
from rounds.service.round.shown.questions import is_loose
from rounds.service.round.shown.said import zone_name
from rounds.service.round.view import (
    OF_DELIVERY,
    Counts,
    PlantView,
    Question,
    RoundView,
    Stage,
    Summary,
    ZoneLine,
    ZoneView,
)
from rounds.words.forms import (
    band_in_column,
    chance_clean,
    day_month,
    days_text,
    left,
    left_brief,
    minutes_seconds,
    number,
    out_of_100,
    whole_number,
)
from rounds.words.pests import pest_name, pest_told

LONGEST_NAME = 26
"""cells for the names of zones looked at together; of more of them only how many"""

COUNTED = ("removed", "killed", "left", "doubtful")


@dataclass(frozen=True, slots=True)
class Known:
    """All that a round knows after a press."""

    walk: Round
    stage: Stage
    course: Course
    plant: PlantAtHand
    """the plant at hand; at a hygiene stop the one that is left"""
    upcoming: Plant
    """of the step at hand"""
    likely: Likely | None
    """of the plant at hand, once it has been looked at as planned"""
    clean_before: float | None
    """its chance clean as it stood before this look; None where that is not known"""
    question: Question | None
    pending: str
    message: str
    seconds_here: float
    elapsed_seconds: float
    paused: bool
    stopped_after: float | None
    """seconds without a key after which the clock has stopped by itself; None while it has not"""
    summary: Summary | None
    """at the end"""
    is_of_delivery: bool
    """its plants are not entered yet"""

    @property
    def loose(self) -> str:
        """At a hygiene stop the plant left, at the end the first, if infested and not apart."""
        if self.is_of_delivery or self.course.opened is not None:
            return ""
        if self.summary is None:
            return self.plant.plant.code if is_loose(self.plant) else ""
        return next((line.code for line in self.summary.changed if line.is_loose), "")


def describe(known: Known) -> RoundView:
    """The view of a round as it stands."""
    name = known.upcoming.fact("name", known.walk.day) or ""
    return RoundView(
        day=known.walk.day,
        stage=known.stage,
        plants=len(known.course.plants),
        elapsed_seconds=known.elapsed_seconds,
        planned_seconds=(known.walk.minutes or 0) * 60,
        plant=_plant_view(known),
        zone=_zone_view(known),
        next_plant=f"{known.upcoming.code} {name}".strip(),
        pending=known.pending,
        message=_message(known),
        question=known.question,
        paused=known.paused,
        clock_stands=known.stopped_after is not None,
        summary=known.summary,
        loose=known.loose,
    )


def _message(known: Known) -> str:
    """The message about the last press, or that the clock has stopped."""
    if known.stopped_after is None:
        return known.message
    return words.say("round.said.idle", seconds=number(round(known.stopped_after)))


def _plant_view(known: Known) -> PlantView:
    plant, likely = known.plant, known.likely
    return PlantView(
        code=plant.plant.code,
        name=plant.status.name,
        form=plant.status.form,
        where=where_text(plant.status),
        standing=OF_DELIVERY if known.is_of_delivery else plant.status.standing,
        standing_text=_standing_text(known),
        why=words.say("round.why-of-delivery") if known.is_of_delivery else why_text(plant),
        streak_text=streak_words(plant.streak),
        clean_text=_clean_text(known),
        left_text=_left_text(likely),
        left_brief=left_brief(likely.left) if likely else "",
        is_rough=likely is not None and likely.is_rough,
        risk_text=_risk_text(likely),
        live_today=plant.live_today(),
        number=known.course.plants.index(plant.plant.id) + 1,
        zones=tuple(_zone_line(known, zone.zone) for zone in plant.body.zones),
    )


def _standing_text(known: Known) -> str:
    if known.is_of_delivery:
        return words.say("round.standing.of-delivery")
    return standing_text(known.plant.status)


def _clean_text(known: Known) -> str:
    """The chance clean, with its band once there is one; during a look what it ends with at best.

    Beside that stands what it was before the look, so that nobody takes for seen what is not yet.
    """
    likely = known.likely
    if likely is None:
        return words.say("round.clean-unknown")
    if known.course.opened is None:
        if likely.low is None or likely.high is None:
            return chance_clean(likely.chance_clean)
        brief = band_in_column(likely.chance_clean, likely.low, likely.high)
        return words.say("band.clean-brief", chance=brief)
    chance = out_of_100(likely.chance_clean)
    if known.plant.live_today():
        return words.say("round.at-best", chance=chance)
    now = "" if known.clean_before is None else out_of_100(known.clean_before)
    if now in ("", chance):
        return words.say("round.if-clear-alone", chance=chance)
    return words.say("round.if-clear", now=now, chance=chance)


def _left_text(likely: Likely | None) -> str:
    """What is left, in words: about 12 insects left; roughly where finds were taken together."""
    if likely is None:
        return ""
    return left(likely.left, grouped=likely.method != "exact")


def _risk_text(likely: Likely | None) -> str:
    if likely is None:
        return words.say("round.risk-later")
    return words.say("round.risk", value=whole_number(likely.risk))


def why_text(plant: PlantAtHand) -> str:
    """The one sentence why this plant is looked at, most pressing reason first."""
    joined = "; ".join(reason.text for reason in plant.status.reasons[:2])
    return words.say("round.why", reasons=joined)


def _zone_view(known: Known) -> ZoneView | None:
    course, opened = known.course, known.course.opened
    if opened is None:
        return None
    whole = course.is_whole
    zones = [step.zone for step in course.of_plant(opened.plant_id)]
    return ZoneView(
        zone="" if whole else opened.zone,
        name=_name_of(course),
        advice=_advice(known, opened),
        advice_narrow=_advice(known, opened, narrow=True),
        number=1 if whole else zones.index(opened.zone) + 1,
        of=len(course.zones_at_hand()) if whole else len(zones),
        is_whole_plant=course.step.whole_plant,
        seconds=known.seconds_here,
        planned_seconds=course.planned_here(),
        counts=_counts(known.plant, opened.id),
        pest=_pest_text(known.plant),
    )


def _pest_text(plant: PlantAtHand) -> str:
    """The pest that is counted; nothing while it is the plant's first and counted one by one."""
    biology = plant.record.table.pests[plant.pest]
    if plant.pest == plant.first_pest and not biology.counted_from:
        return ""
    return pest_name(plant.pest)


def _name_of(course: Course) -> str:
    """The whole plant; stem base, pot rim, medium; the zone."""
    if course.step.whole_plant:
        return words.say("bench.whole-plant")
    zones = course.zones_at_hand()
    said = ", ".join(zone_name(zone) for zone in zones)
    return said if len(said) <= LONGEST_NAME else words.say("bench.some-zones", zones=len(zones))


def _advice(known: Known, opened: OpenLook, *, narrow: bool = False) -> str:
    """Advice where to look, what hangs there from before, or that it is the second look.

    Where another pest is counted than the plant's first, it is where to look for that one.
    """
    if known.plant.pest != known.plant.first_pest and (told := pest_told(known.plant.pest)):
        return told[0]
    if known.course.is_whole:
        code = "whole-advice" if known.course.step.whole_plant else "some-advice"
        return words.say(f"bench.{code}")
    if known.plant.is_second(opened.id):
        return words.say("bench.second-advice")
    killed = known.plant.killed_at(opened.zone)
    if killed is None:
        return words.say(f"zones.{opened.zone}.advice")
    day = day_month(killed.day, known.walk.day)
    code = "bodies-narrow" if narrow else "bodies"
    return words.say(f"bench.{code}", count=killed.count, day=day)


def _counts(plant: PlantAtHand, look_id: int) -> Counts:
    """What was counted in this look of the pest that is counted."""
    tallies = [tally for tally in plant.tallies_of(look_id) if tally.pest == plant.pest]
    by_kind = {
        kind: sum(tally.count for tally in tallies if tally.kind == kind) for kind in COUNTED
    }
    return Counts(**by_kind)


def _zone_line(known: Known, zone: str) -> ZoneLine:
    course = known.course
    is_open = course.opened is not None and course.opened.zone == zone
    is_here = not course.step.whole_plant and zone in course.zones_at_hand()
    is_here = is_here and known.plant.plant.id == course.step.plant_id
    # what was entered of a whole plant stands at the open zone only until it is placed
    tallies = [] if is_open and course.is_whole else known.plant.tallies_at(zone)
    found = _found_text(tallies)
    if found is None and is_here:
        found = words.say("round.state.here")
    state = _state_text(known, zone) if found is None else found
    return ZoneLine(zone=zone, name=zone_name(zone), state=state, is_here=is_here)


def _found_text(tallies: Sequence[EffectiveTally]) -> str | None:
    """What was counted at a zone today; None where that is nothing, or settled."""
    live = sum(tally.count for tally in tallies if tally.is_live)
    if live:
        return words.say("round.state.found", count=live)
    if any(tally.is_open_doubt for tally in tallies):
        return words.say("round.state.doubt", count=sum(t.count for t in tallies))
    return None


def _state_text(known: Known, zone: str) -> str:
    """How a zone with nothing found stands that is not at hand."""
    plant = known.plant
    own = known.course.of_plant(plant.plant.id)
    step = next((step for step in own if step.zone == zone), None)
    # what was looked at up to a find on the whole plant is still to be looked at
    opened = step is not None and known.course.is_to_come(step)
    closed = [k for k in plant.looks_at(zone) if not (k.is_open or (opened and k.reason == OPENED))]
    signs = [sign.kind for look in closed for sign in look.signs]
    if signs:
        return words.say(f"bench.signs.{signs[-1]}")
    if any(look.outcome == "looked" for look in closed):
        return words.say("round.state.short" if plant.is_short(zone) else "round.state.clean")
    if any(look.outcome == "cannot-see" for look in closed):
        return words.say("round.state.hidden")
    return minutes_seconds(ceil(step.planned_seconds)) if step else _last_look_text(plant, zone)


def _last_look_text(plant: PlantAtHand, zone: str) -> str:
    """When a zone that is not on the plan was looked at last."""
    last = plant.last_look_at(zone)
    if last is None:
        return words.say("round.state.never")
    return words.say("round.state.ago", days=days_text((plant.day - last).days))

"""Put what a round knows into the view a screen shows."""

from math import ceil
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.log.entries import OpenLook
from rounds.service.entries.walked import OPENED
from rounds.service.plant.status_text import standing_text, where_text
from rounds.service.round import second_look
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.finish import streak_text
from rounds.service.round.live import Likely
from rounds.service.round.summary import summary_of
from rounds.service.round.view import Counts, PlantView, RoundView, ZoneLine, ZoneView
from rounds.words.forms import (
    day_month,
    days_text,
    expected_number,
    likely_clean,
    minutes_seconds,
    number,
)

if TYPE_CHECKING:
    from rounds.service.round.walk import RoundWalk


COUNTED = ("removed", "killed", "left", "doubtful")


def describe(walk: "RoundWalk") -> RoundView:
    """The view of a round as it stands."""
    at_end = walk.stage == "end"
    upcoming = walk.logbook.collection().plants[walk.step.plant_id]
    return RoundView(
        day=walk.walk.day,
        stage=walk.stage,
        plants=len(walk.plants),
        elapsed_seconds=walk.elapsed_seconds(),
        planned_seconds=(walk.walk.minutes or 0) * 60,
        plant=_plant_view(walk),
        zone=_zone_view(walk),
        next_plant=f"{upcoming.code} {upcoming.fact('name', walk.walk.day) or ''}".strip(),
        pending=walk.pending,
        message=_message(walk),
        question=walk.question,
        paused=walk.watch.paused,
        clock_stands=_clock_stands(walk),
        summary=summary_of(walk.logbook, walk.walk, walk.steps, walk.collection)
        if at_end
        else None,
    )


def _clock_stands(walk: "RoundWalk") -> bool:
    return walk.opened is not None and walk.watch.stopped_itself()


def _message(walk: "RoundWalk") -> str:
    """What just happened; that the clock stands, where it does."""
    if _clock_stands(walk):
        return words.say("round.said.idle", seconds=number(round(walk.idle_seconds())))
    return walk.message


def _plant_view(walk: "RoundWalk") -> PlantView:
    plant = walk.plant
    likely = walk.likely()
    return PlantView(
        code=plant.plant.code,
        name=plant.status.name,
        form=plant.status.form,
        where=where_text(plant.status),
        standing=plant.status.standing,
        standing_text=standing_text(plant.status),
        why=why_text(plant),
        streak_text=streak_text(plant),
        clean_text=_clean_text(likely),
        left_text=_left_text(likely),
        is_old=likely is not None and likely.is_more,
        risk_text=_risk_text(likely),
        live_today=plant.live_today(),
        number=walk.plants.index(plant.plant.id) + 1,
        zones=tuple(_zone_line(walk, zone.zone) for zone in plant.body.zones),
    )


def _clean_text(likely: Likely | None) -> str:
    return words.say("round.clean-unknown") if likely is None else likely_clean(likely.chance_clean)


def _left_text(likely: Likely | None) -> str:
    """may hold 1.2; about 1.2, where early finds had to be taken together."""
    if likely is None:
        return ""
    code = "holds" if likely.method == "exact" else "holds-about"
    if likely.is_more:
        code = "holds-over"
    return words.say(f"round.{code}", number=expected_number(likely.left))


def _risk_text(likely: Likely | None) -> str:
    if likely is None:
        return words.say("round.risk-later")
    return words.say("forms.risk", value=round(likely.risk), word=likely.risk_word)


def why_text(plant: PlantAtHand) -> str:
    """The one sentence why this plant is looked at, most pressing reason first."""
    joined = "; ".join(reason.text for reason in plant.status.reasons[:2])
    return words.say("round.why", reasons=joined)


def _zone_view(walk: "RoundWalk") -> ZoneView | None:
    if walk.opened is None:
        return None
    if walk.is_whole:
        return _whole_view(walk, walk.opened)
    zone = walk.opened.zone
    of_plant = [step.zone for step in walk.steps if step.plant_id == walk.opened.plant_id]
    return ZoneView(
        zone=zone,
        name=words.say(f"zones.{zone}.name"),
        advice=_advice(walk, zone),
        advice_narrow=_advice(walk, zone, narrow=True),
        number=of_plant.index(zone) + 1,
        of=len(of_plant),
        seconds=walk.seconds_here(),
        planned_seconds=walk.planned_here(),
        counts=_counts(walk.plant, walk.opened.id),
    )


def _whole_view(walk: "RoundWalk", opened: OpenLook) -> ZoneView:
    """All zones of a plant that is looked at in one go."""
    zones = walk.zones_at_hand()
    advice = words.say("bench.whole-advice")
    return ZoneView(
        zone="",
        name=words.say("bench.whole-plant"),
        advice=advice,
        advice_narrow=advice,
        number=1,
        of=len(zones),
        seconds=walk.seconds_here(),
        planned_seconds=walk.planned_here(),
        counts=_counts(walk.plant, opened.id),
    )


def _advice(walk: "RoundWalk", zone: str, *, narrow: bool = False) -> str:
    """Where to look; what hangs there from before, or that it is the second look."""
    if second_look.is_second(walk):
        return words.say("bench.second-advice")
    killed = walk.plant.killed_at(zone)
    if killed is None:
        return words.say(f"zones.{zone}.advice")
    day = day_month(killed.day, walk.walk.day)
    code = "bodies-narrow" if narrow else "bodies"
    return words.say(f"bench.{code}", count=killed.count, day=day)


def _counts(plant: PlantAtHand, look_id: int) -> Counts:
    """What was counted in this look."""
    tallies = [t for look in plant.today if look.id == look_id for t in look.tallies]
    by_kind = {
        kind: sum(tally.count for tally in tallies if tally.kind == kind) for kind in COUNTED
    }
    return Counts(**by_kind)


def _zone_line(walk: "RoundWalk", zone: str) -> ZoneLine:
    here = walk.opened is not None and walk.opened.zone == zone and not walk.is_whole
    return ZoneLine(
        zone=zone,
        name=words.say(f"zones.{zone}.name"),
        state=_zone_state(walk, zone, here=here),
        is_here=here,
    )


def _zone_state(walk: "RoundWalk", zone: str, *, here: bool) -> str:
    plant = walk.plant
    tallies = [] if _stands_for_all(walk, zone) else plant.tallies_at(zone)
    live = sum(tally.count for tally in tallies if tally.is_live)
    if live:
        return words.say("round.state.found", count=live)
    if any(tally.is_open_doubt for tally in tallies):
        return words.say("round.state.doubt", count=sum(t.count for t in tallies))
    if here:
        return words.say("round.state.here")
    # what was looked at up to a find on the whole plant is still to be looked at
    opened = _is_to_come(walk, zone)
    closed = [k for k in plant.looks_at(zone) if not (k.is_open or (opened and k.reason == OPENED))]
    signs = [sign.kind for look in closed for sign in look.signs]
    if signs:
        return words.say(f"bench.signs.{signs[-1]}")
    if any(look.outcome == "looked" for look in closed):
        return words.say("round.state.short" if plant.is_short(zone) else "round.state.clean")
    if any(look.outcome == "cannot-see" for look in closed):
        return words.say("round.state.hidden")
    return _not_yet(walk, zone)


def _stands_for_all(walk: "RoundWalk", zone: str) -> bool:
    """Whether a zone is the one that is open for a plant looked at in one go."""
    return walk.is_whole and walk.opened is not None and walk.opened.zone == zone


def _is_to_come(walk: "RoundWalk", zone: str) -> bool:
    """Whether a zone of the plant at hand is on the plan of the round, and its turn not over."""
    plant_id = walk.plant.plant.id
    planned = any((step.plant_id, step.zone) == (plant_id, zone) for step in walk.steps)
    return planned and (plant_id, zone) not in walk.done


def _not_yet(walk: "RoundWalk", zone: str) -> str:
    """What a zone not looked at in this round shows: its planned time, else its last look."""
    for step in walk.steps:
        if step.plant_id == walk.plant.plant.id and step.zone == zone:
            return minutes_seconds(ceil(step.planned_seconds))
    last = walk.plant.last_look_at(zone)
    if last is None:
        return words.say("round.state.never")
    days = (walk.walk.day - last).days
    return words.say("round.state.ago", days=days_text(days))

"""How a round came out."""

from collections import Counter
from collections.abc import Mapping, Sequence, Set

from rounds import words
from rounds.core.log.effective import EffectiveLook
from rounds.core.walks import Round, Step
from rounds.service.courses.next_way import next_told
from rounds.service.entries.walked import PutOff, looks_of, put_off_to_tomorrow
from rounds.service.growth.behind import is_found_often
from rounds.service.growth.rising import rising_text
from rounds.service.logbook.book import Logbook
from rounds.service.plant.reasons import why_put_off_text
from rounds.service.plant.record import DayOfPlants
from rounds.service.plant.status_text import streak_words
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.shown.questions import is_loose
from rounds.service.round.view import Summary, SummaryLine
from rounds.words.pests import pest_name


def summary_of(
    logbook: Logbook, walk: Round, steps: Sequence[Step], collection: DayOfPlants
) -> Summary:
    """What was found, what changed, and what was not seen."""
    planned = list(dict.fromkeys(step.plant_id for step in steps))
    all_looks = looks_of(logbook, walk)
    # what was only begun says nothing of a plant
    looks = {p: [k for k in found if k.outcome != "partial"] for p, found in all_looks.items()}
    put_off = {p: off for p, found in all_looks.items() if (off := put_off_to_tomorrow(found))}
    plants = {
        plant_id: PlantAtHand(logbook, plant_id, collection)
        for plant_id in planned
        if looks.get(plant_id)
    }
    in_one_go = {step.plant_id for step in steps if step.whole_plant} & plants.keys()
    zone_by_zone = {key: plant for key, plant in plants.items() if key not in in_one_go}
    found = {plant_id: sum(look.live() for look in looks[plant_id]) for plant_id in plants}
    short, short_zones = _zones(zone_by_zone, looks, short=True)
    hidden, hidden_zones = _zones(plants, looks, short=False)
    return Summary(
        found=sum(found.values()),
        plants_found=sum(1 for count in found.values() if count),
        plants_clean=sum(1 for count in found.values() if not count),
        plants_looked_at=len(plants),
        plants_checked=sum(1 for plant in plants.values() if plant.is_fully_checked),
        unsure=sum(look.open_doubts() for key in plants for look in looks[key]),
        rising=rising_text({plant.plant.code: plant.status.growth for plant in plants.values()}),
        changed=tuple(
            _line(plant, looks[plant_id])
            for plant_id, plant in plants.items()
            if any(look.tallies for look in looks[plant_id])
        ),
        put_off=tuple(_put_off(logbook, plant_id, off) for plant_id, off in put_off.items()),
        not_looked_at=_not_looked_at(logbook, walk, {*plants, *put_off}),
        in_one_go=tuple(plants[key].plant.code for key in plants if key in in_one_go),
        short=short,
        short_zones=short_zones,
        hidden=hidden,
        hidden_zones=hidden_zones,
    )


def _line(plant: PlantAtHand, looks: list[EffectiveLook]) -> SummaryLine:
    found = sum(look.live() for look in looks)
    doubts = sum(look.open_doubts() for look in looks)
    others = Counter[str]()
    for tally in (tally for look in looks for tally in look.tallies):
        if tally.is_live and tally.pest != plant.first_pest:
            others[tally.pest] += tally.count
    mark = "found" if found else "doubt" if doubts else "nothing"
    return SummaryLine(
        code=plant.plant.code,
        name=plant.status.name,
        text=_counted(found - others.total(), doubts, others),
        streak_text=streak_words(plant.streak),
        then=_then(plant, mark),
        mark=mark,  # type: ignore[arg-type]
        is_loose=is_loose(plant),
    )


def _counted(found: int, unsure: int, others: Mapping[str, int]) -> str:
    """3 found, 1 unsure: what was counted on a plant; other pests than its first by their names."""
    said = [words.say("round.summary.found", count=found)] if found else []
    for pest, count in others.items():
        of_pest = words.say("round.summary.found", count=count)
        said.append(words.say("quarantine.of-pest", pest=pest_name(pest), what=of_pest))
    if unsure:
        said.append(words.say("round.summary.doubt", count=unsure))
    return ", ".join(said) or words.say("round.summary.nothing")


def _then(plant: PlantAtHand, mark: str) -> str:
    """What the round changed for a plant, in a few words."""
    if mark == "doubt":
        return words.say("round.summary.then-asked")
    if mark == "nothing":
        return ""
    if plant.status.standing != "quarantine":
        return words.say("round.summary.then-not-apart")
    if plant.status.standing_since == plant.day:
        return words.say("round.summary.then-apart")
    # a find of today sets the clocks back: what is done about it says more than that
    way = next_told(plant.record)
    if way is None:
        return words.say(f"round.summary.{_then_unranked(plant)}")
    return words.say("round.summary.then-next", way=words.say(f"courses.brief.{way}"))


def _then_unranked(plant: PlantAtHand) -> str:
    """What a find means while the ways to go on have no days yet: a course may well be needed."""
    is_behind = is_found_often(plant.record) and not plant.record.courses
    return "then-behind" if is_behind else "then-clock"


def _put_off(logbook: Logbook, plant_id: int, put_off: PutOff) -> str:
    """A plant that was put off to tomorrow, and why: G02 (short of time)."""
    code = logbook.collection().plants[plant_id].code
    why = why_put_off_text(put_off)
    return words.say("round.put-off.because", what=code, why=why) if why else code


def _not_looked_at(logbook: Logbook, walk: Round, told: Set[int]) -> tuple[str, ...]:
    """The plants that are here, had no look in this round, and were not put off to tomorrow."""
    here = logbook.collection().here(walk.day)
    return tuple(plant.code for plant in here if plant.id not in told)


def _zones(
    plants: dict[int, PlantAtHand], looks: dict[int, list[EffectiveLook]], *, short: bool
) -> tuple[tuple[str, ...], int]:
    """The zones left too soon, or those that could not be seen, and how many they are.

    Each with its plant; where it is all that was looked at of a plant, the plant once.
    """
    wanted = "looked" if short else "cannot-see"
    found, count = [], 0
    for plant_id, plant in plants.items():
        looked = dict.fromkeys(look.zone for look in looks[plant_id])
        here = dict.fromkeys(k.zone for k in looks[plant_id] if k.outcome == wanted)
        zones = [zone for zone in here if not short or plant.is_short(zone)]
        count += len(zones)
        if len(zones) == len(looked) > 1:
            found.append(
                words.say("round.summary.all-zones", code=plant.plant.code, zones=len(zones))
            )
            continue
        for zone in zones:
            name = words.say(f"zones.{zone}.name")
            found.append(words.say("round.summary.zone", code=plant.plant.code, zone=name))
    return tuple(found), count

"""What is taken back next: a count, a stage, an answer, the closing of a zone."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.collection import Period
from rounds.core.log.courses import DONE, CourseMark
from rounds.core.log.effective import Corrections, EffectiveLook, EffectiveSign, EffectiveTally
from rounds.core.log.entries import VERDICTS, OpenLook, StageGiven, Withdrawal
from rounds.service.courses.shelf import entered_together
from rounds.service.entries.walked import OPENED, REST_OF_PLANT
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.course import Course
from rounds.service.round.reasons import IN_ONE_GO
from rounds.service.round.shown.questions import ask_about_burst
from rounds.service.round.shown.said import zone_name
from rounds.service.round.view import Question
from rounds.words.forms import codes_text
from rounds.words.pests import pest_name

HELD_KEY_MS = 100
"""Presses closer together than this come from a key held down, not from a finger."""

HELD_KEY_LEAST = 4

Entry = EffectiveTally | EffectiveSign | StageGiven | Withdrawal | Period | CourseMark


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What goes, and what is said of it."""

    said: str
    entries: tuple[tuple[int, date], ...] = ()
    """ids of entries of the plant at hand, and their days"""
    apart: Period | None = None
    """instead of these: that the plant was put apart"""
    mark: CourseMark | None = None
    """instead of these: that a step of a course was done"""
    together: tuple[EntryName, ...] = ()
    """the same, of this plant and of others at which it was said in one go"""


@dataclass(frozen=True, slots=True)
class _Newest:
    """The newest entry at the zone at hand, and the tallies of its burst if it is one."""

    entry: Entry
    burst: tuple[EffectiveTally, ...] = ()


def newest(course: Course, plant: PlantAtHand, *, whole_burst: bool) -> TakenBack | None:
    """The newest entry that belongs to the open look, or its whole burst; None where none does."""
    found = _newest_here(course, plant)
    if found is None:
        return None
    entry, whole = found.entry, course.is_whole
    if isinstance(entry, EffectiveTally):
        tallies = found.burst if whole_burst and found.burst else (entry,)
        said = _said_tally(entry.kind, sum(t.count for t in tallies), course.step.zone, whole=whole)
        if entry.pest != plant.first_pest:
            said = words.say("round.of-pest", what=said, pest=pest_name(entry.pest))
        return TakenBack(said, tuple((tally.id, plant.day) for tally in tallies))
    if isinstance(entry, EffectiveSign):
        said = _said_sign(entry.kind, course.step.zone, whole=whole)
        return TakenBack(said, ((entry.id, plant.day),))
    if isinstance(entry, Period):
        said = words.say("round.said.took-apart", code=plant.plant.code)
        return TakenBack(said, apart=entry)
    if isinstance(entry, CourseMark):
        return _taken_step(entry, plant)
    if isinstance(entry, StageGiven):
        stage = words.say(f"round.stages.{entry.stage}")
        said = words.say("round.said.took-stage", stage=stage)
    else:
        said = words.say("round.said.took-answer")
    return TakenBack(said, ((entry.id, entry.day),))


def ask_whether_whole(course: Course, plant: PlantAtHand) -> Question | None:
    """The question whether a burst from a held key goes as one, if the newest entry ends one."""
    found = _newest_here(course, plant)
    if found is None or len(found.burst) < HELD_KEY_LEAST:
        return None
    # newest first
    seconds = (found.burst[0].at_ms - found.burst[-1].at_ms) / 1000
    count = sum(tally.count for tally in found.burst)
    return ask_about_burst(count, found.burst[0].kind, seconds)


def closed_last(
    course: Course, looks: Mapping[int, Sequence[EffectiveLook]]
) -> tuple[int, list[EffectiveLook]] | None:
    """The looks that were closed last, with their plant; those of a rest of a plant together.

    Args:
        course: where the round stands; a look at a zone it does not hold is passed over.
        looks: all looks of the round that were closed, by plant.
    """
    planned = {(step.plant_id, step.zone) for step in course.steps}
    on_plan = [
        (plant_id, look)
        for plant_id, found in looks.items()
        for look in found
        if (plant_id, look.zone) in planned
    ]
    if not on_plan:
        return None
    plant_id, last = max(on_plan, key=lambda pair: pair[1].id)
    batch = [look for owner, look in on_plan if owner == plant_id and _together(look, last)]
    return plant_id, sorted(batch, key=lambda look: look.id)


def _together(look: EffectiveLook, last: EffectiveLook) -> bool:
    if last.reason not in (REST_OF_PLANT, IN_ONE_GO, OPENED):
        return look.id == last.id
    return look.reason == last.reason and look.began_at == last.began_at


def _newest_here(course: Course, plant: PlantAtHand) -> _Newest | None:
    """The newest entry that belongs to the open look."""
    opened = course.opened
    if opened is None:
        return None
    tallies = plant.tallies_of(opened.id)
    own = {tally.id for tally in tallies}
    corrections = Corrections(plant.today_entries.withdrawals)
    stages = [
        given
        for given in plant.today_entries.stages
        if given.tally_id in own and corrections.stands(given.id)
    ]
    first = _opened_first(plant, opened)
    apart = [p for p in plant.plant.periods if p.is_put_apart and p.id > first]
    answers = _answers_since(first, plant, course.zones_at_hand())
    steps = [mark for mark in plant.plant.marks if mark.step_id is not None and mark.id > first]
    entries: list[Entry] = [
        *tallies, *stages, *plant.signs_of(opened.id), *answers, *apart, *steps,
    ]  # fmt: skip
    if not entries:
        return None
    last = max(entries, key=lambda entry: entry.id)
    return _Newest(last, _burst_before(tallies) if isinstance(last, EffectiveTally) else ())


def _opened_first(plant: PlantAtHand, opened: OpenLook) -> int:
    """The id under which this zone was opened, or opened for the first time."""
    corrections = Corrections(plant.today_entries.withdrawals)
    before = [k.id for k in plant.today_entries.looks if corrections.heir(k.id) == opened.id]
    return min([opened.id, *before])


def _answers_since(first: int, plant: PlantAtHand, zones: Sequence[str]) -> list[Withdrawal]:
    """Doubts settled while these zones were open; of one opened again, since its first time."""
    withdrawals = plant.record.entries.withdrawals
    corrections = Corrections(withdrawals)
    zone_of = {t.id: look.zone for look in plant.past for t in look.tallies}
    return [
        entry
        for entry in withdrawals
        if entry.why in VERDICTS
        and entry.id > first
        and corrections.stands(entry.id)
        and zone_of.get(entry.target_id) in zones
    ]


def _burst_before(tallies: Sequence[EffectiveTally]) -> tuple[EffectiveTally, ...]:
    """The newest tally and those before it that the same held key made, newest first."""
    newest_first = sorted(tallies, key=lambda tally: tally.id, reverse=True)
    found = newest_first[:1]
    for tally in newest_first[1:]:
        last = found[-1]
        is_other = (tally.kind, tally.pest) != (last.kind, last.pest)
        if is_other or last.at_ms - tally.at_ms > HELD_KEY_MS:
            break
        found.append(tally)
    return tuple(found)


def _taken_step(mark: CourseMark, plant: PlantAtHand) -> TakenBack:
    """That a step was done, at all plants at which that was said in one go."""
    logbook = plant.record.logbook
    names = entered_together(logbook, EntryName(DONE, mark.day, mark.plant_id, mark.id))
    known = logbook.collection().plants
    codes = codes_text(known[name.owner_id].code for name in names)
    return TakenBack(words.say("round.said.took-step", codes=codes), mark=mark, together=names)


def _said_tally(kind: str, count: int, zone: str, *, whole: bool) -> str:
    kind_text = words.say(f"round.kinds.{kind}")
    if whole:
        seen = words.say("plant.entry.counted", count=count, kind=kind_text)
        return words.say("bench.took-seen", seen=seen)
    return words.say("round.said.took-count", kind=kind_text, count=count, zone=zone_name(zone))


def _said_sign(kind: str, zone: str, *, whole: bool) -> str:
    sign = words.say(f"bench.signs.{kind}")
    if whole:
        return words.say("bench.took-seen", seen=sign)
    return words.say("bench.took-sign", sign=sign, zone=zone_name(zone))

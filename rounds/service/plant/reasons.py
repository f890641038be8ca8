"""Why a plant is where it is in the order, in sentences."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.away import Away, Stretch, stretches
from rounds.core.plan.claims import ALIVE, Claim, Exposure
from rounds.core.plan.near import nearness_on
from rounds.core.quarantine.past import SignSeen
from rounds.service.entries.walked import PUT_OFF_BECAUSE, PutOff
from rounds.service.logbook.book import Logbook
from rounds.service.plant.claims import FoundAgain, chance_of_found, found_again, move_out_since
from rounds.service.plant.origins import came_with_infested, cleared_before
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import ago_text, calendar_day, day_month, days_text, in_100


@dataclass(frozen=True, slots=True)
class Reason:
    """Why, as a code and as a sentence."""

    code: str
    text: str
    brief: str = ""
    """the same where there is little room; empty where it is short itself"""


def reason(why: str, /, **values: object) -> Reason:
    """One of the reasons of today."""
    brief = words.section("today.brief").get(why, "").format(**values)
    return Reason(why, words.say(f"today.reasons.{why}", **values), brief)


def put_off_text(put_off: PutOff) -> str:
    """In words: put off to tomorrow (short of time)."""
    what, why = words.say(f"round.put-off.{put_off.until}"), why_put_off_text(put_off)
    return words.say("round.put-off.because", what=what, why=why) if why else what


def why_put_off_text(put_off: PutOff) -> str:
    """Why, in words; empty where nobody said."""
    if put_off.why not in PUT_OFF_BECAUSE:
        return ""
    return words.say(f"round.ask.put-off-why.answers.{1 + PUT_OFF_BECAUSE.index(put_off.why)}")


def reasons_for(record: PlantRecord, claim: Claim | None = None) -> tuple[Reason, ...]:
    """Why a plant is where it is in the order, the weightiest first.

    Args:
        record: of the plant.
        claim: what it is owed; by its log alone where None.
    """
    claim = claim or record.claim_seen
    is_alive = claim.code == ALIVE
    found: list[Reason] = [*_alive(record, claim), *_found_again(record), *_near(record)]
    if record.standing in ("quarantine", "watch"):
        found.append(_why_standing(record))
    if move_out_since(record) is not None:
        found.append(reason("move-out"))
    if record.last_find_on is not None and found_lately(record) and not is_alive:
        found.append(reason("found-lately", day=day_month(record.last_find_on, record.on)))
    if record.signs_lately:
        found.append(Reason("signs", _sign_text(record, record.signs_lately[-1])))
    cleared = cleared_before(record)
    if cleared and (record.standing == "quarantine" or found_lately(record)):
        found.append(Reason("cleared-before", cleared.text))
    came_with = came_with_infested(record)
    if came_with:
        found.append(Reason("came-with-infested", came_with))
    if record.open_doubts:
        first = record.open_doubts[0].day
        found.append(reason("open-doubts", day=day_month(first, record.on)))
    found += _unseen(record)
    return tuple(found) or (reason("seen-today"),)


def _alive(record: PlantRecord, claim: Claim) -> Iterator[Reason]:
    """Insects are known to live on it, or the sums still say so."""
    last = record.last_find_on
    if claim.code != ALIVE or last is None:
        return
    within = record.table.planning.claims.alive_days
    if claim.is_probable:
        chance = in_100(chance_of_found(record))
        text = words.say("today.alive.probable", chance=chance, ago=ago_text(last, record.on))
        yield Reason("probably-infested", text, words.say("today.alive.probable-brief"))
        return
    if (record.on - last).days <= within:
        text = words.say("today.alive.found", ago=ago_text(last, record.on))
    else:
        text = words.say("today.alive.left", day=day_month(last, record.on))
    yield Reason("found-lately", text)


def _found_again(record: PlantRecord) -> Iterator[Reason]:
    """Insects are found on it again and again, and nobody has looked at its roots since."""
    again = found_again(record)
    if again.is_asked(record.on):
        yield Reason("found-again", found_again_text(again))


def found_again_text(again: FoundAgain) -> str:
    """In words: insects found again and again for 24 days; unpot, check roots."""
    return words.say("today.reasons.found-again", days=days_text(again.days))


def fully_checked_on(record: PlantRecord) -> date | None:
    """The last day enough of it was seen for any of its pests, whichever was followed then."""
    days = (each.last_complete_look_on for each in record.each_pest)
    return max((day for day in days if day is not None), default=None)


def _unseen(record: PlantRecord) -> Iterator[Reason]:
    """When it was fully checked last, where that is not today, and briefly since."""
    seen, briefly = fully_checked_on(record), record.known.gone_over_on
    if seen == record.on:
        return
    code = "never-seen" if seen is None else "unseen"
    text = unseen_text(record)
    brief = "" if seen is None else _since_text(seen, record.on)
    if briefly is not None and (seen is None or briefly > seen):
        is_one_day = seen is not None and (record.on - seen).days == 1
        said = "unseen-one-day" if is_one_day else code
        ago, days = ago_text(briefly, record.on), days_text(unseen_days(record))
        text, brief = words.say(f"today.briefly.{said}", ago=ago, days=days), brief or text
    yield Reason(code, text, brief)


def _near(record: PlantRecord) -> Iterator[Reason]:
    """It was near a find, and nobody has gone over it since."""
    met = record.claim_seen.exposure
    if met is not None:
        day = day_month(met.found_on, record.on)
        near = reason(f"near-{met.how}", code=met.code, day=day)
        if _is_so_still(record, met):
            yield near
        else:
            text = words.say(f"today.stood.{met.how}", code=met.code, day=day)
            brief = words.say("today.stood.brief", code=met.code, day=day)
            yield Reason(near.code, text, brief)


def _is_so_still(record: PlantRecord, met: Exposure) -> bool:
    """Whether an infested plant stands as near as it did when it was found on."""
    found = record.logbook.collection()
    other = found.plant(met.code)
    if other is None or other.gone(record.on) is not None:
        return False
    return nearness_on(other, record.plant, record.on, found.places) == met.how


def _why_standing(record: PlantRecord) -> Reason:
    watched = record.lived.watched_for(record.on) if record.standing == "watch" else None
    if watched is not None:
        how, code = watched
        day = calendar_day(record.standing_since, record.on)
        return reason(f"standing-{how}", day=day, code=code)
    days = (record.on - record.standing_since).days
    stands = f"standing-{record.standing}"
    text = words.say(f"today.reasons.{stands}" if days else f"today.reasons.{stands}-today",
                     days=days_text(days))  # fmt: skip
    return Reason(stands, text)


def _sign_text(record: PlantRecord, sign: SignSeen) -> str:
    """A sign in words: ants were seen at the axils on 4 May."""
    code = "signs-today" if sign.day == record.on else "signs-seen"
    return words.say(
        f"bench.{code}.{sign.kind}",
        zone=words.say(f"zones.{sign.zone}.name"),
        day=day_month(sign.day, record.on),
    )


def away_between(logbook: Logbook, after: date, on: date) -> Stretch | None:
    """The newest days away that are over on a day and reach beyond an earlier one."""
    met = [found for found in stretches(logbook.collection().away) if after < found.last_day < on]
    return met[-1] if met else None


def unseen_text(record: PlantRecord) -> str:
    """When a plant was last seen whole before its day, or that nobody was there since."""
    seen, on = fully_checked_on(record), record.on
    if seen is None:
        return words.say("today.reasons.never-seen")
    met = away_between(record.logbook, seen, on)
    if met is None:
        return _since_text(seen, on)
    return words.say("away.unseen", days=days_text((on - seen).days), away=stretch_text(met, on))


def _since_text(seen: date, on: date) -> str:
    days = (on - seen).days
    code = "unseen-one-day" if days == 1 else "unseen"
    return words.say(f"today.reasons.{code}", days=days_text(days))


def stretch_text(stretch: Stretch | Away, on: date) -> str:
    """A stretch in words: 4 to 14 May; 28 April to 14 May."""
    first, last = stretch.first_day, stretch.last_day
    if first == last:
        return words.say("away.one-day", day=calendar_day(last, on))
    same_month = (first.year, first.month) == (last.year, last.month)
    begins = str(first.day) if same_month else calendar_day(first, on)
    return words.say("away.span", first=begins, last=calendar_day(last, on))


def unseen_days(record: PlantRecord) -> int:
    """Days since it was last seen whole, or since it came."""
    seen = fully_checked_on(record) or record.lived.first_day
    return (record.on - seen).days


def found_lately(record: PlantRecord) -> bool:
    """Found alive within the days that still count as recent."""
    found = record.last_find_on
    recent = record.table.inspection.recent_find_days
    return found is not None and (record.on - found).days <= recent

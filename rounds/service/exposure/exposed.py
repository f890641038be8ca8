"""After a find: who stood near the plant since it was last fully checked and clean."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.lineage import lives_of
from rounds.core.plan.claims import NEAREST, Exposed
from rounds.core.plan.near import nearness_on
from rounds.core.plan.stood_near import Stood, nearest, stood_near
from rounds.service.exposure.emptied import EmptiedSpot, spots_left
from rounds.service.exposure.spell import Spell, spell_of
from rounds.service.inference.day import CollectionDay, collection_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus, seen_status, with_band, with_figures
from rounds.service.plant.status_text import where_text
from rounds.words.forms import calendar_day, day_month

GIVEN_AWAY = "given-away"


@dataclass(frozen=True, slots=True)
class ExposedPlant:
    """A plant that stood near one with insects."""

    status: PlantStatus
    how: Exposed
    """the nearest it stood"""
    stood: tuple[Stood, ...]
    """oldest first"""
    is_near_now: bool
    gone_on: date | None
    """the day it was given away"""
    is_watched: bool
    """on watch already as it touched or stood near this plant"""

    @property
    def first(self) -> date:
        """The first day it stood near."""
        return self.stood[0].first

    @property
    def last(self) -> date:
        """The last day it stood near, of those asked about."""
        return max(stood.last for stood in self.stood)

    @property
    def may_be_watched(self) -> bool:
        """It is here, not in quarantine, and not watched for this yet."""
        is_here = self.status.standing in ("collection", "watch")
        return is_here and not self.is_watched


@dataclass(frozen=True, slots=True)
class ExposureList:
    """Who was exposed to the finds on a plant, at the end of a day."""

    on: date
    code: str
    spell: Spell
    plants: tuple[ExposedPlant, ...]
    """the nearest first; those given away last"""
    emptied: tuple[EmptiedSpot, ...]
    """where it stood with insects and stands no more"""

    @property
    def to_watch(self) -> tuple[ExposedPlant, ...]:
        """Those that one call puts on watch."""
        return tuple(plant for plant in self.plants if plant.may_be_watched)


StatusOf = Callable[[PlantRecord], PlantStatus]


def figured(record: PlantRecord) -> PlantStatus:
    """The status of a plant with its chance clean and its band, worked out where not kept."""
    return with_band(record, with_figures(record, seen_status(record)))


def exposure_to(
    logbook: Logbook,
    code: str,
    on: date,
    found_on: date | None = None,
    status_of: StatusOf = figured,
) -> ExposureList:
    """Who stood near a plant since its last clean full check before a find.

    The finds are those that follow each other up to the day given, the last ones by default.
    Plants discarded or dead are left out. Refused where nothing was found on it, BadInput where
    nothing was on that day.

    Args:
        logbook: of the plants.
        code: of the plant with insects.
        on: the day asked about.
        found_on: a day on which something was found on it.
        status_of: the status of a plant as it is wanted.
    """
    plant = find_plant(logbook, code)
    day = collection_on(logbook, on)
    spell = spell_of(day.record(plant.id), found_on)
    found = sorted(_exposed(day, spell, status_of), key=_order)
    return ExposureList(on, plant.code, spell, tuple(found), spots_left(spell))


def _exposed(day: CollectionDay, spell: Spell, status_of: StatusOf) -> Iterator[ExposedPlant]:
    source = spell.lives
    for other in day.came.values():
        gone = other.plant.gone(day.on)
        if other.plant.id == spell.record.plant.id or gone not in (None, GIVEN_AWAY):
            continue
        lives = lives_of(other.plant, day.plants, day.on)
        stood = stood_near(source, lives, spell.since, spell.until, day.places)
        if stood:
            yield _found(day, spell, other, stood, status_of(other))


def _found(
    day: CollectionDay,
    spell: Spell,
    other: PlantRecord,
    stood: tuple[Stood, ...],
    status: PlantStatus,
) -> ExposedPlant:
    source = spell.record.plant
    are_here = source.gone(day.on) is None and other.plant.gone(day.on) is None
    near = nearness_on(source, other.plant, day.on, day.places) if are_here else None
    gone = [f.from_day for f in other.plant.facts if f.what == "gone" and f.from_day <= day.on]
    return ExposedPlant(
        status=status,
        how=nearest(stood),
        stood=stood,
        is_near_now=near is not None,
        gone_on=gone[-1] if gone else None,
        is_watched=_is_watched(spell, other),
    )


def _is_watched(spell: Spell, other: PlantRecord) -> bool:
    watched = other.lived.watched_for(other.on) if other.standing == "watch" else None
    is_of_it = watched is not None and watched[1] == spell.record.plant.code
    return is_of_it and other.standing_since >= spell.last_find


def _order(found: ExposedPlant) -> tuple[bool, int, int, str]:
    code = found.status.code.casefold()
    return found.gone_on is not None, NEAREST.index(found.how), -found.last.toordinal(), code


def exposed_text(found: ExposedPlant, on: date) -> str:
    """How near and when, and where it is now: stood beside it 1 to 5 May; now at stair foot."""
    near = words.say(f"exposure.near.{found.how}", span=_span(found, on))
    if found.gone_on is not None:
        after = words.say("exposure.given-away", day=calendar_day(found.gone_on, on))
    elif found.is_near_now:
        after = words.say("exposure.still")
    else:
        after = words.say("exposure.now-at", where=where_text(found.status))
    return words.say("exposure.then", near=near, after=after)


def _span(found: ExposedPlant, on: date) -> str:
    """The days on which it stood nearest."""
    nearest_days = [stood for stood in found.stood if stood.how == found.how]
    first, last = calendar_day(nearest_days[0].first, on), calendar_day(nearest_days[-1].last, on)
    if first == last:
        return words.say("exposure.on-day", day=first)
    return words.say("exposure.from-to", first=first, last=last)


def lead_text(found: ExposureList) -> str:
    """Since when others were exposed, and to what."""
    spell, on = found.spell, found.on
    arrived = spell.record.plant.fact("arrived", on)
    since = "checked" if spell.is_checked else "came" if arrived else "begun"
    return words.say(
        f"exposure.lead.{since}",
        code=found.code,
        found=day_month(spell.last_find, on),
        since=calendar_day(spell.since, on),
    )

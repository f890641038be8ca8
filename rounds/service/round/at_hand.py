"""The plant the grower has in front of them: its past read once, today read after every press."""

from collections import Counter
from dataclasses import dataclass
from datetime import date

from rounds.core.log.effective import EffectiveLook, EffectiveSign, EffectiveTally, effective_log
from rounds.core.quarantine.days import (
    SECONDS_LOST,
    credited_seconds,
    is_complete,
    open_doubts,
    zones_seen,
)
from rounds.core.quarantine.past import OpenDoubt, PestPast, ZonePast, gone_on, told_by
from rounds.core.quarantine.streak import Streak, clean_streak
from rounds.service.logbook.book import Logbook
from rounds.service.plan.planning import needs_hygiene
from rounds.service.plant.record import DayOfPlants, PlantRecord
from rounds.service.plant.status import PlantStatus, seen_status
from rounds.store import log


@dataclass(frozen=True, slots=True)
class SeenBefore:
    """Insects at a zone when it was last looked at: left there alive, or killed in place."""

    day: date
    count: int


class PlantAtHand:
    """One plant during a round."""

    def __init__(self, logbook: Logbook, plant_id: int, collection: DayOfPlants) -> None:
        self._logbook = logbook
        self._collection = collection
        self.day = collection.on
        self._plant_id = plant_id
        self._counting: str | None = None
        """the pest of the next counts, where another was chosen than the first"""
        self.reload()

    def reload(self) -> None:
        """Read everything again: an answer has changed the past."""
        plant = self._logbook.collection().plants[self._plant_id]
        # what other plants tell stays as it was when the round began
        self._whole = self._collection.read_anew(plant)
        self.plant = plant
        self.body = self._whole.body
        self._past_looks: dict[str, tuple[EffectiveLook, ...]] = {}
        self._regarded: dict[str, PlantRecord] = {}
        self.count_for(self._counting or self.first_pest)
        self.status: PlantStatus = seen_status(self.record)
        own = {look.id for look in self._read_today()}
        self._inherited = tuple(look for look in self.record.today if look.id not in own)
        """what was seen today of the plant it was divided from is past too"""
        self.refresh()

    @property
    def first_pest(self) -> str:
        """The pest that is counted unless another is chosen."""
        return self._whole.pests[0]

    def count_for(self, pest: str) -> None:
        """The next counts are of a pest, and the figures are those of it."""
        self.pest, self._counting = pest, pest if pest != self.first_pest else None
        if pest not in self._regarded:
            is_only = self._whole.pests == (pest,)
            self._regarded[pest] = self._whole if is_only else self._whole.regarding(pest)
        self.record = self._regarded[pest]

    def count_next_pest(self) -> None:
        """The next counts are of the next pest: those followed, or found today, come first."""
        here = (*self._whole.pests, *self._known.pests)
        pests = tuple(dict.fromkeys((*here, *self.record.table.pests)))
        self.count_for(pests[(pests.index(self.pest) + 1) % len(pests)])

    def refresh(self) -> None:
        """Read what was entered about today."""
        self.today = self._read_today()
        reader = self.record.reader({self._plant_id: self.today_entries})
        looks = (*self._inherited, *self.today)
        self._known = gone_on(self.record.past, looks, self.day, reader)

    def _read_today(self) -> tuple[EffectiveLook, ...]:
        self.today_entries = log.entries_of(self._logbook.file, self._plant_id, self.day, self.day)
        return effective_log(self.today_entries, self.day)

    @property
    def past(self) -> tuple[EffectiveLook, ...]:
        """The looks of earlier days that any sum reads, read when the first is asked for."""
        return self._past_of(self._whole)

    @property
    def past_of_pest(self) -> tuple[EffectiveLook, ...]:
        """The same for the pest that is counted: one that is followed since today has none."""
        return self._past_of(self.record)

    def _past_of(self, record: PlantRecord) -> tuple[EffectiveLook, ...]:
        if record.pest not in self._past_looks:
            read = record.likely.facts.looks
            earlier = tuple(look for look in read if look.day < self.day)
            self._past_looks[record.pest] = (*earlier, *self._inherited)
        return self._past_looks[record.pest]

    @property
    def streak(self) -> Streak:
        """The clean streak as it stands after the last press."""
        known = self._known.pests.get(self.pest, PestPast())
        older = known.older_looks, known.older_began_on
        rules = self._logbook.rules(self.pest, self.day)
        return clean_streak(known.days, self.day, rules, older=older)

    def looks_at(self, zone: str) -> list[EffectiveLook]:
        """Today's looks at a zone, in whatever round."""
        return [look for look in self.today if look.zone == zone]

    def look_of(self, look_id: int) -> EffectiveLook | None:
        """Today's look of an id; None while nothing is written of it."""
        return next((look for look in self.today if look.id == look_id), None)

    def tallies_of(self, look_id: int) -> tuple[EffectiveTally, ...]:
        """What was counted at a look of today."""
        look = self.look_of(look_id)
        return look.tallies if look else ()

    def signs_of(self, look_id: int) -> tuple[EffectiveSign, ...]:
        """What was seen at a look of today without an insect."""
        look = self.look_of(look_id)
        return look.signs if look else ()

    def is_second(self, look_id: int) -> bool:
        """Whether a look of today is the second in a row at its zone."""
        look = self.look_of(look_id)
        return look is not None and look.second_to is not None

    def tallies_at(self, zone: str) -> list[EffectiveTally]:
        """Today's counts at a zone."""
        return [tally for look in self.looks_at(zone) for tally in look.tallies]

    def credited_seconds(self, zone: str) -> float:
        """Seconds of today's closed looks at a zone that count as looking."""
        reference = self.body.as_planned(zone).reference_seconds
        inspection = self.record.table.inspection
        return sum(credited_seconds(look, reference, inspection) for look in self.looks_at(zone))

    def is_short(self, zone: str) -> bool:
        """Whether a zone has not had the least that counts as seen."""
        least = self.body.as_planned(zone).reference_seconds
        share = self.record.table.inspection.seen_from
        return self.credited_seconds(zone) < least * share - SECONDS_LOST

    @property
    def is_fully_checked(self) -> bool:
        """Whether the looks of today are a complete one, as the record has it."""
        doubts = open_doubts(self.today, self.record.pest)
        inspection = self.record.table.inspection
        seen = zones_seen(self.day, self.today, self.body, doubts, inspection)
        return is_complete(seen, self.body, inspection)

    def last_look_at(self, zone: str) -> date | None:
        """The last day before today on which a zone was looked at."""
        return self._zone_past(zone).looked_on

    def _zone_past(self, zone: str) -> ZonePast:
        known = self.record.past.zones.get(zone, ZonePast())
        return told_by(known, self.day, [k for k in self._inherited if k.zone == zone])

    def live_today(self) -> int:
        """Insects found alive today, on all zones."""
        return sum(look.live() for look in self.today)

    def needs_hygiene(self) -> bool:
        """Whether hands and tools are cleaned when the walk leaves it."""
        return needs_hygiene(self.record, found_now=self.live_today() > 0)

    def open_doubt_at(self, zone: str) -> OpenDoubt | None:
        """The oldest doubt of an earlier day at a zone."""
        doubts = (d for d in self.record.past.doubts if d.own and d.zone == zone)
        return next(doubts, None)

    def killed_at(self, zone: str) -> SeenBefore | None:
        """What was killed in place when a zone was last looked at, and may still hang there."""
        inspection = self.record.table.inspection
        past = self._zone_past(zone)
        seen = _seen(past, past.killed)
        return seen if seen and (self.day - seen.day).days <= inspection.bodies_days else None

    def left_there_at(self, zone: str) -> SeenBefore | None:
        """What was left at a zone when it was last looked at, and is not yet answered for today."""
        if any(tally.is_live for tally in self.tallies_at(zone)):
            return None
        past = self._zone_past(zone)
        return _seen(past, past.left)

    def left_pest_at(self, zone: str) -> str:
        """The pest of what was left at a zone; of several, the one of which most were."""
        told_on, left = self._zone_past(zone).told_on, Counter[str]()
        for look in self.past if len(self._whole.pests) > 1 else ():
            for tally in look.tallies if (look.zone, look.day) == (zone, told_on) else ():
                left[tally.pest] += tally.count if tally.kind == "left" else 0
        return max(left, key=lambda pest: left[pest], default=self.first_pest)


def _seen(past: ZonePast, count: int) -> SeenBefore | None:
    return SeenBefore(past.told_on, count) if past.told_on is not None and count else None

"""The plant the grower has in front of them: its past read once, today read after every press."""

from dataclasses import dataclass
from datetime import date, timedelta

from rounds.core.log.effective import StandingLook, StandingTally, effective_log
from rounds.core.log.entries import PlantEntries
from rounds.core.quarantine.days import SECONDS_LOST, DayLooked, credited_seconds, days_looked
from rounds.core.quarantine.streak import Streak, clean_streak
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook.book import Logbook
from rounds.service.plan.planning import needs_hygiene
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus, seen_status
from rounds.service.round.reasons import NOT_ANSWERED
from rounds.store import log


@dataclass(frozen=True, slots=True)
class SeenBefore:
    """Insects at a zone when it was last looked at: left there alive, or killed in place."""

    day: date
    count: int


class PlantAtHand:
    """One plant during a round."""

    def __init__(self, logbook: Logbook, plant_id: int, collection: CollectionDay) -> None:
        self._logbook = logbook
        self._collection = collection
        self.day = collection.on
        self._plant_id = plant_id
        self.reload()

    def reload(self) -> None:
        """Read everything again: an answer has changed the past."""
        plant = self._logbook.collection().plants[self._plant_id]
        # what the others tell is taken as it was when the round began
        self.record = PlantRecord(self._logbook, plant, self.day, day=self._collection)
        self.plant = plant
        self.body = self.record.body
        self.pest = self.record.pest
        self.status: PlantStatus = seen_status(self.record)
        # what was seen today of the plant it was divided from is past too
        own = tuple(look for look in self.record.own_log if look.day < self.day)
        self.past = (*self.record.inherited, *own)
        self._past_days = tuple(d for d in self.record.days_by_pest[self.pest] if d.day < self.day)
        self.today_entries: PlantEntries = PlantEntries()
        self.refresh()

    def refresh(self) -> None:
        """Read what was entered about today."""
        self.today_entries = log.entries_of(self._logbook.file, self._plant_id, self.day, self.day)
        self.today = effective_log(self.today_entries, self.day)
        # doubts of the last days may make one of today count as live
        inspection = self._logbook.parameters.inspection
        recent = self.day - timedelta(inspection.doubts_within_days)
        window = tuple(look for look in self.past if look.day >= recent) + self.today
        looked = days_looked(window, self.record.body_on, self.pest, inspection)
        self._days: tuple[DayLooked, ...] = self._past_days + tuple(
            d for d in looked if d.day == self.day
        )

    @property
    def streak(self) -> Streak:
        """The clean streak as it stands after the last press."""
        return clean_streak(self._days, self.day, self._logbook.rules())

    def looks_at(self, zone: str) -> list[StandingLook]:
        """Today's looks at a zone, in whatever round."""
        return [look for look in self.today if look.zone == zone]

    def tallies_at(self, zone: str) -> list[StandingTally]:
        """Today's counts at a zone."""
        return [tally for look in self.looks_at(zone) for tally in look.tallies]

    def credited_seconds(self, zone: str) -> float:
        """Seconds of today's closed looks at a zone that count as looking."""
        reference = self.body.zone(zone).reference_seconds
        inspection = self._logbook.parameters.inspection
        return sum(credited_seconds(look, reference, inspection) for look in self.looks_at(zone))

    def is_short(self, zone: str) -> bool:
        """Whether a zone has not had the least that counts as seen."""
        least = self.body.zone(zone).reference_seconds
        share = self._logbook.parameters.inspection.seen_from
        return self.credited_seconds(zone) < least * share - SECONDS_LOST

    def last_look_at(self, zone: str) -> date | None:
        """The last day before today on which a zone was looked at."""
        days = [look.day for look in self.past if look.zone == zone and look.outcome == "looked"]
        return max(days, default=None)

    def live_today(self) -> int:
        """Insects found alive today, on all zones."""
        return sum(look.live() for look in self.today)

    def needs_hygiene(self) -> bool:
        """Whether hands and tools are cleaned when the walk leaves it."""
        return needs_hygiene(self.record, found_now=self.live_today() > 0)

    def open_doubt_at(self, zone: str) -> tuple[StandingLook, StandingTally] | None:
        """The oldest doubt of an earlier day at a zone, with its look."""
        for look in self.record.own_log:
            if look.zone == zone and look.day < self.day:
                for tally in look.tallies:
                    if tally.is_open_doubt:
                        return look, tally
        return None

    def killed_at(self, zone: str) -> SeenBefore | None:
        """What was killed in place when a zone was last looked at, and may still hang there."""
        inspection = self._logbook.parameters.inspection
        seen = self._last_seen(zone, "killed")
        return seen if seen and (self.day - seen.day).days <= inspection.bodies_days else None

    def left_there_at(self, zone: str) -> SeenBefore | None:
        """What was left at a zone when it was last looked at, and is not yet answered for today."""
        if any(tally.is_live for tally in self.tallies_at(zone)):
            return None
        return self._last_seen(zone, "left")

    def _last_seen(self, zone: str, kind: str) -> SeenBefore | None:
        """What was counted as a kind on the last day before today a zone was looked at."""
        looks = [
            look
            for look in self.past
            if look.zone == zone and look.reason != NOT_ANSWERED
            and (look.outcome == "looked" or look.tallies)
        ]  # fmt: skip
        if not looks:
            return None
        # a zone may have been looked at twice that day
        last = [look for look in looks if look.day == looks[-1].day]
        count = sum(t.count for look in last for t in look.tallies if t.kind == kind)
        return SeenBefore(looks[-1].day, count) if count else None

"""Where a plant stands at the end of a day: the record every screen and command speaks from."""

from collections.abc import Generator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Protocol

from rounds.core.away import Stretch, stretches
from rounds.core.body import Body
from rounds.core.changes import ChangedValue
from rounds.core.collection import Plant
from rounds.core.estimates.own_detection import OwnDetection
from rounds.core.lineage import Divided, divisions_of, origin_of
from rounds.core.log.effective import EffectiveLook
from rounds.core.log.entries import PlantEntries
from rounds.core.log.lived import lived_log
from rounds.core.parameters import Biology, Parameters, QuarantineRules
from rounds.core.plan.claims import Claim
from rounds.core.plan.near import Find
from rounds.core.plan.score import PlantRisk
from rounds.core.quarantine.criteria import Criterion, QuarantineHistory, clocks_from, judge
from rounds.core.quarantine.days import DayLooked, days_looked
from rounds.core.quarantine.past import OpenDoubt, Past, PestPast, Reader, SignSeen, gone_on
from rounds.core.quarantine.streak import Streak, clean_streak
from rounds.core.quarantine.watch import watch_ends
from rounds.service.courses.standing import CourseRunning, running
from rounds.service.entries.of_plant import EnteredOfPlant
from rounds.service.inference.older_days import reader_of, telling_own
from rounds.service.inference.result import PlantResult
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.temperatures import Temperatures
from rounds.service.pests.binding import binding_pest

if TYPE_CHECKING:
    # imported for types alone, as most calls need no forecast
    from rounds.core.quarantine.forecast import Forecast


Steps = Generator[None, None, "Forecast | None"]


class DayOfPlants(Protocol):
    """What records and their readers need from the day (`CollectionDay`)."""

    on: date
    logbook: Logbook
    temperatures: Temperatures

    @property
    def plants(self) -> Mapping[int, Plant]:
        """All plants, by id."""

    @property
    def table(self) -> Parameters:
        """The values that hold on the day, with what the grower changed by then."""

    @property
    def parameters(self) -> Parameters:
        """The table, with what the grower is known to find."""

    @property
    def changed_values(self) -> tuple[ChangedValue, ...]:
        """The values that the grower changed by then."""

    @property
    def own_detection(self) -> OwnDetection:
        """What the grower finds, and how that is known."""

    @property
    def records(self) -> Mapping[int, "PlantRecord"]:
        """Every plant that is here, by id."""

    def record(self, plant_id: int) -> "PlantRecord":
        """One plant."""

    def read_anew(self, plant: Plant) -> "PlantRecord":
        """One plant as the file has it now, whatever was read of it before."""

    def came_with(self, record: "PlantRecord") -> list["PlantRecord"]:
        """Those that came on the same day from the same source."""

    def told_by_mates(self, record: "PlantRecord", pest: str) -> float | None:
        """Chance that it came infested, by the logs of those it came with."""

    def found_nearby(self, record: "PlantRecord", since: date) -> list["PlantRecord"]:
        """Other plants on which insects were found after a day, and from which they may come."""

    @property
    def live_finds(self) -> Sequence[Find]:
        """The plants on which insects are known to live, and when they were found."""

    def claim(self, record: "PlantRecord", *, by_sums: bool) -> Claim:
        """What a plant is owed, by its log alone or by what the sums say of it too."""

    def result(self, record: "PlantRecord", pest: str) -> PlantResult:
        """What the log says of a plant."""

    def arrivals(self, record: "PlantRecord", pest: str) -> Mapping[date, float]:
        """Crawlers expected from infested plants near it, by day."""

    def near_now(self, record: "PlantRecord", pest: str) -> "Sequence[PlantRecord]":
        """The plants near it now on which a pest was ever found."""

    def arrivals_by_source(
        self, record: "PlantRecord", pest: str
    ) -> Mapping[int, Mapping[date, float]]:
        """Crawlers expected from each neighbour, by its id and by day."""

    def forecast_in_steps(self, record: "PlantRecord") -> Steps:
        """When it may leave quarantine."""

    def forecast_is_kept(self, record: "PlantRecord") -> bool:
        """Whether the days of its forecast are kept, or it has none."""


class PlantRecord(EnteredOfPlant):
    """All that is known of one plant at the end of `on`. Computed when asked for, then kept."""

    def __init__(
        self, day: DayOfPlants, plant: Plant, past: Past, entered: Mapping[int, PlantEntries]
    ) -> None:
        """
        Args:
            day: the day it is of.
            plant: which.
            past: what the days before amount to.
            entered: about the day itself, of the plant and of those it was divided from.
        """
        super().__init__(day.logbook, day, plant, day.on)
        self.day = day
        self.past = past
        self.temperatures = day.temperatures
        self.own_keys: dict[str, str] = {}
        """by pest, the digest of all that was entered about it; memoised by `CollectionDay`"""
        self._entered = entered
        self._reader = reader_of(day.logbook, plant, self.lived, day.on)
        self._body_on = self._reader.body_on

    @property
    def table(self) -> Parameters:
        """The values that hold on the day, with what the grower changed by then."""
        return self.day.table

    @property
    def parameters(self) -> Parameters:
        """The table, with what the grower is known to find: what all sums run on."""
        return self.day.parameters

    @cached_property
    def today(self) -> tuple[EffectiveLook, ...]:
        """The looks of the day itself that stand, in their order."""
        looks = lived_log(self.plant, self.day.plants, self._entered, self.on)
        return tuple(look for look in looks if look.day == self.on)

    @cached_property
    def known(self) -> Past:
        """The past up to the end of the day itself."""
        return gone_on(self.past, self.today, self.on, self.reader(self._entered))

    def reader(self, entries: Mapping[int, PlantEntries]) -> Reader:
        """The reader of its looks, told by `entries` which looks are at this very plant."""
        return telling_own(self._reader, self.plant, entries)

    @cached_property
    def parent(self) -> "PlantRecord | None":
        """The plant it was divided from."""
        origin = origin_of(self.plant)
        return None if origin is None else self.day.record(origin.parent_id)

    @cached_property
    def divisions(self) -> tuple[Divided, ...]:
        """Every division in its life up to the day, oldest first."""
        return tuple(d for d in divisions_of(self.plant, self.day.plants) if d.day <= self.on)

    def with_less_said(self, plant: Plant) -> "PlantRecord":
        """The record of the same plant with fewer facts, as said up to some day."""
        return PlantRecord(self.day, plant, self.past, self._entered)

    # what follows from it

    @cached_property
    def body(self) -> Body:
        """Form, size and zones as they are now."""
        return self._body_on(self.on)

    def body_on(self, day: date) -> Body:
        """Form, size and zones as they were on a day."""
        return self._body_on(day)

    @cached_property
    def pests(self) -> tuple[str, ...]:
        """The pests the plant is followed for: those said, then those found besides."""
        return tuple(dict.fromkeys((*self._reader.pests, *self.known.pests)))

    def since(self, pest: str) -> date:
        """From which day on it is followed for a pest; of one that is not yet, from today on."""
        said = self._reader.pests.get(pest, self.on)
        found = self.known.pests[pest].live_on[:1] if pest in self.known.pests else ()
        return min((said, *found))

    def regarding(self, pest: str) -> "PlantRecord":
        """The same plant as if the pest were the one that binds; itself where it is."""
        if self.__dict__.get("pest") == pest:
            return self
        record = PlantRecord(self.day, self.plant, self.past, self._entered)
        record.known, record.pest = self.known, pest
        return record

    @cached_property
    def others(self) -> tuple["PlantRecord", ...]:
        """The same plant with regard to each of its other pests."""
        return tuple(self.regarding(pest) for pest in self.pests if pest != self.pest)

    def of_pest(self, pest: str) -> PestPast:
        """What the days looked at say about one pest; nothing of one that is not followed.

        Insects seen on it when it came are a find of that day, though nobody counted them.
        """
        known, seen_on = self.known.pests.get(pest, PestPast()), self.insects_seen_on
        if seen_on is None or seen_on in known.live_on or self.since(pest) > seen_on:
            return known
        return replace(known, live_on=(seen_on, *known.live_on))

    @cached_property
    def insects_seen_on(self) -> date | None:
        """The day it came, where insects were seen on it that nobody counted."""
        return self.lived.first_day if self.lived.insects_seen(self.on) else None

    @cached_property
    def live_on(self) -> tuple[date, ...]:
        """Every day on which anything was found alive, in order."""
        return tuple(sorted({day for pest in self.pests for day in self.of_pest(pest).live_on}))

    def days(self, pest: str) -> tuple[DayLooked, ...]:
        """The days looked at lately, as far back as they stand one by one."""
        return self.of_pest(pest).days

    @cached_property
    def pest(self) -> str:
        """The pest that binds."""
        return binding_pest(self)

    @property
    def rules(self) -> QuarantineRules:
        """The criteria of the pest that binds, by the setting chosen."""
        return self.logbook.rules(self.pest, self.on)

    @property
    def biology(self) -> Biology:
        """The biology of the pest that binds."""
        return self.logbook.biology(self.pest, self.on)

    def streak_for(self, pest: str) -> Streak:
        """The clean streak with regard to one pest."""
        known = self.of_pest(pest)
        older = known.older_looks, known.older_began_on
        return clean_streak(known.days, self.on, self.logbook.rules(pest, self.on), older=older)

    @cached_property
    def streak(self) -> Streak:
        """The clean streak with regard to the pest that binds."""
        return self.streak_for(self.pest)

    @cached_property
    def last_find_on(self) -> date | None:
        """The last day on which anything was found alive."""
        return self.live_on[-1] if self.live_on else None

    @cached_property
    def last_look_on(self) -> date | None:
        """The last day any zone was looked at."""
        return self.known.seen_on

    @cached_property
    def last_complete_look_on(self) -> date | None:
        """The last day enough of it was seen for long enough."""
        return self.of_pest(self.pest).complete_on

    @cached_property
    def open_doubts(self) -> tuple[OpenDoubt, ...]:
        """Doubtful specks that wait to be settled, oldest first."""
        # those of the plant it was divided from are settled there
        return tuple(doubt for doubt in self.known.doubts if doubt.own)

    @property
    def signs(self) -> tuple[SignSeen, ...]:
        """Ants, stickiness and soot that were seen without an insect, oldest first."""
        return self.known.signs

    @cached_property
    def signs_lately(self) -> tuple[SignSeen, ...]:
        """The signs of recent days, which bring the plant more attention."""
        within = self.table.inspection.signs_days
        return tuple(sign for sign in self.signs if (self.on - sign.day).days <= within)

    @cached_property
    def watch_until(self) -> date | None:
        """When the watch it was put on last ends; None without one, or beyond reckoning."""
        watched = self.lived.watched_from(self.on)
        if watched is None:
            return None
        ends = [self._watch_ends(watched), *(other._watch_ends(watched) for other in self.others)]
        known = [day for day in ends if day is not None]
        return max(known) if len(known) == len(ends) else None

    def _watch_ends(self, watched: date) -> date | None:
        """When a watch that began on a day ends, for the pest that binds."""
        return watch_ends(
            watched,
            self.biology.watch,
            self.degree_days_between,
            self.temperatures.rate(self.lived, self.on, self.biology.warmth),
            self.on,
        )

    @cached_property
    def standing(self) -> str:
        """In quarantine, on watch, in the collection, or gone. A find alone never changes it."""
        if self.plant.gone(self.on):
            return "gone"
        if self.plant.quarantine(self.on):
            return "quarantine"
        if self.lived.watched_from(self.on) is not None:
            until = self.watch_until
            if until is None or until > self.on:
                return "watch"
        return "collection"

    @cached_property
    def standing_since(self) -> date:
        """The first day of the present standing."""
        if self.standing == "gone":
            return min(f.from_day for f in self.plant.facts if f.what == "gone")
        if (quarantine := self.plant.quarantine(self.on)) is not None:
            return quarantine.began_on
        watched = self.lived.watched_from(self.on)
        if watched is None:
            return self.lived.first_day
        return watched if self.standing == "watch" else (self.watch_until or watched)

    @cached_property
    def history_seen(self) -> QuarantineHistory | None:
        """What the criteria are judged by but the chance clean; None outside quarantine."""
        quarantine = self.plant.quarantine(self.on)
        if quarantine is None:
            return None
        known, began_on = self.of_pest(self.pest), quarantine.began_on
        history = QuarantineHistory(
            # of a pest that is followed only since then, earlier looks say nothing
            began_on=max(began_on, self.since(self.pest)),
            last_live_on=max(known.live_on, default=None),
            days=known.days,
            ever_found=bool(known.live_on),
            chance=None,
            chance_low=None,
            degree_days_between=self.degree_days_between,
            came_on=began_on if quarantine.came_in else self.lived.first_day,
            courses_running=len(self.courses),
            courses_end=tuple(course.ends_on for course in self.courses),
        )
        if known.older_until is None or clocks_from(history, self.on) > known.older_until:
            return history
        # the clocks began before the days that are kept one by one
        inspection = self.table.inspection
        looks = self.looks_from(self.since(self.pest))
        return replace(history, days=days_looked(looks, self._body_on, self.pest, inspection))

    @cached_property
    def courses(self) -> tuple[CourseRunning, ...]:
        """The courses of treatment that run, with the step of each that is due next."""
        return running(self)

    @cached_property
    def history(self) -> QuarantineHistory | None:
        """`history_seen` with the chance clean, and its low end where the rules ask for it."""
        if self.history_seen is None:
            return None
        return replace(
            self.history_seen,
            chance=self.likely.chance_clean,
            chance_low=self.likely.band.low if self.rules.chance_low else None,
        )

    @cached_property
    def likely(self) -> PlantResult:
        """What the log says of what is left, with regard to the pest that binds."""
        return self.day.result(self, self.pest)

    @cached_property
    def each_pest(self) -> tuple["PlantRecord", ...]:
        """The plant with regard to each of its pests, the one that binds first."""
        return (self, *self.others)

    @cached_property
    def risk(self) -> PlantRisk:
        """What leaving it alone may cost: the greatest of its pests; ties by their order."""
        worst = min(self.each_pest, key=lambda each: each.likely.risk.place)
        found = worst.likely.risk
        if worst.pest == self.pests[0]:
            return found
        return replace(found, parts=tuple(replace(p, pest=worst.pest) for p in found.parts))

    @cached_property
    def least_clean(self) -> float:
        """The chance clean of the pest that is likeliest there."""
        return min(each.likely.chance_clean for each in self.each_pest)

    @cached_property
    def criteria(self) -> tuple[Criterion, ...]:
        """The criteria as they stand, without the days to come; none outside quarantine."""
        if self.history is None:
            return ()
        return judge(self.history, self.on, self.rules)

    @cached_property
    def away(self) -> tuple[Stretch, ...]:
        """The days on which nobody looked or will look, as stretches; oldest first."""
        return tuple(stretches(self.logbook.collection().away))

    @property
    def is_open(self) -> bool:
        """Whether the day is today and a look at all of the plant may still be made on it.

        Not on a day away, nor where a speck was left unsettled: its zone counts as unseen that day.
        """
        if not self.logbook.is_open_day(self.on):
            return False
        is_away = any(s.first_day <= self.on <= s.last_day for s in self.away)
        return not is_away and all(doubt.day != self.on for doubt in self.known.doubts)

    @property
    def forecast_is_quick(self) -> bool:
        """Whether the forecast is there already, or kept; else it takes a good part of a second."""
        return "forecast" in self.__dict__ or self.day.forecast_is_kept(self)

    @cached_property
    def forecast(self) -> "Forecast | None":
        """The criteria with the days on which they are expected; None outside quarantine."""
        return finished(self._forecast_steps)

    @cached_property
    def _forecast_steps(self) -> Steps:
        return self.day.forecast_in_steps(self)

    def work_on_forecast(self) -> bool:
        """Do a short step of a forecast that is not quick; whether it is done."""
        if "forecast" in self.__dict__:
            return True
        try:
            next(self._forecast_steps)
        except StopIteration as end:
            self.forecast = end.value
        return "forecast" in self.__dict__

    @cached_property
    def temperature_assumed(self) -> bool:
        """Whether the warmth counted here rests on the assumed usual temperature."""
        return self.temperatures.is_assumed(self.lived, self.on)

    @cached_property
    def infested(self) -> bool:
        """Found alive lately, so that hands and tools are cleaned after it."""
        found = self.last_find_on
        within = self.table.inspection.infested_days
        return found is not None and (self.on - found).days <= within

    @cached_property
    def claim_seen(self) -> Claim:
        """What it is owed by its log alone, without anything that is inferred from it."""
        return self.day.claim(self, by_sums=False)

    @cached_property
    def claim(self) -> Claim:
        """What it is owed."""
        return self.day.claim(self, by_sums=True)

    def place_name(self) -> str | None:
        """Where it stands."""
        move = self.plant.move_on(self.on)
        return self.logbook.collection().places[move.place_id].name if move else None

    def spot(self) -> str | None:
        """The spot there."""
        move = self.plant.move_on(self.on)
        return move.spot if move else None

    def name(self) -> str:
        """What the grower calls it."""
        return self.plant.fact("name", self.on) or self.plant.code

    def degree_days_between(self, first: date, before: date) -> float:
        """Degree-days of the pest that binds, from `first` up to the day before `before`, degC."""
        return self.temperatures.degree_days(self.lived, first, before, self.biology.warmth)

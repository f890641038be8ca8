"""Where a plant stands at the end of a day: the record every screen and command speaks from."""

from collections.abc import Generator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from rounds.core.body import Body
from rounds.core.collection import Plant
from rounds.core.lineage import lived, origin_of
from rounds.core.log.effective import StandingLook, effective_log, first_entered
from rounds.core.log.entries import PlantEntries
from rounds.core.parameters import Parameters
from rounds.core.quarantine.criteria import Criterion, QuarantineHistory, judge
from rounds.core.quarantine.days import DayLooked, days_looked
from rounds.core.quarantine.streak import Streak, clean_streak
from rounds.core.quarantine.watch import watch_ends
from rounds.service.inference.day import CollectionDay
from rounds.service.inference.result import PlantResult
from rounds.service.inference.together import worked_out_together
from rounds.service.logbook.book import Logbook
from rounds.service.plant.attention import SignSeen, needs_attention

if TYPE_CHECKING:
    from rounds.core.quarantine.forecast import Forecast


@dataclass(frozen=True, slots=True)
class OpenDoubt:
    """A woolly speck nobody has settled yet."""

    tally_id: int
    day: date
    zone: str
    count: int


class PlantRecord:
    """All that is known of one plant at the end of `on`. Computed when asked for, then kept."""

    def __init__(
        self,
        logbook: Logbook,
        plant: Plant,
        on: date,
        entries: PlantEntries | None = None,
        day: CollectionDay | None = None,
    ) -> None:
        self.logbook = logbook
        self.plant = plant
        self.on = on
        self.entries = logbook.entries(plant, on) if entries is None else entries
        self.day = day or CollectionDay(logbook, on)
        self.temperatures = self.day.temperatures
        self.lived = plant if origin_of(plant) is None else lived(plant, self.day.plants)
        """the plant with what was said of those it was divided from, as long as it was theirs"""
        self._body_on = logbook.body_on(self.lived)

    @property
    def parameters(self) -> Parameters:
        """The table, with what the grower is known to find: what all sums run on."""
        return self.day.parameters

    @cached_property
    def log(self) -> tuple[StandingLook, ...]:
        """The looks that stand, oldest first; those at the plant it was divided from among them."""
        return (*self.inherited, *self.own_log)

    @cached_property
    def own_log(self) -> tuple[StandingLook, ...]:
        """The looks at this very plant that stand, oldest first."""
        return effective_log(self.entries, self.on)

    @cached_property
    def parent(self) -> "PlantRecord | None":
        """The plant it was divided from."""
        origin = origin_of(self.plant)
        return None if origin is None else self.day.record(origin.parent_id)

    @cached_property
    def inherited(self) -> tuple[StandingLook, ...]:
        """The looks at the plant it was divided from, up to the division."""
        origin = origin_of(self.plant)
        if origin is None or self.parent is None:
            return ()
        return self.parent.looks_before(origin.day, origin.entry)

    def looks_before(self, day: date, entry: int) -> tuple[StandingLook, ...]:
        """The looks that stand of earlier days, and those of the day entered before `entry`.

        A look put in the place of another counts as entered when that one was.
        """
        first = first_entered(self.entries)
        own = tuple(
            look
            for look in self.own_log
            if look.day < day or (look.day == day and first(look.id) < entry)
        )
        origin = origin_of(self.plant)
        if origin is None or self.parent is None:
            return own
        if (day, entry) < (origin.day, origin.entry):
            return self.parent.looks_before(day, entry)
        return (*self.inherited, *own)

    @cached_property
    def body(self) -> Body:
        """Form, size and zones as they are now."""
        return self._body_on(self.on)

    def body_on(self, day: date) -> Body:
        """Form, size and zones as they were on a day."""
        return self._body_on(day)

    @cached_property
    def pests(self) -> tuple[str, ...]:
        """The pests the plant is followed for."""
        followed = self.plant.fact("pests", self.on)
        return tuple(followed.split()) if followed else (self.logbook.parameters.default_pest,)

    def days(self, pest: str) -> tuple[DayLooked, ...]:
        """The days looked at, with what they say about one pest."""
        return days_looked(self.log, self._body_on, pest, self.logbook.parameters.inspection)

    @cached_property
    def days_by_pest(self) -> dict[str, tuple[DayLooked, ...]]:
        """The days looked at, for each pest followed."""
        return {pest: self.days(pest) for pest in self.pests}

    @cached_property
    def pest(self) -> str:
        """The pest that binds: the one whose clean streak is shortest."""
        return min(self.pests, key=lambda pest: self.streak_for(pest).looks)

    def streak_for(self, pest: str) -> Streak:
        """The clean streak with regard to one pest."""
        return clean_streak(self.days_by_pest[pest], self.on, self.logbook.rules())

    @cached_property
    def streak(self) -> Streak:
        """The clean streak with regard to the pest that binds."""
        return self.streak_for(self.pest)

    @cached_property
    def last_find_on(self) -> date | None:
        """The last day on which anything was found alive."""
        return max((d.day for days in self.days_by_pest.values() for d in days if d.live),
                   default=None)  # fmt: skip

    @cached_property
    def last_look_on(self) -> date | None:
        """The last day any zone was looked at."""
        looked = [k.day for k in self.log if k.outcome == "looked" or k.counted()]
        return max(looked, default=None)

    @cached_property
    def last_complete_look_on(self) -> date | None:
        """The last day enough of it was seen for long enough."""
        return max((d.day for d in self.days_by_pest[self.pest] if d.complete), default=None)

    @cached_property
    def open_doubts(self) -> tuple[OpenDoubt, ...]:
        """Doubtful specks that wait to be settled, oldest first."""
        return tuple(
            OpenDoubt(tally.id, look.day, look.zone, tally.count)
            # those of the plant it was divided from are settled there
            for look in self.own_log
            for tally in look.tallies
            if tally.is_open_doubt
        )

    @cached_property
    def signs(self) -> tuple[SignSeen, ...]:
        """Ants, stickiness and soot that were seen without an insect, oldest first."""
        return tuple(
            SignSeen(look.day, look.zone, sign.kind) for look in self.log for sign in look.signs
        )

    @cached_property
    def watch_until(self) -> date | None:
        """When the watch it was put on last ends; None without one, or beyond reckoning."""
        watched = self.lived.watched_from(self.on)
        if watched is None:
            return None
        return watch_ends(
            watched,
            self.logbook.parameters.watch,
            self._degree_days_between,
            self.temperatures.rate(self.lived, self.on),
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
            days = [f.from_day for f in self.plant.facts if f.what == "gone"]
            return min(days)
        quarantine = self.plant.quarantine(self.on)
        if quarantine is not None:
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
        days = self.days_by_pest[self.pest]
        return QuarantineHistory(
            began_on=quarantine.began_on,
            last_live_on=max((d.day for d in days if d.live), default=None),
            days=days,
            ever_found=any(d.live for d in days),
            open_courses=0,
            chance=None,
            chance_low=None,
            degree_days_between=self._degree_days_between,
        )

    @cached_property
    def history(self) -> QuarantineHistory | None:
        """The same with the chance clean."""
        if self.history_seen is None:
            return None
        return replace(
            self.history_seen,
            chance=self.likely.chance_clean,
            chance_low=self.likely.band.low if self.logbook.rules().chance_low else None,
        )

    @cached_property
    def likely(self) -> PlantResult:
        """What the log says of what is left, with regard to the pest that binds."""
        return self.day.result(self, self.pest)

    @cached_property
    def criteria(self) -> tuple[Criterion, ...]:
        """The criteria as they stand, without the days to come; none outside quarantine."""
        if self.history is None:
            return ()
        return judge(self.history, self.on, self.logbook.rules())

    @property
    def forecast_is_quick(self) -> bool:
        """Whether the forecast is there already, or kept; else it takes a good part of a second."""
        from rounds.service.inference.ahead import is_kept

        return "forecast" in self.__dict__ or is_kept(self)

    @cached_property
    def forecast(self) -> "Forecast | None":
        """The criteria with the days on which they are expected; None outside quarantine."""
        # the record is asked for it, and it asks the record; most calls name no day to come
        from rounds.service.inference.ahead import finished

        return finished(self._forecast_steps)

    @cached_property
    def _forecast_steps(self) -> "Generator[None, None, Forecast | None]":
        from rounds.service.inference.ahead import forecast_in_steps

        return forecast_in_steps(self, self.history)

    def work_on_forecast(self) -> bool:
        """A piece of a forecast that is not quick, so short that no key need wait; whether done."""
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
        within = self.logbook.parameters.inspection.infested_days
        return found is not None and (self.on - found).days <= within

    @cached_property
    def waits_to_stand_apart(self) -> bool:
        """Found alive lately where nobody has yet put it apart, nor said it cannot be moved."""
        if self.standing not in ("collection", "watch") or not self.infested:
            return False
        released = self.lived.released_on(self.on)
        return released is None or self.last_find_on is None or self.last_find_on > released

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

    def _degree_days_between(self, first: date, before: date) -> float:
        return self.temperatures.degree_days(self.lived, first, before)


def records(logbook: Logbook, on: date) -> list[PlantRecord]:
    """The record of every plant that is here at the end of `on`, read in one pass."""
    return list(CollectionDay(logbook, on).records.values())


def in_order(found: Sequence[PlantRecord]) -> list[PlantRecord]:
    """Who is looked at first: what must be looked at, then by risk; ties by code."""
    with worked_out_together(found):
        return sorted(found, key=_order)


def must_look(record: PlantRecord) -> bool:
    """Apart, on watch, with signs of insects, or unseen for so long that it cannot wait."""
    if record.standing in ("quarantine", "watch") or needs_attention(record):
        return True
    return unseen_days(record) >= record.logbook.parameters.inspection.must_look_days


def unseen_days(record: PlantRecord) -> int:
    """Days since it was last seen whole, or since it came."""
    seen = record.last_complete_look_on or record.lived.first_day
    return (record.on - seen).days


def found_lately(record: PlantRecord) -> bool:
    """Found alive within the days that still count as recent."""
    found = record.last_find_on
    recent = record.logbook.parameters.inspection.recent_find_days
    return found is not None and (record.on - found).days <= recent


def risk_order(record: PlantRecord) -> tuple[float, str]:
    """Greatest risk first; ties by code."""
    return -record.likely.risk.value, record.plant.code.casefold()


def _order(record: PlantRecord) -> tuple[bool, tuple[float, str]]:
    return not must_look(record), risk_order(record)

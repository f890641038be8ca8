"""Makes a day: read first, then worked out piece by piece, each piece a fuller day."""

from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date
from functools import cached_property
from types import MappingProxyType

from rounds.errors import RoundsError
from rounds.service.day.asked import Answered, Question
from rounds.service.day.day import Choices, Day, UnderWay
from rounds.service.day.fit import misfit_of_all
from rounds.service.exposure.emptied import EmptiedSpot, emptied_spots
from rounds.service.inference.day import collection_on
from rounds.service.inference.kept import NotKept, kept_together, only_kept
from rounds.service.inference.together import (
    BANDS_AT_ONCE,
    bands_in_steps,
    worked_out_together,
)
from rounds.service.logbook.book import Logbook
from rounds.service.plan.away import ahead, back_on, minutes_of
from rounds.service.plan.planning import Asked
from rounds.service.plan.price import price_of_more
from rounds.service.plan.ranking import in_need
from rounds.service.plan.today import due_today, plan_of
from rounds.service.plant.before import DayBefore
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import (
    PlantStatus,
    binds_by_chance,
    seen_status,
    with_band,
    with_brood,
    with_day_named_last,
    with_figures,
    with_forecast,
    with_reasons,
    with_zones,
)
from rounds.store import walks
from rounds.store.log import newest_look_on

TOGETHER = 32
"""plants whose results are kept together in one write"""

MOST_SHOWN = 20
"""most days yielded while plants are worked out, however many plants there are"""

With = Callable[[PlantRecord, PlantStatus], PlantStatus]
Pieces = Iterator[Day | None]
"""Ever fuller days; None where nothing is new to show, but the work may be stopped."""


def unread_day(logbook: Logbook, on: date, minutes: float | None = None) -> Day:
    """A day before any entry about its plants is read."""
    stamp, found, table = logbook.stamp(), logbook.collection(), logbook.parameters_on(on)
    return Day(
        stamp=stamp,
        on=on,
        choices=Choices(
            rules=logbook.rules(table.default_pest, on),
            minutes=minutes_of(logbook, on, minutes),
            by_risk=logbook.walks_by_risk(),
            changed_values=collection_on(logbook, on).changed_values,
            usual_c=table.usual_c,
        ),
        plants=found.plants,
        places=found.places,
        away=ahead(logbook, on),
        back=back_on(logbook, on),
        under_way=_under_way(logbook, on),
        here=len(found.here(on)),
        looked_ahead_to=_looked_ahead_to(logbook, on),
    )


def _looked_ahead_to(logbook: Logbook, on: date) -> date | None:
    newest = newest_look_on(logbook.file)
    is_ahead = newest is not None and newest > on == logbook.clock.today()
    return newest if is_ahead else None


def _under_way(logbook: Logbook, on: date) -> UnderWay | None:
    walk = next((walk for walk in walks.unfinished_rounds(logbook.file) if walk.day == on), None)
    if walk is None:
        return None
    # imported here, as mostly no round is under way
    from rounds.service.round import left_at, plants_done

    step = left_at(logbook, walk)
    done, plants = plants_done(logbook, walk)
    plant_id, zone = (step.plant_id, step.zone) if step else (None, None)
    return UnderWay(walk, plant_id, zone, done, plants)


class DayWork:
    """The work on one day, within the thread of its logbook; any thread may read its days."""

    def __init__(self, logbook: Logbook, on: date, minutes: float | None = None) -> None:
        """`minutes` are those of the round, where they are not the usual ones."""
        self.day = unread_day(logbook, on, minutes)
        self._logbook = logbook
        self._collection = collection_on(logbook, on)
        self._statuses: dict[int, PlantStatus] = {}
        self._left: dict[int, PlantStatus] = {}
        """of plants that are gone from a spot to be kept empty"""
        self._asked: Asked | None = None
        self._is_priced = False
        self._before: DayBefore | None = None

    def known(self) -> Day:
        """The day from the log and from derived results that are kept; nothing is worked out.

        Unread where the log alone takes a while to be read.
        """
        with only_kept(self._logbook):
            try:
                self._see()
            except NotKept:
                return self.day
        with only_kept(self._logbook), suppress(NotKept):
            for record in self._records:
                self._change(with_day_named_last, record)
                self._change(with_brood, record)
            for _ in self._collection.sources_in_steps():
                pass
            for record in tuple(self._records):
                with suppress(NotKept):
                    self._look_ahead(self._figure(record))
                with suppress(NotKept):
                    self._change(with_band, record)
            self._plan()
            self._price()
        return self._made()

    def planned(self) -> Day:
        """The plan of the day, and all that it rests on."""
        self._see()
        for _ in self._figures(together=len(self._records)):
            pass
        self._plan()
        return self._made()

    def pieces(self) -> Pieces:
        """Yield the day as it is known, then fuller ones until all is worked out."""
        for _ in self._collection.read_in_steps():
            yield None
        yield self.known()
        for steps in (
            self._collection.own_detection_in_steps(),
            self._collection.sources_in_steps(),
            self._collection.mates_in_steps(),
        ):
            for _ in steps:
                yield None
        for record in self._records:
            if self._collection.came_with(record):
                self._change(with_reasons, record)
        yield from self._figures(TOGETHER)
        if self.day.plan is None:
            self._plan()
            yield self._made()
        if not self._is_priced:
            self._price()
            yield self._made()
        # what the first screen names comes before what takes longest
        apart = [r for r in self._in_need() if r.history_seen is not None]
        yield from self._forecasts(apart)
        yield from self._bands(apart)
        yield from self._forecasts(self._in_need())
        yield from self._bands(self._in_need())
        for _ in self._collection.season_in_steps():
            yield None
        if not self.day.is_whole:
            yield self._made()

    def before(self, plant_ids: Sequence[int]) -> Pieces:
        """Yield days with the risks of some plants at the end of the last round."""
        for _ in self._day_before.pieces(plant_ids):
            yield self._made()

    def why(self, plant_id: int) -> Pieces:
        """Yield the day with the band of one plant, then with what holds its chance clean down.

        Nothing where it is not here.
        """
        from rounds.service.inference.why import why_in_steps

        record = self._collection.records.get(plant_id)
        if record is None or plant_id not in self._statuses:
            return
        yield from self._bands([record])
        why = yield from why_in_steps(record)
        self._statuses[plant_id] = replace(self._statuses[plant_id], why=why)
        self._look_ahead(record)
        yield self._made()

    def course(self, plant_id: int) -> Pieces:
        """Yield the day with how the chance clean of one plant in quarantine went and goes on.

        Nothing where it is not in quarantine, or why its figures are so is not known.
        """
        from rounds.service.inference.course import course_in_steps

        status, record = self._statuses.get(plant_id), self._collection.records.get(plant_id)
        if record is None or status is None or status.why is None:
            return
        course = yield from course_in_steps(record)
        if course is not None:
            self._statuses[plant_id] = replace(status, why=replace(status.why, course=course))
            yield self._made()

    def answer(self, question: Question) -> Generator[None, None, Answered]:
        """What a page asks besides, in short steps; a fault of what was entered is its answer."""
        written = self.day.stamp.written
        try:
            found = yield from question.in_steps(self._collection)
        except RoundsError as fault:
            return Answered(written, question, None, fault)
        return Answered(written, question, found)

    @cached_property
    def _records(self) -> list[PlantRecord]:
        return list(self._collection.records.values())

    @cached_property
    def _day_before(self) -> DayBefore:
        return DayBefore(self._records)

    def _see(self) -> None:
        self._statuses = {record.plant.id: seen_status(record) for record in self._records}
        self.day = replace(self.day, emptied=emptied_spots(self._collection))

    def _change(self, more: With, record: PlantRecord) -> None:
        plant_id = record.plant.id
        self._statuses[plant_id] = more(record, self._statuses[plant_id])

    def _figures(self, together: int) -> Pieces:
        """Work out the chance and risk of each plant, keeping those of `together` in one write."""
        waiting = [r for r in self._in_need() if self._statuses[r.plant.id].risk is None]
        seldom = max(1, len(waiting) // MOST_SHOWN)
        for number, record in enumerate(_in_one_write(waiting, together), 1):
            if record.history_seen is not None and _asks_low(record):
                # the criteria are judged by its low end too
                yield from record.likely.band_in_steps()
            for other in record.others:
                yield from _figures_of(other)
            record = self._figure(record)
            if self._statuses[record.plant.id].to_do:
                # the plan will need it: worked out here to be kept in the same write
                for each in record.each_pest:
                    _ = each.likely.reach, each.likely.in_reach
            yield self._made() if number % seldom == 0 else None

    def _figure(self, record: PlantRecord) -> PlantRecord:
        """Tell a plant's figures; the record with regard to the pest that binds by these."""
        self._change(with_figures, record)
        binding = binds_by_chance(record, self._statuses[record.plant.id])
        if binding is not record:
            self._records[self._records.index(record)] = binding
            self._statuses[record.plant.id] = with_figures(binding, seen_status(binding))
        return binding

    def _plan(self) -> None:
        day = self.day
        plan, self._asked = plan_of(
            self._logbook, day.on, self._in_need(), self._statuses, day.choices.minutes
        )
        for planned in plan.plan:
            status = self._statuses[planned.status.plant_id]
            self._statuses[status.plant_id] = replace(
                status, risk=status.risk and status.risk.heeded()
            )
        self.day = replace(day, plan=plan)

    def _price(self) -> None:
        if self.day.plan is not None and self._asked is not None:
            price = price_of_more(self._logbook, self.day.plan, self._asked)
            self.day, self._is_priced = replace(self.day, price=price), True

    def _forecasts(self, records: Sequence[PlantRecord]) -> Pieces:
        """Work out forecasts and what is left by zone."""
        waiting = [r for r in records if not self._statuses[r.plant.id].is_looked_ahead]
        seldom = max(1, len(waiting) // MOST_SHOWN)
        for number, record in enumerate(_in_one_write(waiting, TOGETHER), 1):
            for each in (record, *record.others):
                while not each.work_on_forecast():
                    yield None
            self._look_ahead(record)
            is_seen = record.history_seen is not None or number % seldom == 0
            yield self._made() if is_seen else None

    def _bands(self, records: Sequence[PlantRecord]) -> Pieces:
        """Work out the bands that are not known yet, those of a few plants in one write."""
        waiting = [r for r in records if self._statuses[r.plant.id].band is None]
        seldom = max(1, len(waiting) // MOST_SHOWN)
        for first in range(0, len(waiting), BANDS_AT_ONCE):
            some = waiting[first : first + BANDS_AT_ONCE]
            with kept_together(self._logbook):
                for _ in bands_in_steps([each for r in some for each in (r, *r.others)]):
                    yield None
                for record in some:
                    self._change(with_band, record)
            is_shown = first // seldom != (first + len(some)) // seldom
            yield self._made() if is_shown else None

    def _look_ahead(self, record: PlantRecord) -> None:
        if all(each.forecast_is_quick for each in (record, *record.others)):
            self._change(with_forecast, record)
        self._change(with_zones, record)

    def _in_need(self) -> list[PlantRecord]:
        by_id = {record.plant.id: record for record in self._records}
        return [by_id[status.plant_id] for status in in_need(self._statuses.values())]

    def _emptied(
        self, statuses: Mapping[int, PlantStatus]
    ) -> Iterator[tuple[EmptiedSpot, PlantStatus]]:
        """The spots to be kept empty, each with the plant that left it, be it gone or here."""
        for spot in self.day.emptied:
            status = statuses.get(spot.plant_id) or self._left.get(spot.plant_id)
            if status is None:
                status = seen_status(self._collection.record(spot.plant_id))
                self._left[spot.plant_id] = status
            yield spot, status

    def _made(self) -> Day:
        """The day as far as it is worked out."""
        statuses = {status.plant_id: status for status in in_need(self._statuses.values())}
        plan = self.day.plan and self.day.plan.with_statuses(statuses)
        is_whole = self._is_priced and all(_is_told(status) for status in statuses.values())
        infestation = self._logbook.parameters.infestation
        self.day = replace(
            self.day,
            misfit=misfit_of_all(statuses.values(), infestation) if is_whole else None,
            statuses=MappingProxyType(statuses),
            due=tuple(due_today(statuses.values(), self.day.on, self._emptied(statuses))),
            plan=plan,
            before=self._day_before.told(),
            is_whole=is_whole,
        )
        return self.day


def _is_told(status: PlantStatus) -> bool:
    """Whether all that a screen says of it is worked out."""
    return status.risk is not None and status.band is not None and status.is_looked_ahead


def _in_one_write(records: Sequence[PlantRecord], together: int) -> Iterator[PlantRecord]:
    """The plants one by one; the results of each `together` of them are kept in one write."""
    for first in range(0, len(records), together or 1):
        some = records[first : first + together]
        with worked_out_together(some):
            yield from some


def _figures_of(other: PlantRecord) -> Pieces:
    """Work out what is judged of a plant with regard to a pest that does not bind, in steps."""
    _ = other.likely.chance_clean, other.likely.risk
    yield None
    if other.history_seen is not None and _asks_low(other):
        yield from other.likely.band_in_steps()


def _asks_low(record: PlantRecord) -> bool:
    """Whether the criteria of a plant ask something of the low end of its band."""
    return record.logbook.rules(record.pest, record.on).chance_low is not None

"""The whole collection at the end of a day: each plant read once, what is inferred of it kept."""

from collections.abc import Generator, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

from rounds.core.changes import ChangedValue
from rounds.core.collection import Plant
from rounds.core.estimates.own_detection import OwnDetection
from rounds.core.inference.facts import PlantFacts
from rounds.core.lineage import origin_of
from rounds.core.log.lived import ancestors
from rounds.core.parameters import Parameters
from rounds.core.plan.claims import Claim
from rounds.core.plan.near import Find
from rounds.core.quarantine.interval import usual_interval
from rounds.service.courses.standing import courses_key
from rounds.service.inference.facts import Company, facts_of
from rounds.service.inference.kept import (
    dated,
    digest,
    kept_or_worked_out,
    parameters_digest,
    place_digest,
)
from rounds.service.inference.nearby import (
    Places,
    Reached,
    may_reach,
    share_reached,
    shares_by_day,
    worth,
)
from rounds.service.inference.older_days import OlderDays
from rounds.service.inference.result import AtRisk, Basis, PlantResult
from rounds.service.inference.steps import finished
from rounds.service.learned.own_detection import learned_in_steps
from rounds.service.logbook.book import Collection, Logbook
from rounds.service.logbook.lately import Lately
from rounds.service.logbook.temperatures import Temperatures
from rounds.service.plant.claims import claim_by_log, claim_by_sums
from rounds.service.plant.record import PlantRecord

if TYPE_CHECKING:
    # what a kept day does not need is loaded where it is used
    from rounds.core.quarantine.forecast import Forecast
    from rounds.service.learned.season import Season
    from rounds.service.logbook.entry_ids import EntryName

ONE_DAY = timedelta(days=1)
FACTS_HELD = 64
"""plants whose looks are held in memory; not below `together.BESIDE_AT_ONCE`"""

LEAST_LEAVING = 1e-6
"""least crawlers a day, leaving a plant, that are counted"""


class CollectionDay:
    """All plants that are here at the end of `on`."""

    def __init__(self, logbook: Logbook, on: date, kept_as: str = "") -> None:
        """
        Args:
            logbook: the opened one.
            on: the day.
            kept_as: prefix of the names under which its results are kept.
        """
        self.logbook = logbook
        self.on = on
        self.kept_as = kept_as
        self.temperatures: Temperatures = logbook.temperatures(on)
        self._place_keys: tuple[Collection, dict[int, str]] = logbook.collection(), {}
        self._alone: dict[int, PlantRecord] = {}
        self._leaving: dict[tuple[int, str], dict[date, float]] = {}
        self._parameters_keys: dict[str, str] = {}
        self._facts_lately = Lately[PlantFacts](FACTS_HELD)

    # plants, and what was entered about them

    @property
    def plants(self) -> Mapping[int, Plant]:
        """All plants, by id, those gone and those to come among them."""
        return self.logbook.collection().plants

    @property
    def places(self) -> Places:
        """All places, by id."""
        return self.logbook.collection().places

    @cached_property
    def records(self) -> dict[int, PlantRecord]:
        """Every plant that is here, by id, read in one pass."""
        return {
            plant_id: record
            for plant_id, record in self.came.items()
            if record.plant.gone(self.on) is None
        }

    @cached_property
    def came(self) -> dict[int, PlantRecord]:
        """As `records`, with plants gone: as mates and as sources of crawlers they still count."""
        return finished(self.read_in_steps())

    def read_in_steps(self) -> Generator[None, None, dict[int, PlantRecord]]:
        """Read what `came` holds, yielding often enough that no key press waits."""
        if "came" in self.__dict__:
            return self.came
        plants = [plant for plant in self.plants.values() if plant.first_day <= self.on]
        pasts = yield from OlderDays(self.logbook, self.plants, self.on).of(plants)
        entered = self.logbook.all_entries(self.on, self.on)
        self.came = {
            plant.id: PlantRecord(self, plant, pasts[plant.id], entered) for plant in plants
        }
        return self.came

    def record(self, plant_id: int) -> PlantRecord:
        """One plant, gone or not; read alone while the others are not needed."""
        if "came" in self.__dict__ and plant_id in self.came:
            return self.came[plant_id]
        if plant_id not in self._alone:
            self._alone[plant_id] = self.read_anew(self.plants[plant_id])
        return self._alone[plant_id]

    def read_anew(self, plant: Plant) -> PlantRecord:
        """One plant read from the file again, past the memo."""
        pasts = finished(OlderDays(self.logbook, self.plants, self.on).of([plant]))
        family = (plant, *ancestors(plant, self.plants))
        entered = {k.id: self.logbook.entries(k, self.on, self.on) for k in family}
        return PlantRecord(self, plant, pasts[plant.id], entered)

    # what holds for all of them

    @cached_property
    def table(self) -> Parameters:
        """The values that hold on the day, with what the grower changed by then."""
        return self.logbook.parameters_on(self.on)

    @cached_property
    def changed_values(self) -> tuple[ChangedValue, ...]:
        """The values that the grower changed by then."""
        if not self.logbook.collection().changes:
            return ()
        # mostly nothing is changed, and what names the values need not be loaded
        from rounds.service.logbook.parameter_rows import changed_values

        return changed_values(self.logbook, self.on)

    def parameters_key(self, pest: str) -> str:
        """Digest of all parameters that bear on a pest, the grower's own detection among them."""
        if pest not in self._parameters_keys:
            self._parameters_keys[pest] = parameters_digest(self.parameters, pest)
        return self._parameters_keys[pest]

    def place_key(self, place_id: int) -> str:
        """Digest of a place and its weather up to the day; memoised, as many plants share it."""
        found = self.logbook.collection()
        if self._place_keys[0] is not found:
            # a fact was entered since, maybe about a place
            self._place_keys = found, {}
        known = self._place_keys[1]
        if place_id not in known:
            weather = found.weather.get(place_id, {}).values()
            known[place_id] = place_digest(found.places[place_id], weather, self.on)
        return known[place_id]

    @cached_property
    def own_detection(self) -> OwnDetection:
        """The grower's own detection, learned from the looks of earlier days."""
        return finished(self.own_detection_in_steps())

    def own_detection_in_steps(self) -> Generator[None, None, OwnDetection]:
        """Learn it, yielding often enough that no key press waits."""
        if "own_detection" not in self.__dict__:
            records = self.came.values()
            learned = learned_in_steps(self.logbook, records, self.on, self.kept_as)
            self.own_detection = yield from learned
        return self.own_detection

    @cached_property
    def season(self) -> "Season":
        """What the finds of the season tell of the values."""
        return finished(self.season_in_steps())

    def season_in_steps(self) -> "Generator[None, None, Season]":
        """The same, yielding often enough that no key press waits."""
        from rounds.service.learned.season import season_in_steps

        if "season" not in self.__dict__:
            self.season = yield from season_in_steps(self, self.came.values())
        return self.season

    @cached_property
    def parameters(self) -> Parameters:
        """The table, with the grower's own detection in it."""
        return replace(self.table, detection_times=self.own_detection.theta)

    @cached_property
    def _reached(self) -> Reached:
        here = self.logbook.collection().here(self.on)
        return Reached(here, self.on, self.places, self.table.risk)

    # who came with whom

    def came_with(self, record: PlantRecord) -> list[PlantRecord]:
        """Those that came on the same day from the same source, gone or not; no parts of it."""
        return self.company.came_with(record)

    @cached_property
    def company(self) -> Company:
        """What plants that came together tell of each other."""
        return Company(self)

    def told_by_mates(self, record: PlantRecord, pest: str) -> float | None:
        """Chance that a plant came infested, by the logs of its mates; None where none tells."""
        return self.company.told(record, pest)

    def mates_in_steps(self) -> Iterator[None]:
        """Work out what the log of each plant tells its mates, in steps."""
        yield from self.company.tell_in_steps()

    # what the log says of a plant

    def result(self, record: PlantRecord, pest: str) -> PlantResult:
        """What the log says of a plant with regard to a pest."""
        basis = Basis(
            logbook=self.logbook,
            plant_id=record.plant.id,
            code=record.plant.code,
            on=self.on,
            pest=pest,
            body=record.body,
            parameters=self.parameters,
            kept_as=self.kept_as,
            read_facts=lambda: self.facts(record, pest),
            read_at_risk=lambda: self._at_risk(record, pest),
            name_of=lambda tally_id: _name_of(record, tally_id),
            read_key=lambda: dated(self.on, self._key(record, pest)),
        )
        return PlantResult(basis)

    def _key(self, record: PlantRecord, pest: str) -> str:
        told = self.told_by_mates(record, pest)
        return digest(self.key_without_mates(record, pest), told)

    def key_without_mates(self, record: PlantRecord, pest: str) -> str:
        """Digest of all that a result rests on, but for what those tell that came along."""
        near = [(n, self._own_key(self.came[n], pest)) for n in sorted(self._near(record, pest))]
        return digest(self._own_key(record, pest), near)

    def _near(self, record: PlantRecord, pest: str) -> set[int]:
        """The infested plants from which insects may have come to one, by id."""
        found = {
            source.plant.id
            for source in self._sources(pest)
            if source.plant.id != record.plant.id
            and may_reach(source.plant, record.plant, self.places)
        }
        return found if record.parent is None else found | self._near(record.parent, pest)

    def facts(self, record: PlantRecord, pest: str) -> PlantFacts:
        """All that the evidence of a plant rests on; held for the plants asked for last."""
        return self._facts_lately.get(
            (record, pest),
            lambda: facts_of(
                record, pest, self.told_by_mates(record, pest), self.arrivals(record, pest)
            ),
        )

    def _own_key(self, record: PlantRecord, pest: str) -> str:
        """Digest of all that was said, measured and seen of a plant up to the end of the day.

        Facts and temperatures are digested as entered: where it stood, in what body, and how warm
        it was on a day all follow from them.
        """
        if pest not in record.own_keys:
            record.own_keys[pest] = self._own_key_made(record, pest)
        return record.own_keys[pest]

    def _own_key_made(self, record: PlantRecord, pest: str) -> str:
        plant = record.lived
        return digest(
            self.parameters_key(pest),
            self.on,
            pest,
            record.known.key,
            [(d.day, d.parts, d.entry) for d in record.divisions],
            plant.first_day,
            [(f.id, f.from_day, f.what, f.value) for f in plant.facts],
            [(m.id, m.day, m.place_id) for m in plant.moves],
            [(p.id, p.began_on, p.kind, p.ended_on) for p in plant.periods],
            courses_key(plant, self.on),
            [self.place_key(place) for place in sorted({move.place_id for move in plant.moves})],
        )

    def _at_risk(self, record: PlantRecord, pest: str) -> AtRisk:
        return AtRisk(
            celsius=self.temperatures.mean_c(record.lived, self.on),
            worth=worth(record.plant, self.on),
            worth_near=self._reached.worth_near(record.plant),
            days_until_look=usual_interval(record.days(pest), self.on),
        )

    def forecast_in_steps(self, record: PlantRecord) -> "Generator[None, None, Forecast | None]":
        """The forecast of its quarantine, in steps; None outside quarantine."""
        from rounds.service.inference.ahead import forecast_in_steps

        return forecast_in_steps(record)

    def forecast_is_kept(self, record: PlantRecord) -> bool:
        """Whether the days of its forecast are kept, or it has none."""
        from rounds.service.inference.ahead import is_kept

        return is_kept(record)

    # what comes to it from others

    @cached_property
    def live_finds(self) -> list[Find]:
        """The plants on which insects are known to live, and when they were found.

        One that is gone is among them: what stood near it is looked at all the same.
        """
        rules = self.table.planning.claims
        first, lately = (
            self.on - timedelta(days) for days in (rules.exposed_days, rules.alive_days)
        )
        found = []
        for record in self.came.values():
            last = record.last_find_on
            is_left = any(zone.left for zone in record.known.zones.values())
            if last is not None and last >= (first if is_left else lately):
                days = [day for day in record.live_on if day >= first]
                found.append(Find(record.plant, days, record.known.found_at))
        return found

    def claim(self, record: PlantRecord, *, by_sums: bool) -> Claim:
        """What a plant is owed, by its log alone or by what the sums say of it too."""
        return claim_by_sums(record) if by_sums else claim_by_log(record)

    def found_nearby(self, record: PlantRecord, since: date) -> list[PlantRecord]:
        """Other plants on which insects were found after a day, and from which they may come."""
        risk = self.table.risk
        return [
            other
            for other in self.records.values()
            if other.plant.id != record.plant.id
            and other.last_find_on is not None
            and other.last_find_on > since
            and share_reached(other.plant, record.plant, self.on, self.places, risk) > 0
        ]

    def arrivals(self, record: PlantRecord, pest: str) -> dict[date, float]:
        """Crawlers expected from infested plants near a plant, by day.

        For days up to a division, the crawlers expected on the plant it was divided from.
        """
        origin = origin_of(record.plant)
        if origin is None or record.parent is None:
            return self._arrivals_after(record, pest, record.plant.first_day - ONE_DAY)
        before = self.arrivals(record.parent, pest)
        return {
            **{day: number for day, number in before.items() if day <= origin.day},
            **self._arrivals_after(record, pest, origin.day),
        }

    def _arrivals_after(self, record: PlantRecord, pest: str, last: date) -> dict[date, float]:
        found: dict[date, float] = {}
        for by_day in self._by_source(record, pest, last).values():
            for day, number in by_day.items():
                found[day] = found.get(day, 0.0) + number
        most = self.table.risk.most_reached
        return {day: min(number, most) for day, number in found.items()}

    def arrivals_by_source(self, record: PlantRecord, pest: str) -> dict[int, dict[date, float]]:
        """Crawlers expected from each neighbour, by its id and by day; since it was divided."""
        origin = origin_of(record.plant)
        first = record.plant.first_day - ONE_DAY
        return self._by_source(record, pest, first if origin is None else origin.day)

    def _by_source(
        self, record: PlantRecord, pest: str, last: date
    ) -> dict[int, dict[date, float]]:
        risk = self.table.risk
        found: dict[int, dict[date, float]] = {}
        for source in self._sources(pest):
            if source.plant.id == record.plant.id:
                continue
            share_on = shares_by_day(source.plant, record.plant, self.places, risk)
            is_gone = source.plant.gone(self.on) is not None
            since = _told_by_its_parent(source.plant, last)
            by_day = found[source.plant.id] = {}
            for day, number in self._leaving_of(source, pest).items():
                if day <= since or (is_gone and source.plant.gone(day) is not None):
                    continue
                share = share_on(day)
                if share > 0:
                    by_day[day] = share * number
        return {source: by_day for source, by_day in found.items() if by_day}

    def near_now(self, record: PlantRecord, pest: str) -> tuple[PlantRecord, ...]:
        """The plants near a plant now on which a pest was ever found."""
        risk = self.table.risk
        return tuple(
            source
            for source in self._sources(pest)
            if source.plant.id != record.plant.id
            and source.plant.gone(self.on) is None
            and share_reached(source.plant, record.plant, self.on, self.places, risk) > 0
        )

    def _sources(self, pest: str) -> Sequence[PlantRecord]:
        """The plants on which a pest was ever found; memoised, as each plant asks for them."""
        if pest not in self._found_on:
            self._found_on[pest] = [r for r in self.came.values() if r.of_pest(pest).live_on]
        return self._found_on[pest]

    @cached_property
    def _found_on(self) -> dict[str, list[PlantRecord]]:
        return {}

    def sources_in_steps(self) -> Iterator[None]:
        """Work out what left each infested plant, on which arrivals rest; yields after each."""
        for record in self.came.values():
            for pest in record.pests:
                if record.of_pest(pest).live_on:
                    self._leaving_of(record, pest)
                    yield

    def _leaving_of(self, record: PlantRecord, pest: str) -> dict[date, float]:
        """Crawlers expected to have left an infested plant, by the day they would arrive."""
        if (record.plant.id, pest) not in self._leaving:
            self._leaving[record.plant.id, pest] = self._leaving_kept(record, pest)
        return self._leaving[record.plant.id, pest]

    def _leaving_kept(self, record: PlantRecord, pest: str) -> dict[date, float]:
        key = dated(self.on, self._own_key(record, pest))
        kept: dict[str, float] = kept_or_worked_out(
            self.logbook, record.plant.id, f"{self.kept_as}leaving {pest}", key,
            lambda: self._leave(record, pest),
        )  # fmt: skip
        return {date.fromisoformat(day): number for day, number in kept.items()}

    def _leave(self, record: PlantRecord, pest: str) -> dict[str, float]:
        from rounds.core.inference.evidence import gather
        from rounds.core.inference.through import means_through

        # what others sent it, and what its mates tell, is left out: each would rest on the other
        facts = facts_of(record, pest, None, {})
        evidence = gather(facts, self.on, self.parameters)
        found = {}
        for number, mean in enumerate(means_through(evidence.log)):
            day = evidence.begins + timedelta(days=number)
            leaving = float(mean @ evidence.process.leaving(*facts.range_c(day)))
            if leaving >= LEAST_LEAVING:
                found[(day + timedelta(days=1)).isoformat()] = leaving
        return found


def record_of(logbook: Logbook, plant: Plant, on: date) -> PlantRecord:
    """One plant at the end of a day, read alone."""
    return CollectionDay(logbook, on).record(plant.id)


def records(logbook: Logbook, on: date) -> list[PlantRecord]:
    """The record of every plant that is here at the end of `on`, read in one pass."""
    return list(CollectionDay(logbook, on).records.values())


def collection_on(logbook: Logbook, on: date) -> CollectionDay:
    """All plants at the end of a day, read once until something is written."""
    return logbook.made_at_stamp(("collection", on), lambda: CollectionDay(logbook, on))


def own_detection(logbook: Logbook, on: date) -> OwnDetection:
    """What the grower finds, from the looks before a day, and how many these are."""
    return collection_on(logbook, on).own_detection


def _name_of(record: PlantRecord, tally_id: int) -> "EntryName":
    """The name of a count, by the plant at which it was made."""
    from rounds.service.logbook.entry_ids import EntryName

    owner = record
    while owner.parent is not None and any(
        tally.id == tally_id for look in owner.inherited for tally in look.tallies
    ):
        owner = owner.parent
    day = next(k.day for k in record.log if any(t.id == tally_id for t in k.tallies))
    return EntryName("tally", day, owner.plant.id, tally_id)


def _told_by_its_parent(source: Plant, last: date) -> date:
    """Last day whose crawlers are counted at the plant divided, not at the part; else `last`."""
    origin = origin_of(source)
    return last if origin is None else max(last, origin.day)

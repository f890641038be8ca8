"""What a season's finds tell of the values: proposed from so many finds on, taken by the grower.

Taken they are changes of values like any other, dated and with their reason, so that they are shown
wherever a changed value is, and can be taken back.
"""

from collections.abc import Callable, Generator, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from rounds import words
from rounds.core.body import Body, make_body
from rounds.core.changes import in_force
from rounds.core.log.effective import EffectiveLook, effective_log
from rounds.core.quarantine.days import credited_seconds
from rounds.errors import BadInput
from rounds.service.entries.value_changes import change_values, name_of, withdraw_change
from rounds.service.inference.facts import facts_of
from rounds.service.inference.kept import digest, parameters_digest
from rounds.service.learned.told import Made, Told, kept_in_steps
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.parameter_rows import ValueRow, value_rows
from rounds.service.logbook.parameters import parameters_with
from rounds.service.plant.record import DayOfPlants, PlantRecord

if TYPE_CHECKING:
    from rounds.core.estimates.season import Learned

SEASON_VERSION = 2
"""Increased whenever the same log may tell something else."""
DECIMALS, OF_A_RATE = 3, 5
"""to which values are taken over: no finer than the table"""
ZONES, ARRIVALS, WANDERING = "zones", "arrivals", "wandering"
GROUPS = (ZONES, ARRIVALS, WANDERING)
WEIGHT = "forms.weight."
CHANCE = "infestation.before.arrival.chance"
RATE = "infestation.arrivals.collection"


@dataclass(frozen=True, slots=True)
class LearnedValue:
    """A value of the table as the finds tell it."""

    row: ValueRow
    """the value as it holds"""
    mean: float
    low: float
    """of its 90 % interval"""
    high: float

    @property
    def assumed(self) -> float:
        """What the table supposes."""
        return float(self.row.default) if isinstance(self.row.default, float) else 0.0


@dataclass(frozen=True, slots=True)
class LearnedSource:
    """The share of infested plants among those that came from one source."""

    source: str
    plants: int
    infested: int
    """on which something was found"""
    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Season:
    """What the finds of a season tell."""

    finds: int
    """zones with insects, on the first day with finds of each plant"""
    plants: int
    """on which these were"""
    needed: int
    """finds from which on it is proposed"""
    arrived: int
    """plants that came in that time"""
    zones: tuple[LearnedValue, ...] = ()
    arrivals: LearnedValue | None = None
    sources: tuple[LearnedSource, ...] = ()
    """those named, most plants first"""
    looked: int = 0
    """plants of the collection that were looked at in that time"""
    wandering: LearnedValue | None = None
    """crawlers a day"""

    @property
    def is_offered(self) -> bool:
        """Whether there are finds enough."""
        return self.finds >= self.needed

    @property
    def lines(self) -> "tuple[LearnedValue | LearnedSource, ...]":
        """The values that can be used, then the sources that are told only."""
        return (*(of for group in GROUPS for of in self.of(group)), *self.sources)

    def of(self, group: str) -> tuple[LearnedValue, ...]:
        """The values of a group."""
        others = {ARRIVALS: self.arrivals, WANDERING: self.wandering}
        return self.zones if group == ZONES else tuple(filter(None, [others[group]]))


def season_in_steps(
    day: DayOfPlants, records: Iterable[PlantRecord]
) -> Generator[None, None, Season]:
    """What all days before one tell, in short steps; nothing is told before there are finds enough.

    Args:
        day: the one spoken about.
        records: every plant that came, also those that are gone, at its end.

    Raises:
        NotKept: what a plant tells is not kept, and nothing may be worked out.
    """
    table, pest = day.table, day.table.default_pest
    rules = table.season
    since = day.on - timedelta(days=rules.days)
    key = digest(SEASON_VERSION, parameters_digest(day.parameters, pest))
    telling = list(_telling(records, pest, since))
    found = []
    for told in telling:
        first = _first_found(told.record, pest)
        if first is not None:
            of_day = digest(key, first)
            found.append((yield from kept_in_steps(told, "first finds", of_day, "", _first_finds)))
    finds = sum(len(each["found"]) for each in found)
    arrived = [t for t in telling if t.record.plant.fact("arrived", day.on) is not None]
    arrived = [t for t in arrived if t.record.plant.first_day >= since]
    known = Season(finds, sum(bool(f["found"]) for f in found), rules.finds, len(arrived))
    if not known.is_offered:
        return known
    by_start = []
    for told in arrived:
        by_start.append((told, (yield from kept_in_steps(told, "start", key, "", _by_start))))
    by_rate = []
    for told in telling:
        came = day.arrivals(told.record, pest)
        of_rate = digest(key, _first_found(told.record, pest), sorted(came.items()))
        asked = yield from kept_in_steps(told, "wandering", of_rate, "", _by_rate(came))
        if asked["chances"]:
            by_rate.append(asked["chances"])
    return _learned(day, known, found, by_start, by_rate)


def _learned(
    day: DayOfPlants,
    known: Season,
    found: Sequence[Mapping[str, Mapping[str, float]]],
    by_start: Sequence[tuple[Told, Mapping[str, Sequence[float]]]],
    by_rate: Sequence[Sequence[float]],
) -> Season:
    from rounds.core.estimates.season import infested_share

    rows = {row.code: row for row in value_rows(day.logbook, day.on)}
    usual = rows[CHANCE].default
    infested = float(usual) if isinstance(usual, float) else 0.0
    plants = day.table.infestation.mates_plants
    before = infested * plants, (1 - infested) * plants

    def share(told: Iterable[Mapping[str, Sequence[float]]]) -> "Learned":
        pairs = [(_chance(t["chances"][0]), _chance(t["chances"][1])) for t in told if t["chances"]]
        return infested_share(pairs, *before)

    sources: dict[str, list[tuple[Told, Mapping[str, Sequence[float]]]]] = {}
    for told, of in by_start:
        source = told.record.plant.fact("source", day.on)
        if source:
            sources.setdefault(source, []).append((told, of))
    told_of = {source: share(of for _, of in each) for source, each in sources.items()}
    whole = share(of for _, of in by_start)
    return Season(
        known.finds,
        known.plants,
        known.needed,
        known.arrived,
        tuple(_zones(day, rows, found)),
        LearnedValue(rows[CHANCE], whole.value, whole.low, whole.high) if by_start else None,
        tuple(
            LearnedSource(
                source,
                len(each),
                sum(_first_found(told.record, told.pest) is not None for told, _ in each),
                told_of[source].value,
                told_of[source].low,
                told_of[source].high,
            )
            for source, each in sorted(sources.items(), key=lambda of: (-len(of[1]), of[0]))
        ),
        len(by_rate),
        _wandering(day, rows[RATE], by_rate) if by_rate else None,
    )


def _rates(row: ValueRow) -> tuple[float, tuple[float, ...]]:
    """The crawlers a day that the table supposes, and those tried, as times as many."""
    from rounds.core.estimates.season import rates_tried

    assumed = float(row.default) if isinstance(row.default, float) else 0.0
    return assumed, rates_tried(assumed, row.low or assumed, row.high or assumed)


def _wandering(day: DayOfPlants, row: ValueRow, by_rate: Sequence[Sequence[float]]) -> LearnedValue:
    from rounds.core.estimates.season import wandering_rate

    assumed, times = _rates(row)
    rates = [assumed * each for each in times]
    found = wandering_rate(by_rate, assumed, rates, day.table.season.wandering_known)
    return LearnedValue(row, found.value, found.low, found.high)


def _chance(kept: float | None) -> float:
    """A kept logarithm; None stands for what cannot be."""
    return float("-inf") if kept is None else kept


def _zones(
    day: DayOfPlants,
    rows: Mapping[str, ValueRow],
    found: Sequence[Mapping[str, Mapping[str, float]]],
) -> Iterable[LearnedValue]:
    from rounds.core.estimates.season import zone_weights

    by_zone: dict[str, float] = {}
    shown: dict[str, float] = {}
    telling = [each for each in found if each["found"]]
    for each in telling:
        whole = sum(each["found"].values())
        for zone, count in each["found"].items():
            by_zone[zone] = by_zone.get(zone, 0.0) + count / whole
        for zone, chance in each["shown"].items():
            shown[zone] = shown.get(zone, 0.0) + chance / len(telling)
    assumed = {
        code.removeprefix(WEIGHT): float(row.default)
        for code, row in rows.items()
        if code.startswith(WEIGHT) and isinstance(row.default, float)
    }
    learned = zone_weights(by_zone, shown, assumed, day.table.season.zones_known)
    for zone, of in learned.items():
        yield LearnedValue(rows[WEIGHT + zone], of.value, of.low, of.high)


def _telling(records: Iterable[PlantRecord], pest: str, since: date) -> Iterable[Told]:
    """Plants looked at in that time, by id; parts of a divided one are told by the whole."""
    for record in sorted(records, key=lambda record: record.plant.id):
        until = record.past.last_look_on
        if record.parent is None and until is not None and until >= since and pest in record.pests:
            yield Told(record, pest, until)


def _first_found(record: PlantRecord, pest: str) -> date | None:
    """The first day with finds of the season, before the one spoken about."""
    since = record.on - timedelta(days=record.table.season.days)
    return min((d for d in record.of_pest(pest).live_on if since <= d < record.on), default=None)


def _first_finds(told: Told) -> Made:
    """What was found at each zone on the first day with finds, and how well each was seen then."""
    record, pest = told.record, told.pest
    day = _first_found(record, pest) or told.until
    looks = effective_log(record.entries_between(day, day), record.on)
    yield
    body = _as_assumed(record, day)
    donors = {zone: _donor(zone, record) for zone in {look.zone for look in looks}}
    found: dict[str, float] = {}
    shown: dict[str, float] = {}
    for look in looks:
        zone = donors[look.zone]
        if look.live(pest) and zone is not None:
            found[zone] = found.get(zone, 0.0) + look.live(pest)
    for code, times in _times(looks, body, record).items():
        zone = donors[code]
        if zone is not None:
            shown[zone] = max(shown.get(zone, 0.0), _shown(record, body, code, times))
    # a find at a zone that was not seen for a second tells nothing of where they sit
    return {"found": {z: n for z, n in found.items() if shown.get(z)}, "shown": shown}


def _as_assumed(record: PlantRecord, day: date) -> Body:
    """The plant as it was, its seconds shared over the zones by the usual weights.

    What was learned of the zones before may not move what is learned of them next.
    """
    changed = in_force(record.logbook.collection().changes, record.on)
    others = tuple(
        (code, float(change.value or 0.0))
        for code, change in changed.items()
        if not code.startswith(WEIGHT)
    )
    usual, body = parameters_with(others), record.body_on(day)
    return make_body(body.form, body.size, body.clear_pot, usual)


def _donor(zone: str, record: PlantRecord) -> str | None:
    """The zone of the table whose share another draws on; None for one that is not in it."""
    donors = record.table.donors
    donor = donors.get(zone, zone)
    return donor if donor in record.table.weights else None


def _times(looks: Iterable[EffectiveLook], body: Body, record: PlantRecord) -> dict[str, float]:
    """Reference seconds spent at each zone, from outside."""
    inspection = record.table.inspection
    reference = {zone.zone: zone.reference_seconds for zone in body.outside}
    times: dict[str, float] = {}
    for look in looks:
        if look.outcome == "looked" and look.zone in reference:
            seconds = credited_seconds(look, reference[look.zone], inspection)
            times[look.zone] = times.get(look.zone, 0.0) + seconds / reference[look.zone]
    return times


def _shown(record: PlantRecord, body: Body, zone: str, times: float) -> float:
    """Chance that an insect at a zone is shown, tucked away or not, of an unknown make-up."""
    stages = record.table.pests[record.table.default_pest].stages
    times *= record.parameters.detection_times
    found = sum(s.make_up * (1 - (1 - s.found_in_reach) ** times) for s in stages)
    tucked = next(z.tucked_share for z in body.zones if z.zone == zone)
    return float((1 - tucked) * found / sum(s.make_up for s in stages))


def _by_start(told: Told) -> Made:
    """ln P(log | infested when it came) and the same if not; none where neither can be."""
    from rounds.core.inference.detection import DAY_BUDGET, read_until_full
    from rounds.core.inference.evidence import gather
    from rounds.core.inference.mates import by_start
    from rounds.core.inference.scale import ChanceOutOfRange

    record = told.record
    facts = facts_of(record, told.pest, None, {}, until=told.until)
    yield
    evidence = gather(facts, told.until, record.parameters)
    if facts.insects_seen or evidence.begins != facts.first_day:
        return {"chances": []}
    yield
    try:
        chances = yield from by_start(read_until_full(evidence.log), DAY_BUDGET)
    except ChanceOutOfRange:
        return {"chances": []}
    return {"chances": [None if c == float("-inf") else c for c in chances]}


def _by_rate(came: Mapping[date, float]) -> Callable[[Told], Made]:
    """What the log of a plant tells of the crawlers that wander in, beside those of neighbours."""

    def work_out(told: Told) -> Made:
        from rounds.core.inference.detection import read_until_full
        from rounds.core.inference.evidence import gather
        from rounds.core.inference.observed import ImpossibleEntry
        from rounds.core.inference.scale import ChanceOutOfRange
        from rounds.core.inference.wandering import by_arrivals

        record, parameters = told.record, told.record.parameters
        # what follows a find tells of the colony, and the plant is moved
        until = _first_found(record, told.pest) or told.until
        facts = facts_of(record, told.pest, None, came, until=until)
        yield
        evidence = gather(facts, until, parameters)
        read = read_until_full(evidence.log)
        days = [evidence.begins + timedelta(days=n) for n in range(len(read.days))]
        usual = parameters.infestation.arrivals_collection
        others = [
            max(0.0, logged.arrivals - (usual if n and not facts.apart(day) else 0.0))
            for n, (day, logged) in enumerate(zip(days, read.days, strict=True))
        ]
        if all(facts.apart(day) for day in days[1:]):
            return {"chances": []}
        yield
        assumed, times = _rates(next(r for r in value_rows(record.logbook, record.on)
                                     if r.code == RATE))  # fmt: skip
        with suppress(ImpossibleEntry, ChanceOutOfRange):
            return {"chances": by_arrivals(read, others, [assumed / usual * t for t in times])}
        return {"chances": []}

    return work_out


def take(logbook: Logbook, moment: Moment, season: Season, group: str) -> list[str]:
    """Take what was learned as the grower's own values from that day on.

    Raises:
        BadInput: there is no such group, or it is not proposed.
    """
    learned = season.of(group)
    if not season.is_offered or not learned:
        raise BadInput("learned-too-few", finds=season.finds, needed=season.needed)
    values = {of.row.code: _within(of.row, of.mean) for of in learned}
    if group == ZONES:
        values = _whole(learned, values)
    why = words.say(
        f"season.why-{group}", finds=season.finds, plants=season.arrived, looked=season.looked
    )
    return [str(name) for name in change_values(logbook, moment, values, why)]


def _within(row: ValueRow, value: float) -> float:
    decimals = OF_A_RATE if row.code == RATE else DECIMALS
    return round(min(max(value, row.low or 0.0), row.high or 1.0), decimals)


def _whole(learned: Sequence[LearnedValue], values: Mapping[str, float]) -> dict[str, float]:
    """The values, the greatest made such that they have the whole that these zones share."""
    whole = sum(of.assumed for of in learned)
    greatest = max(values, key=lambda code: values[code])
    rest = sum(value for code, value in values.items() if code != greatest)
    return {**values, greatest: round(whole - rest, DECIMALS)}


def taken(logbook: Logbook, on: date) -> tuple[ValueRow, ...]:
    """The values that hold since they were learned."""
    return tuple(row for row in value_rows(logbook, on) if is_learned(row))


def is_learned(row: ValueRow) -> bool:
    """Whether a value holds since it was learned."""
    begins = words.say("season.why-begins")
    return row.change is not None and (row.change.why or "").startswith(begins)


def revoke(logbook: Logbook, moment: Moment, group: str) -> list[str]:
    """Take back what was learned last of a group, as if it had never been taken.

    Raises:
        BadInput: nothing of it holds.
    """
    rows = [row for row in taken(logbook, moment.day) if group_of(row) == group]
    if not rows:
        raise BadInput("learned-none-taken")
    names = [name_of(row.change) for row in rows if row.change is not None]
    return [each for name in names for each in withdraw_change(logbook, moment, name)]


def group_of(row: ValueRow) -> str:
    """The group of a value that can be learned."""
    if row.code == RATE:
        return WANDERING
    return ZONES if row.code.startswith(WEIGHT) else ARRIVALS

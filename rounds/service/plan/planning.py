"""What a round could look at, and the split of so many seconds among it."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any

from rounds.core.parameters import Parameters
from rounds.core.plan.call import PlantCall, Shares, Turn, ZoneCall
from rounds.core.plan.claims import ALIVE, Claim
from rounds.core.plan.steps import together
from rounds.service.entries.walked import OPENED, SET_ASIDE
from rounds.service.inference.kept import digest, kept_or_worked_out
from rounds.service.inference.nearby import worth
from rounds.service.logbook.choices import OFF, chosen
from rounds.service.plant.reasons import found_lately
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.zones import PlannedZone, zones_to_do
from rounds.service.safety.versions import SUMS_VERSION

if TYPE_CHECKING:
    from rounds.core.plan.calls import Calls
    from rounds.core.plan.split import Split

ClaimOf = Callable[[PlantRecord], Claim]

FITS = 1e-6
"""seconds by which a sum of floats may pass what it is held to"""


def claim_of(record: PlantRecord) -> Claim:
    """What a plant is owed, by its own record."""
    return record.claim


@dataclass(frozen=True, slots=True)
class Allotted:
    """A plant that is looked at, and the seconds it gets."""

    record: PlantRecord
    claim: Claim
    zones: tuple[PlannedZone, ...]
    whole_plant: bool
    """its zones are looked at in one go"""
    steps: tuple[tuple[str, ...], ...]
    """its zones, those together that are looked at together"""
    owed_seconds: float
    """of looking, that it is due; 0 where it is not"""
    handling_seconds: float
    """what is expected to be found on it takes so long to handle"""
    overhead_seconds: float
    """walking to it, and clean hands after it"""
    spared_seconds: float
    """of these, saved once in a round: the walk to the first plant, clean hands after the last"""


@dataclass(frozen=True, slots=True)
class _Shared:
    """The split of so many seconds, as it is kept."""

    seconds: list[list[float]]
    """of each plant's zones; none where it is not looked at"""
    handling: list[float]


@dataclass(frozen=True, eq=False)
class Asked:
    """The plants that something is left to look at, in order of need, and what each would need."""

    records: tuple[PlantRecord, ...]
    claims: tuple[Claim, ...]
    zones: tuple[tuple[PlannedZone, ...], ...]
    """of each: what is left to do, at the seconds from which it counts as seen"""
    of_each: tuple[PlantCall, ...]
    """what a look at it could prevent, and what it costs"""
    shares: Shares

    @cached_property
    def calls(self) -> "Calls":
        """The plants as the arrays that the split works on."""
        # numpy takes as long to import as all the rest of a plan that is kept
        from rounds.core.plan.calls import calls_of

        return calls_of(self.of_each, self.shares)

    @property
    def rests_on(self) -> tuple[object, ...]:
        """All that a split among them depends on besides the seconds, for its key."""
        return self.of_each, self.shares

    def within(self, seconds: float) -> list[Allotted | None]:
        """Split some seconds: what each plant gets; None for plants that get none."""
        if not self.records:
            return []
        found = self._shared(seconds)
        return [
            self._allotted(number, given, handling) if given else None
            for number, (given, handling) in enumerate(
                zip(found.seconds, found.handling, strict=True)
            )
        ]

    @property
    def needed_seconds(self) -> float:
        """The fewest seconds that hold all that is due; kept."""
        if not any(call.turn < Turn.GAIN for call in self.of_each):
            return 0.0
        found: float = self._kept("needed", (), lambda: self.calls.needed_seconds)
        return found

    def _shared(self, seconds: float) -> _Shared:
        def work_out() -> list[object]:
            found = self._split(seconds)
            return [found.by_plant(self.calls), found.handling(self.calls)]

        return _Shared(*self._kept("split", (seconds,), work_out))

    def _kept(self, what: str, of: tuple[float, ...], work_out: Callable[[], object]) -> Any:
        """What was worked out of them, kept with the plant that was entered first."""
        logbook = self.records[0].logbook
        first = min(logbook.collection().plants)
        key = digest(SUMS_VERSION, *self.rests_on, *of)
        return kept_or_worked_out(logbook, first, what, key, work_out)

    def reached(self, seconds: float) -> set[int]:
        """The numbers of the plants that so many seconds reach."""
        return self._split(seconds).plants()

    def _split(self, seconds: float) -> "Split":
        from rounds.core.plan.split import split

        return split(self.calls, seconds)

    def _allotted(self, number: int, given: Sequence[float], handling: float) -> Allotted:
        """The seconds of one plant; what is looked at in one go shares them by reference time."""
        record = self.records[number]
        planning = record.table.planning
        zones = _in_one_go(record, self.zones[number], given)
        whole = zones is not None
        planned = zones or [
            PlannedZone(zone.zone, seconds)
            for zone, seconds in zip(self.zones[number], given, strict=True)
            if seconds > 0
        ]
        steps = together([(z.zone, z.planned_seconds) for z in planned], planning, whole=whole)
        call = self.of_each[number]
        owed = sum(zone.least_seconds for zone in call.zones) if call.turn < Turn.GAIN else 0.0
        return Allotted(
            record=record,
            claim=self.claims[number],
            zones=tuple(planned),
            whole_plant=whole,
            steps=steps,
            owed_seconds=owed,
            handling_seconds=handling,
            overhead_seconds=overhead_seconds(record),
            spared_seconds=spared_seconds(record),
        )


def asked_of(
    table: Parameters,
    ordered: Sequence[PlantRecord],
    walked: Collection[int] = (),
    *,
    later_seconds: float,
    claim_of: ClaimOf = claim_of,
    whole_seconds: float = 0.0,
    done: Collection[tuple[int, str]] = (),
) -> Asked:
    """The plants with something left to look at, and what each would need.

    Args:
        table: the values of the day.
        ordered: plants in order of need.
        walked: the rounds of the day; plants not due are left out once gone over in these.
        later_seconds: of a usual round, as the days ahead are taken to have one.
        claim_of: what a plant is owed.
        whole_seconds: of the round, where only what is left of it will be split.
        done: plants and zones that are not asked of besides those seen today.
    """
    asked = []
    for record in ordered:
        claim = claim_of(record)
        to_do = tuple(z for z in zones_to_do(record) if (record.plant.id, z.zone) not in done)
        if to_do and (claim.is_due or not _is_gone_over(record, walked)):
            asked.append((record, claim, to_do))
    planning = table.planning
    return Asked(
        records=tuple(record for record, _, _ in asked),
        claims=tuple(claim for _, claim, _ in asked),
        zones=tuple(to_do for _, _, to_do in asked),
        of_each=tuple(_call(*of) for of in asked),
        shares=Shares(
            credited_at_most=table.inspection.credited_at_most,
            most_of_one=planning.claims.most_share,
            most_of_alive=planning.claims.alive_share,
            ahead=planning.claims.ahead_share,
            least_seconds=planning.step_least_seconds,
            later_seconds=later_seconds,
            whole_seconds=whole_seconds,
        ),
    )


def _found_in_reach(record: PlantRecord) -> tuple[float, ...]:
    """By stage, the chance that this grower finds an insect in reach in the reference seconds.

    The stages of each of its pests, one after another: a look serves all of them.
    """
    times = record.parameters.detection_times
    return tuple(
        1 - (1 - stage.found_in_reach) ** times
        for each in record.each_pest
        for stage in each.biology.stages
    )


def turn_of(claim: Claim) -> Turn:
    """When a plant with a claim is given its seconds."""
    if not claim.is_due:
        return Turn.GAIN
    if claim.code == ALIVE:
        return Turn.ALIVE
    return Turn.FIRST if claim.has_turn else Turn.DUE


def _call(record: PlantRecord, claim: Claim, zones: Sequence[PlannedZone]) -> PlantCall:
    value = worth(record.plant, record.on)
    reaches = [each.likely.reach for each in record.each_pest]
    found = _found_in_reach(record)
    reference = {z.zone: record.body.zone(z.zone).reference_seconds for z in zones}
    least, handling = _least_seconds(record, claim, reference), _handling(record, found, reference)
    counts = _counting_seconds(record, zones)
    checked = record.last_complete_look_on
    waits = (record.on - (checked or record.lived.first_day)).days
    return PlantCall(
        code=record.plant.code,
        turn=turn_of(claim),
        latest_in_days=claim.days_left,
        turn_in_days=claim.starves_in_days,
        overhead_seconds=overhead_seconds(record),
        spared_seconds=spared_seconds(record),
        zones=[
            ZoneCall(
                harm=[value * harm for reach in reaches for harm in reach[zone]],
                reference_seconds=seconds,
                least_seconds=least[zone],
                counts_seconds=counts[zone],
                handling_seconds=handling[zone],
                waits=_waits(record, zone),
            )
            for zone, seconds in reference.items()
        ],
        found_in_reach=found,
        is_probable=claim.is_probable,
        unchecked_days=(record.on - (checked or date.min)).days,
        wants_full=waits >= record.table.planning.claims.full_days,
    )


def _counting_seconds(record: PlantRecord, zones: Sequence[PlannedZone]) -> dict[str, float]:
    """From when on a look at each zone counts; together no less than a step."""
    total = sum(zone.planned_seconds for zone in zones)
    times = max(1.0, record.table.planning.step_least_seconds / total)
    return {zone.zone: times * zone.planned_seconds for zone in zones}


def _waits(record: PlantRecord, zone: str) -> bool:
    """Whether nobody has looked at a zone for as long as a whole plant may wait."""
    past = record.known.zones.get(zone)
    seen = (past and past.gone_over_on) or record.lived.first_day
    return (record.on - seen).days >= record.table.planning.claims.unseen_days


def _handling(
    record: PlantRecord, found: Sequence[float], reference: Mapping[str, float]
) -> dict[str, float]:
    """By zone, what is expected to be found in the reference seconds takes so long to handle.

    Expected is what no look takes longer than: the many there may be on a plant, should there be
    any at all, do not count for more than one full look at the few of such plants that do.
    """
    parameters = record.table
    each = parameters.inspection.seconds_per_find
    most = parameters.planning.handling_at_most * (1 - record.least_clean)
    in_reach = [of.likely.in_reach for of in record.each_pest]
    numbers = {zone: [n for of in in_reach for n in of[zone]] for zone in reference}
    return {
        zone: min(
            each * sum(n * chance for n, chance in zip(numbers[zone], found, strict=True)),
            most * seconds,
        )
        for zone, seconds in reference.items()
    }


def _least_seconds(
    record: PlantRecord, claim: Claim, reference: Mapping[str, float]
) -> dict[str, float]:
    """What each zone is owed once the plant is due; together no less than a step.

    Where a look over the whole plant is owed, what was seen of it lately is not owed again. One
    that is not due yet gets less, if anything: many short looks find more than a few.
    """
    rules = record.table.planning.claims
    is_early = claim.in_one_go and not claim.is_due
    of_each = rules.early_share if is_early else claim.share
    seen = _seen_lately(record, claim) if claim.in_one_go else set()
    least = {z: 0.0 if z in seen else of_each * s for z, s in reference.items()}
    shortest = record.table.planning.step_least_seconds
    if sum(least.values()) >= shortest:
        return least
    share = max(of_each, shortest / sum(reference.values()))
    return {zone: share * seconds for zone, seconds in reference.items()}


def _seen_lately(record: PlantRecord, claim: Claim) -> set[str]:
    """The zones gone over on the last days, and since the newest find near the plant."""
    within = record.table.planning.claims.parts_days
    last = claim.exposure.found_on if claim.exposure else date.min
    return {
        zone
        for zone, past in record.known.zones.items()
        if past.gone_over_on is not None
        and past.looked_on == past.gone_over_on > last
        and (record.on - past.gone_over_on).days < within
    }


def overhead_seconds(record: PlantRecord) -> float:
    """Seconds that a plant costs besides looking: walking to it, and hygiene after it."""
    planning = record.table.planning
    hygiene = planning.hygiene_seconds if needs_hygiene(record) else 0.0
    return planning.walk_seconds + hygiene


def spared_seconds(record: PlantRecord) -> float:
    """Overhead seconds that a round which holds the plant saves once.

    The walk to the first plant, and the hygiene stop after the last where a plant apart is last.
    Where the walk goes strictly by risk another may be last, and the stop is made after all.
    """
    planning = record.table.planning
    is_late = record.standing == "quarantine" or record.claim.code == ALIVE
    stops = is_late and needs_hygiene(record)
    hygiene = planning.hygiene_seconds if stops else 0.0
    return planning.walk_seconds + hygiene


def needs_hygiene(record: PlantRecord, *, found_now: bool = False) -> bool:
    """Whether hands and tools are cleaned when the walk leaves it; never where switched off."""
    if chosen(record.logbook, "hygiene") == OFF:
        return False
    return found_now or record.standing == "quarantine" or record.infested


def _is_gone_over(record: PlantRecord, walked: Collection[int]) -> bool:
    """Whether a round of the day has closed every zone of it, in however few seconds."""
    closed = {
        look.zone
        for look in record.today
        if look.round_id in walked
        and look.outcome in ("looked", "cannot-see")
        and look.reason not in (OPENED, SET_ASIDE)
    }
    return all(zone.zone in closed for zone in record.body.outside)


def _in_one_go(
    record: PlantRecord, zones: Sequence[PlannedZone], given: Sequence[float]
) -> list[PlannedZone] | None:
    """The zones of a plant that is looked at in one go; None where it is not.

    It is without recent finds, and gets no more than a share of its reference time.
    """
    outside = record.body.outside
    reference = sum(zone.reference_seconds for zone in outside)
    most = record.table.planning.whole_plant_below * reference
    if len(zones) < len(outside) or sum(given) > most + FITS or found_lately(record):
        return None
    if not all(seconds > 0 for seconds in given):
        return None
    per_second = sum(given) / reference
    return [PlannedZone(z.zone, per_second * z.reference_seconds) for z in outside]

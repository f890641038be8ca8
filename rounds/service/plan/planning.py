"""What a round could look at, and the split of so many seconds among it."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from rounds.core.plan.call import PlantCall, ZoneCall
from rounds.service.entries.walked import OPENED
from rounds.service.inference.kept import SUMS_VERSION, digest, kept_or_worked_out
from rounds.service.inference.nearby import worth
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import OFF, chosen
from rounds.service.plant.record import PlantRecord, found_lately, must_look
from rounds.service.plant.zones import PlannedZone, zones_to_do

if TYPE_CHECKING:
    from rounds.core.plan.calls import Calls
    from rounds.core.plan.split import Split

MustLook = Callable[[PlantRecord], bool]


@dataclass(frozen=True, slots=True)
class Allotted:
    """A plant that is looked at, and the seconds it gets."""

    record: PlantRecord
    zones: tuple[PlannedZone, ...]
    whole_plant: bool
    """its zones are looked at in one go"""
    overhead_seconds: float
    """walking to it, and clean hands after it"""
    spared_seconds: float
    """of these, saved once in a round: the walk to the first plant, clean hands after the last"""


@dataclass(frozen=True, eq=False)
class Asked:
    """The plants that something is left to look at, in order of need, and what each would need."""

    records: tuple[PlantRecord, ...]
    zones: tuple[tuple[PlannedZone, ...], ...]
    """of each: what is left to do, at the seconds from which it counts as seen"""
    of_each: tuple[PlantCall, ...]
    """what a look at it could prevent, and what it costs"""
    credited_at_most: float
    """times the reference seconds beyond which none are credited"""

    @cached_property
    def calls(self) -> "Calls":
        """The plants as the arrays that the split works on."""
        # numpy takes as long to import as all the rest of a plan that is kept
        from rounds.core.plan.calls import calls_of

        return calls_of(self.of_each, self.credited_at_most)

    @property
    def rests_on(self) -> tuple[object, ...]:
        """All that a split among them depends on besides the seconds, for its key."""
        return self.of_each, self.credited_at_most

    def within(self, seconds: float) -> list[Allotted | None]:
        """Split some seconds: what each plant gets; None for plants that get none."""
        shares = self._shares(seconds) if self.records else []
        return [
            _allotted(record, zones, given) if given else None
            for record, zones, given in zip(self.records, self.zones, shares, strict=True)
        ]

    def _shares(self, seconds: float) -> list[list[float]]:
        """The seconds at each plant's zones; kept under the id of the plant entered first."""
        logbook = self.records[0].logbook
        found: list[list[float]] = kept_or_worked_out(
            logbook,
            min(logbook.collection().plants),
            "split",
            digest(SUMS_VERSION, *self.rests_on, seconds),
            lambda: self._split(seconds).by_plant(self.calls),
        )
        return found

    def reached(self, seconds: float) -> set[int]:
        """The numbers of the plants that so many seconds reach."""
        return self._split(seconds).plants()

    def _split(self, seconds: float) -> "Split":
        from rounds.core.plan.split import split

        return split(self.calls, seconds)


def asked_of(
    logbook: Logbook,
    ordered: Sequence[PlantRecord],
    walked: Collection[int] = (),
    must: MustLook = must_look,
) -> Asked:
    """The plants with something left to look at, and what each would need.

    Args:
        logbook: for its parameters.
        ordered: plants in order of need.
        walked: rounds of the day; plants gone over in these are left out but for those in `must`.
        must: who must be looked at.
    """
    records, zones = [], []
    for record in ordered:
        to_do = zones_to_do(record)
        if to_do and (must(record) or not _is_gone_over(record, walked)):
            records.append(record)
            zones.append(to_do)
    return Asked(
        records=tuple(records),
        zones=tuple(zones),
        of_each=tuple(_call(r, z, must(r)) for r, z in zip(records, zones, strict=True)),
        credited_at_most=logbook.parameters.inspection.credited_at_most,
    )


def _found_in_reach(record: PlantRecord) -> tuple[float, ...]:
    """By stage, the chance that this grower finds an insect in reach in the reference seconds."""
    times = record.parameters.detection_times
    return tuple(1 - (1 - stage.found_in_reach) ** times for stage in record.biology.stages)


def _call(record: PlantRecord, zones: Sequence[PlannedZone], must: bool) -> PlantCall:
    value = worth(record.plant, record.on)
    reach = record.likely.reach
    return PlantCall(
        code=record.plant.code,
        must=must,
        overhead_seconds=overhead_seconds(record),
        spared_seconds=spared_seconds(record),
        zones=[
            ZoneCall(
                harm=[value * harm for harm in reach[zone.zone]],
                reference_seconds=record.body.zone(zone.zone).reference_seconds,
                least_seconds=zone.planned_seconds if must else 0.0,
            )
            for zone in zones
        ],
        found_in_reach=_found_in_reach(record),
    )


def overhead_seconds(record: PlantRecord) -> float:
    """Seconds that a plant costs besides looking: walking to it, and hygiene after it."""
    planning = record.logbook.parameters.planning
    hygiene = planning.hygiene_seconds if needs_hygiene(record) else 0.0
    return planning.walk_seconds + hygiene


def spared_seconds(record: PlantRecord) -> float:
    """Overhead seconds that a round which holds the plant saves once.

    The walk to the first plant, and the hygiene stop after the last where a plant apart is last.
    Where the walk goes strictly by risk another may be last, and the stop is made after all.
    """
    planning = record.logbook.parameters.planning
    stops = record.standing == "quarantine" and needs_hygiene(record)
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
        and look.reason != OPENED
    }
    return all(zone.zone in closed for zone in record.body.outside)


def _allotted(
    record: PlantRecord, zones: Sequence[PlannedZone], given: Sequence[float]
) -> Allotted:
    """The seconds of one plant; what is looked at in one go shares them by reference time."""
    outside = record.body.outside
    reference = sum(zone.reference_seconds for zone in outside)
    below = record.logbook.parameters.planning.whole_plant_below * reference
    whole = len(zones) == len(outside) and sum(given) < below and not found_lately(record)
    if whole:
        per_second = sum(given) / reference
        planned = [PlannedZone(z.zone, per_second * z.reference_seconds) for z in outside]
    else:
        planned = [
            PlannedZone(zone.zone, seconds)
            for zone, seconds in zip(zones, given, strict=True)
            if seconds > 0
        ]
    return Allotted(record, tuple(planned), whole, overhead_seconds(record), spared_seconds(record))

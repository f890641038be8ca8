"""Short seasons in which the tool is followed, with all that it planned and was told."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from rounds.core.log.effective import effective_log
from rounds.core.plan.claims import ALIVE
from rounds.service.day.at_hand import planned_day
from rounds.service.day.day import Day
from rounds.service.inference.day import collection_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.parameters import load_parameters
from rounds.service.plan.today import GAIN, DayPlan
from tests.bench.evidence.ledger import Figures, Ledger
from tests.bench.evidence.records import Look, Visit
from tests.bench.evidence.season import Means, live
from tests.bench.evidence.tool import Tool
from tests.bench.evidence.truths import Truth
from tests.bench.evidence.world import House, World

PARAMETERS = load_parameters()
SEED, DAYS = 4, 24
ASKED_ON = (9, 15, 21)
"""days on which the plan is asked for with other minutes too"""
OTHER_MINUTES = (2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15)


@dataclass
class Seen:
    """What the tool planned and was told."""

    seconds: list[float] = field(default_factory=list)
    """each round's"""
    filled: list[float] = field(default_factory=list)
    """of these, those the plan takes"""
    steps: list[float] = field(default_factory=list)
    """seconds of each step planned"""
    prevented: list[list[float]] = field(default_factory=list)
    """each of `ASKED_ON`, by `OTHER_MINUTES`: insect-days"""
    served: list[list[frozenset[str]]] = field(default_factory=list)
    """the same: who is due, without insects known, and is looked at"""
    rounds: list[tuple[Visit, ...]] = field(default_factory=list)
    days: list[Day] = field(default_factory=list)
    """each as it was planned"""
    told: list[tuple[str, str, float, int]] = field(default_factory=list)
    """each look: code, zone, seconds, count"""
    kept: list[tuple[str, str, float, int]] = field(default_factory=list)
    """the same as it stands in the logbook at the end"""
    ledger: Ledger | None = None

    @property
    def figures(self) -> Figures:
        """What the season came to."""
        assert self.ledger is not None
        return self.ledger.figures()


class Followed(Tool):
    """The tool, with what it planned written down."""

    def __init__(self, *, carries: bool = True) -> None:
        super().__init__(carries=carries)
        self.seen = Seen()

    def morning(self, day: int, seconds: float) -> tuple[Visit, ...]:
        """The plan as it is, and on some days with other minutes."""
        visits = super().morning(day, seconds)
        planned = planned_day(self.logbook, self._moment.day, seconds / 60)
        assert planned.plan is not None
        self.seen.seconds.append(seconds)
        self.seen.filled.append(planned.plan.filled_seconds)
        self.seen.steps += step_seconds(planned.plan)
        self.seen.rounds.append(visits)
        self.seen.days.append(planned)
        if day in ASKED_ON:
            days = [planned_day(self.logbook, planned.on, float(m)) for m in OTHER_MINUTES]
            self.seen.prevented.append([prevented(self.logbook, other) for other in days])
            self.seen.served.append([served(other) for other in days])
        return visits

    def saw(self, day: int, looks: tuple[Look, ...]) -> None:
        """The looks, as they are entered."""
        handling = self.logbook.parameters.inspection.seconds_per_find
        self.seen.told += [
            (k.code, k.zone, round(k.seconds + handling * k.count, 3), k.count) for k in looks
        ]
        super().saw(day, looks)

    def close(self) -> None:
        """What stands in the logbook."""
        self.seen.kept = list(kept(self.logbook))
        super().close()


def step_seconds(plan: DayPlan) -> Iterator[float]:
    """The seconds of each step of a plan."""
    for planned in plan.plan:
        of_zone = {zone.zone: zone.planned_seconds for zone in planned.zones}
        yield from (sum(of_zone[zone] for zone in step) for step in planned.steps)


def prevented(logbook: Logbook, day: Day) -> float:
    """Insect-days that a plan is expected to take away, by the rates of the table."""
    assert day.plan is not None
    records = collection_on(logbook, day.on).records
    total = 0.0
    for step in day.plan.plan:
        record = records[step.status.plant_id]
        for zone in step.zones:
            times = zone.planned_seconds / record.body.zone(zone.zone).reference_seconds
            total += sum(
                harm * (1 - (1 - stage.found_in_reach) ** times)
                for harm, stage in zip(
                    record.likely.reach[zone.zone], record.biology.stages, strict=True
                )
            )
    return total


def served(day: Day) -> frozenset[str]:
    """Who is looked at because a look is due, without insects known to live on it."""
    assert day.plan is not None
    claims = {planned.status.code: planned.claim for planned in day.plan.plan}
    return frozenset(code for code, claim in claims.items() if claim not in (ALIVE, GAIN))


def kept(logbook: Logbook) -> Iterator[tuple[str, str, float, int]]:
    """Every look that stands, with what was counted."""
    for plant in logbook.collection().plants.values():
        entries = logbook.entries(plant, plant.first_day, logbook.clock.today())
        for look in effective_log(entries, logbook.clock.today()):
            yield plant.code, look.zone, round(look.seconds, 3), look.counted()


def follow(truth: Truth, house: House, minutes: float, *, carries: bool = True) -> Seen:
    """A season."""
    tool = Followed(carries=carries)
    world = World(PARAMETERS, truth, house, SEED)
    tool.seen.ledger = live(tool, world, PARAMETERS, Means(minutes, DAYS))
    return tool.seen

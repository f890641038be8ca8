"""Which charts there are, and each as something that can be asked of a day."""

from collections.abc import Callable, Generator
from dataclasses import dataclass

from rounds.service.charts.chance import CHANCE, plant_chance
from rounds.service.charts.chart import Chart
from rounds.service.charts.collection import APART, WEEKS, apart_by_week, finds_by_week
from rounds.service.charts.own import EYE, PACE, own_eye, pace_by_round
from rounds.service.charts.plant_finds import FINDS, plant_finds
from rounds.service.charts.shares import SOURCES, ZONES, share_by_source, share_by_zone
from rounds.service.inference.day import CollectionDay
from rounds.service.plant.record import PlantRecord

Made = Generator[None, None, Chart]

OF_PLANT: dict[str, Callable[[PlantRecord], Made]] = {FINDS: plant_finds, CHANCE: plant_chance}
"""The charts of a plant, in the order in which they are gone through."""

OF_COLLECTION: dict[str, Callable[[CollectionDay], Made]] = {
    WEEKS: finds_by_week,
    APART: apart_by_week,
    ZONES: share_by_zone,
    SOURCES: share_by_source,
    PACE: pace_by_round,
    EYE: own_eye,
}
"""Those of all plants, likewise."""


@dataclass(frozen=True, slots=True)
class ChartAsked:
    """One chart: of a plant by its id, or of all of them."""

    code: str
    plant_id: int | None = None

    def in_steps(self, day: CollectionDay) -> Made:
        """It, in steps so short that no key waits. RoundsError for what cannot have happened."""
        if self.plant_id is None:
            return OF_COLLECTION[self.code](day)
        return OF_PLANT[self.code](day.record(self.plant_id))


def charts_of(plant_id: int | None) -> tuple[ChartAsked, ...]:
    """Those of a plant, or of all plants."""
    codes = OF_COLLECTION if plant_id is None else OF_PLANT
    return tuple(ChartAsked(code, plant_id) for code in codes)

"""What the plants of a day, and those who read them, need from the day."""

from collections.abc import Generator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Protocol

from rounds.core.changes import ChangedValue
from rounds.core.collection import Plant
from rounds.core.inference.facts import Mates
from rounds.core.parameters import Parameters
from rounds.core.plan.claims import Claim
from rounds.core.plan.near import Find
from rounds.service.inference.own_detection import OwnDetection
from rounds.service.inference.result import PlantResult
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.temperatures import Temperatures

if TYPE_CHECKING:
    # imported for types alone, as most calls need no forecast
    from rounds.core.quarantine.forecast import Forecast
    from rounds.service.plant.record import PlantRecord

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

    def mates(self, record: "PlantRecord", pest: str) -> Mates | None:
        """How many of those it came with are known and infested."""

    def found_nearby(self, record: "PlantRecord", since: date) -> list["PlantRecord"]:
        """Other plants on which insects were found after a day, and from which they may come."""

    @property
    def live_finds(self) -> Sequence[Find]:
        """The plants on which insects are known to live, and when they were found."""

    def claim(self, record: "PlantRecord") -> Claim:
        """What a plant is owed."""

    def result(self, record: "PlantRecord", pest: str) -> PlantResult:
        """What the log says of a plant."""

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

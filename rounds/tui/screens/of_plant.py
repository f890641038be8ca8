"""What the screens about one plant share: its detail, read again where something was written."""

from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant
from rounds.service.plant.detail import PlantDetail, plant_detail
from rounds.service.plant.record import PlantRecord
from rounds.tui.screens.asking import AskingScreen


class OfPlant(AskingScreen):
    """A list about one plant."""

    detail: PlantDetail

    def __init__(self, logbook: Logbook, code: str) -> None:
        self.code = code
        super().__init__(logbook)

    def record(self) -> PlantRecord:
        """The plant as it stands today."""
        plant = find_plant(self.logbook, self.code)
        return record_of(self.logbook, plant, self.logbook.clock.today())

    def read_if_old(self) -> None:
        """As any list; back to where one came from where the plant was taken back elsewhere."""
        if self.logbook.collection().plant(self.code) is None:
            self.app.pop_screen()
        else:
            super().read_if_old()

    def read(self) -> None:
        """All that is said of it."""
        self.detail = plant_detail(self.record())

"""What the screens about one plant share: its detail, read again where something was written."""

from datetime import date

from rounds.core.collection import Plant
from rounds.service.day.at_hand import record_of, status_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_plant
from rounds.service.plant.detail import PlantDetail, plant_detail
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus
from rounds.tui.screens.asking import AskingScreen

EVER = (date.min, date.max)


class OfPlant(AskingScreen):
    """A list about one plant."""

    detail: PlantDetail
    days_told: tuple[date, date] | None = None
    """of its history: the last few if none are named"""

    def __init__(self, logbook: Logbook, code: str) -> None:
        self.code = code
        super().__init__(logbook)

    def plant(self) -> Plant:
        """The plant with all that was said of it."""
        return find_plant(self.logbook, self.code)

    def read_if_old(self) -> None:
        """As any list; leave the screen where the plant was taken back elsewhere."""
        if self.logbook.collection().plant(self.code) is None:
            self.app.pop_screen()
        else:
            super().read_if_old()

    def read(self) -> None:
        """All that is said of it."""
        record = record_of(self.logbook, self.plant())
        status = self.status_of(record, status_on(self.day, record))
        self.detail = plant_detail(record, status, self.days_told)

    def status_of(self, record: PlantRecord, status: PlantStatus) -> PlantStatus:
        """The status as this page needs it."""
        return status

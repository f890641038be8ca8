"""What is said before a plant is put where one with insects stood; nothing is refused."""

from datetime import date

from rounds.core.collection import same_spot
from rounds.service.exposure.emptied import emptied_spots, spot_text
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import find_place
from rounds.service.plant.reasons import Reason

KEEP_EMPTY = "keep-empty"
"""The code of the warning."""


def warnings_at(logbook: Logbook, on: date, place: str, spot: str | None) -> list[Reason]:
    """What is to be said before a plant is put somewhere: insects may be left there."""
    place_id = find_place(logbook, place).id
    return [
        Reason(KEEP_EMPTY, spot_text(empty, on))
        for empty in emptied_spots(CollectionDay(logbook, on))
        if empty.place_id == place_id
        # where no spot is named, it may be that very one
        if not spot or not empty.spot or same_spot(spot, empty.spot)
    ]

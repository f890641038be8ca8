"""What a grower keeps of usual warmth, and of who is at the keyboard."""

from rounds.core.collection import Place
from rounds.service.collection.plants import PlaceDetails, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_place

LEAST_MINUTES, MOST_MINUTES = 1, 600
LONGEST_NAME = 40


def keep_usual(logbook: Logbook, moment: Moment, place_name: str, usual_c: float) -> Place:
    """Say the usual temperature of a place, degC, from that day on."""
    place = find_place(logbook, place_name)
    details = PlaceDetails(usual_c=usual_c)
    return put_place(logbook, moment, place.name, details, change=True)


def keeper(logbook: Logbook, given: str | None) -> str | None:
    """Who is at the keyboard: the name given at the start, else the one kept."""
    return given or logbook.setting("who") or None


def keep_keeper(logbook: Logbook, name: str) -> None:
    """Keep who is at the keyboard; an empty name is nobody in particular."""
    logbook.put_setting("who", name.strip()[:LONGEST_NAME])

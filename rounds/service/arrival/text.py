"""How many of a delivery to open, in words."""

from collections.abc import Iterator

from rounds import words
from rounds.service.arrival.arrive import Arrived
from rounds.words.forms import minutes_seconds


def found_lines(arrived: Arrived) -> Iterator[str]:
    """How many to open, and for how long to look at each."""
    opening = arrived.opening
    code = "open" if opening.open_units < opening.units else "open-all"
    yield words.say(
        f"arrival.{code}",
        open_units=opening.open_units,
        units=opening.units,
        time=minutes_seconds(opening.full_look_seconds),
    )

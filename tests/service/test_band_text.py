"""How sure a chance clean is, in words: its band, what it leans on, and where nobody has looked."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations_with_replacement

import pytest

from rounds import words
from rounds.core.collection import Plant
from rounds.core.inference.band import refits
from rounds.service.inference.day import record_of
from rounds.service.inference.result import Band
from rounds.service.logbook.book import Logbook
from rounds.service.plant.status import PlantStatus, status_of
from rounds.service.plant.status_text import band_line, clean_text, low_text

Add = Callable[..., Plant]
LookIn = Callable[..., object]
TODAY = date(2026, 5, 4)
CAME = TODAY - timedelta(20)
SLOT = 25
"""columns of a figure on a wide page"""
NARROW = 38


@pytest.fixture
def seen(add: Add, look: LookIn, logbook: Logbook) -> PlantStatus:
    """A plant that was looked at, its band as asked for."""
    plant = add("G02", "Thole", on=CAME)
    look("G02", TODAY - timedelta(1))
    return status_of(record_of(logbook, plant, TODAY))


def banded(status: PlantStatus, low: float, chance: float, high: float) -> PlantStatus:
    return replace(status, chance_clean=chance, band=Band(low, high, "eye-worse"))


def test_the_figure_has_its_band_and_the_assumption_it_leans_on(seen: PlantStatus) -> None:
    status = banded(seen, 0.84, 0.93, 0.96)
    assert clean_text(status) == "chance clean 93 in 100, 84 to 96"
    assert clean_text(status, SLOT) == "chance clean 93 (84-96)"
    assert band_line(status) == "lowest if your eye is half as good"


def test_before_the_band_is_worked_out_the_figure_stands_where_it_will(seen: PlantStatus) -> None:
    status = replace(seen, chance_clean=0.93, band=None)
    assert clean_text(status, SLOT) == "chance clean 93 in 100"
    assert band_line(status) == words.say("band.calculating"), "its line is taken already"


def test_no_assumption_is_named_that_moves_the_figure_by_less_than_is_told(
    seen: PlantStatus,
) -> None:
    assert band_line(banded(seen, 0.931, 0.934, 0.97)) == ""
    assert clean_text(banded(seen, 0.931, 0.934, 0.97)) == "chance clean 93 in 100, 93 to 97"


def test_whatever_it_is_it_has_room_in_a_column_of_the_pages(seen: PlantStatus) -> None:
    ends = (0.0, 0.004, 0.12, 0.93, 0.99, 0.9901, 1.0)
    for low, chance, high in combinations_with_replacement(ends, 3):
        assert len(clean_text(banded(seen, low, chance, high), SLOT)) <= SLOT


def test_every_assumption_has_its_sentence_and_one_for_little_room(
    seen: PlantStatus, logbook: Logbook
) -> None:
    codes = [refit.code for refit in refits(logbook.parameters.infestation) if refit.code]
    for code in codes:
        status = replace(seen, chance_clean=0.9, band=Band(0.5, 0.95, code))
        assert band_line(status) == low_text(code)
        assert len(band_line(status, NARROW)) <= NARROW
    assert set(words.section("band.what")) == set(codes)


def test_of_a_plant_nobody_has_looked_at_it_says_so(add: Add, logbook: Logbook) -> None:
    plant = add("S03", "Pintle", arrived=CAME, on=CAME)
    status = status_of(record_of(logbook, plant, TODAY))
    assert status.band is not None
    assert status.band.low < (status.chance_clean or 0) < status.band.high
    assert band_line(status) == "nobody has looked yet: this figure is assumed, not seen"
    assert len(band_line(status, NARROW)) <= NARROW

"""Plants nobody looks at, beside plants that are: the growth has no end, the figures hold."""

import pytest

from rounds.core.quarantine.forecast import Forecast
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import plan_day

from .asking import TODAY, Add, LookIn, before, record

NEVER_MORE = 1.0
"""crawlers a day from all neighbours, as the table says"""


@pytest.fixture
def forgotten(add: Add, look: LookIn) -> None:
    """Stood apart with insects a year ago, and was not looked at since."""
    add("S03", place="stair foot", arrived=before(400), on=before(400))
    look("S03", before(390), "axils", seconds=60, counts={"removed": 5})
    look("S03", before(379), "axils", seconds=60, counts={"left": 2})


def test_a_forgotten_plant_has_figures_and_no_end(forgotten: None, logbook: Logbook) -> None:
    found = record(logbook, "S03")
    assert found.likely.chance_clean < 1e-3
    assert found.likely.mean.sum() > 1e5
    assert found.likely.left.low < found.likely.mean.sum() < found.likely.left.high
    assert found.likely.risk.value > 99
    assert isinstance(found.forecast, Forecast)


def test_its_neighbour_found_on_every_day_has_figures_too(
    forgotten: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S09", place="stair foot", arrived=before(20), on=before(20), touches=("S03",))
    for days in range(19, 1, -1):
        look("S09", before(days), "axils", seconds=60, counts={"removed": 5})
    found = record(logbook, "S09")
    assert max(found.likely.facts.neighbours.values()) == NEVER_MORE
    assert 0 <= found.likely.chance_clean < 1e-3
    assert found.likely.mean.sum() > 1


def test_its_neighbour_clean_on_every_day_has_figures_too(
    forgotten: None, add: Add, look: LookIn, logbook: Logbook
) -> None:
    add("S09", place="stair foot", arrived=before(180), on=before(180), touches=("S03",))
    for days in range(179, 0, -1):
        look("S09", before(days), seconds=180)
    found = record(logbook, "S09")
    # a crawler a day, nearly all of it found: what came lately may be there still
    assert 1e-5 < found.likely.chance_clean < 0.5
    assert plan_day(logbook, TODAY).plan

"""What a sheet is typed in by: the seconds it was printed with, and no more than was looked."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.entries.looks import WHOLE, LookWritten
from rounds.service.exchange.sheet import sheet_of
from rounds.service.exchange.sheet_entry import (
    Counted,
    SheetDraft,
    ZoneLine,
    draft_kept,
    enter_plant,
    keep_draft,
    order_of,
    zones_on,
)
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import local_noon
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.zones import zones_to_do

TODAY = date(2026, 5, 4)
LONG_AGO = TODAY - timedelta(90)

Add = Callable[..., Plant]


@pytest.fixture(autouse=True)
def _shelf(add: Add, look: Callable[..., LookWritten]) -> None:
    """Small plants of the collection, last seen 1 to 8 days ago."""
    for code, days in (("G02", 1), ("G04", 4), ("G05", 8)):
        add(code, on=LONG_AGO)
        look(code, TODAY - timedelta(days))


def record(logbook: Logbook, code: str) -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, TODAY)


@pytest.mark.parametrize("minutes", [0.25, 60.0])
def test_enter_alone_is_the_time_the_sheet_has_for_a_zone(logbook: Logbook, minutes: float) -> None:
    logbook.keep_minutes(minutes)
    order = order_of(logbook, TODAY)
    printed = {
        plant.status.code: {zone.zone: zone.planned_seconds for zone in plant.zones}
        for plant in sheet_of(logbook, TODAY).plants
    }
    assert order.codes == tuple(printed) == tuple(order.planned)
    assert order.whole == {}
    less, more = False, False
    for code, planned in order.planned.items():
        entered = zones_on(logbook, code, TODAY, planned)
        assert [zone.zone for zone in entered] == list(printed[code])
        needed = {zone.zone: zone.planned_seconds for zone in zones_to_do(record(logbook, code))}
        less |= any(seconds < needed[zone] - 0.1 for zone, seconds in printed[code].items())
        more |= any(seconds > needed[zone] + 0.1 for zone, seconds in printed[code].items())
        for zone in entered:
            # as printed, to the next second
            assert 0 <= zone.planned_seconds - printed[code][zone.zone] < 1
    assert less if minutes < 60 else more


def test_a_plant_that_is_not_on_the_sheet_is_entered_as_long_as_counts_as_seen(
    logbook: Logbook,
) -> None:
    zones = zones_on(logbook, "G02", TODAY)
    assert sum(zone.planned_seconds for zone in zones) == pytest.approx(30, abs=7)


def test_a_sheet_that_was_left_keeps_how_it_goes_on(logbook: Logbook) -> None:
    logbook.keep_minutes(0.95)
    order = order_of(logbook, TODAY)
    assert list(order.whole) == ["G04"]
    lines = (ZoneLine(WHOLE, 50.0), ZoneLine("axils", 0.0, (Counted("removed", 2),)))
    planned = {"G05": {"axils": 3}}
    draft = SheetDraft(TODAY, "Ada", order.codes, "G04", lines, whole=order.whole, planned=planned)
    keep_draft(logbook, draft)
    assert draft_kept(logbook) == draft


def test_a_plant_in_one_go_is_written_whole_or_not_at_all(logbook: Logbook) -> None:
    lines = (ZoneLine(WHOLE, 50.0), ZoneLine("axils", 0.0, (Counted("removed", 10**9),)))
    draft = SheetDraft(TODAY, None, ("G04",), "G04", lines, whole={"G04": 12})
    before = logbook.file.last_number()
    with pytest.raises(Exception, match="1000000000"):
        enter_plant(logbook, local_noon(TODAY), draft)
    assert logbook.file.last_number() == before
    seen = (ZoneLine(WHOLE, 50.0), ZoneLine("axils", 0.0, outcome="hidden"))
    draft = SheetDraft(TODAY, None, ("G04",), "G04", seen, whole={"G04": 12})
    enter_plant(logbook, local_noon(TODAY), draft)
    log = [look for look in record(logbook, "G04").log if look.day == TODAY]
    assert {look.zone for look in log if look.outcome == "cannot-see"} == {"axils"}
    assert sum(look.seconds for look in log) == pytest.approx(50, abs=1e-3)

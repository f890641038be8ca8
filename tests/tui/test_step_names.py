"""Zones that are one step are named on the page of the round."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from rounds.core.collection import Plant
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import plan_day
from rounds.service.round import begin
from rounds.tui.pages.round import round_page

TODAY = date(2026, 5, 4)

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]


@pytest.mark.parametrize(("width", "height"), [(80, 24), (40, 24), (120, 40)])
@pytest.mark.parametrize("form", ["leafy-plant", "sympodial-orchid", "rosette"])
def test_the_name_of_a_step_has_room_on_every_page(
    add: Add, look: LookIn, logbook: Logbook, form: str, width: int, height: int
) -> None:
    add("G02", on=TODAY - timedelta(90), form=form)
    look("G02", TODAY - timedelta(1), "axils", seconds=9, counts={"left": 1})
    begun = begin(logbook, plan_day(logbook, TODAY, 1.0))
    met = set()
    view = begun.view()
    while view.stage == "zone":
        assert view.zone is not None
        text = round_page(view, width, height).text()
        assert view.zone.name in text
        met |= {view.zone.of} if not view.zone.zone else set()
        view = begun.go_on()
        if view.question is not None:
            view = begun.answer("not-now")
    assert met, "some zones are one step"

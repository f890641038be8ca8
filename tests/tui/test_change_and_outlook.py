"""All plants: why a risk is another now, and how it goes on, are told whole at every width."""

from datetime import date
from itertools import product
from pathlib import Path

import pytest

from rounds import words
from rounds.clock import SetClock
from rounds.service.logbook.book import Logbook
from rounds.service.plan.ranking import PlantLine, rank
from rounds.service.plan.today import plan_day
from rounds.service.plant.before import DayBefore
from rounds.tui.page import Page
from rounds.tui.pages.plants import PlantsView, plants_page
from rounds.words.forms import codes_text
from tests.tui.conftest import Opens
from tests.tui.reading import complaints
from tests.tui.tours import worked_out

SIZES = ((40, 24), (60, 20), (80, 24), (40, 36), (120, 40))


def bottom_of(page: Page) -> str:
    return " ".join(" ".join(page.text().splitlines()[-8:]).split())


def test_every_plant_says_what_its_risk_was_and_when_it_may_rejoin(
    demo: Path, clock: SetClock
) -> None:
    on = clock.today()
    apart = 0
    with Logbook(demo, clock) as logbook:
        day = plan_day(logbook, on)
        lines, before = rank(day).lines, DayBefore(day)
        before.work_out([line.plant_id for line in lines], 60.0)
        for (mark, line), size in product(enumerate(lines), SIZES):
            view = PlantsView(on, lines, len(lines), mark, "need", "all", "", None, None, before)
            page = plants_page(view, *size)
            assert complaints(page, plain=True) == []
            change = before.change(line.plant_id, brief=size[0] < 80)
            assert change
            told, found, rest = bottom_of(page).partition(change)
            assert found, f"{line.code} at {size}: {told}"
            if line.standing == "quarantine":
                assert "rejoin" in rest
                apart += 1
    assert apart == 5 * len(SIZES)


LONGEST = words.say(
    "lives.change.was-brief",
    was=38,
    day="28 September",
    why=words.say(
        "lives.change.company-brief", codes=codes_text(["G01", "G02", "G03", *"ABCDEFG"])
    ),
)


@pytest.mark.parametrize("earliest", [date(2026, 9, 20), date(2027, 9, 20), date(2026, 5, 4), None])
@pytest.mark.parametrize("size", [(40, 24), (60, 20)])
def test_the_longest_cause_leaves_room_for_the_outlook(
    demo: Path,
    clock: SetClock,
    monkeypatch: pytest.MonkeyPatch,
    size: tuple[int, int],
    earliest: date | None,
) -> None:
    monkeypatch.setattr(PlantLine, "earliest", earliest)
    monkeypatch.setattr(DayBefore, "change", lambda *_, **__: LONGEST)
    with Logbook(demo, clock) as logbook:
        day = plan_day(logbook, clock.today())
        lines = [line for line in rank(day).lines if line.standing == "quarantine"]
        view = PlantsView(day.on, lines, 5, 0, "need", "all", "", None, None, DayBefore(day))
        page = plants_page(view, *size)
    assert complaints(page, plain=True) == []
    bottom = bottom_of(page)
    assert LONGEST in bottom
    rest = bottom.partition(LONGEST)[2]
    is_beyond_a_row = size[0] == 40 and earliest is not None and earliest.year == 2027
    assert is_beyond_a_row or "rejoin" in rest or "no day" in rest
    assert ".." not in bottom


async def test_at_sixty_columns_the_risk_before_has_a_column(demo: Path, opened: Opens) -> None:
    async with opened(demo, size=(60, 20)) as driver:
        await driver.press("l")
        await worked_out(driver)
        assert driver.row_with("last look").split()[1:3] == ["risk", "was"]
        assert driver.row_with("3 ║ G07").split()[-5:] == ["33", "31", "1", "d", "ago"]
        await driver.resize(59, 20)
        assert driver.row_with("last look").split()[1:3] == ["risk", "last"]

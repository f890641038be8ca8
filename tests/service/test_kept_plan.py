"""The split of a round is kept: the same as made anew, and made anew whenever it would differ."""

from collections.abc import Callable
from datetime import date
from itertools import pairwise

import pytest

from rounds.core.collection import Plant
from rounds.core.plan import split as splitting
from rounds.core.plan.calls import Calls
from rounds.service.entries.looks import LookWritten
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import DayPlan, plan_day
from rounds.store import derived

TODAY = date(2026, 5, 4)
BEFORE = date(2026, 4, 27)

Add = Callable[..., Plant]
Looked = Callable[..., LookWritten]
Shares = list[tuple[str, list[float]]]


@pytest.fixture
def splits(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The seconds of every split that was worked out."""
    made: list[float] = []
    usual = splitting.split

    def split(calls: Calls, seconds: float) -> splitting.Split:
        made.append(seconds)
        return usual(calls, seconds)

    monkeypatch.setattr(splitting, "split", split)
    return made


@pytest.fixture
def three_plants(add: Add, look: Looked) -> None:
    """One of them with a find, all seen a week ago."""
    for code in ("G02", "S03", "G07"):
        add(code, on=date(2026, 4, 1))
        look(code, BEFORE)
    look("S03", BEFORE, "axils", seconds=30, counts={"removed": 1})


def shares(plan: DayPlan) -> Shares:
    """Who is looked at, and for how long at each zone."""
    return [(p.status.code, [z.planned_seconds for z in p.zones]) for p in plan.plan]


def made_anew(logbook: Logbook, minutes: float) -> Shares:
    """The same with nothing kept."""
    derived.forget_all(logbook.file)
    return shares(plan_day(logbook, TODAY, minutes))


@pytest.mark.usefixtures("three_plants")
def test_a_plan_that_is_asked_for_again_is_not_made_again(
    logbook: Logbook, splits: list[float]
) -> None:
    first = shares(plan_day(logbook, TODAY, 3.0))
    assert splits == [180.0]
    assert shares(plan_day(logbook, TODAY, 3.0)) == first
    assert splits == [180.0]
    assert made_anew(logbook, 3.0) == first


@pytest.mark.usefixtures("three_plants")
def test_whatever_would_change_the_plan_has_it_made_again(
    logbook: Logbook, add: Add, look: Looked, splits: list[float]
) -> None:
    changes: list[Callable[[], object]] = [
        lambda: look("G02", TODAY, "axils", seconds=30),
        lambda: look("G07", TODAY, "axils", seconds=30, counts={"removed": 2}),
        lambda: add("G11", value=5.0),
        lambda: logbook.put_setting("hygiene", "off"),
    ]
    seen = [shares(plan_day(logbook, TODAY, 3.0))]
    for change in changes:
        change()
        seen.append(shares(plan_day(logbook, TODAY, 3.0)))
        assert seen[-1] == made_anew(logbook, 3.0)
    seen.append(shares(plan_day(logbook, TODAY, 4.0)))
    assert seen[-1] == made_anew(logbook, 4.0)
    assert all(before != after for before, after in pairwise(seen))
    assert len(splits) == len(seen) + len(changes) + 1


@pytest.mark.usefixtures("three_plants")
def test_one_split_is_kept_whoever_comes_first(logbook: Logbook, look: Looked) -> None:
    plan_day(logbook, TODAY, 3.0)
    look("G07", TODAY, "axils", seconds=30, counts={"removed": 2})
    plan_day(logbook, TODAY, 3.0)
    with logbook.file.reading() as connection:
        kept = connection.execute("SELECT plant_id FROM derived WHERE what = 'split'").fetchall()
    assert kept == [(min(logbook.collection().plants),)]


def test_without_plants_nothing_is_kept(logbook: Logbook) -> None:
    assert shares(plan_day(logbook, TODAY, 3.0)) == []
    with logbook.file.reading() as connection:
        assert connection.execute("SELECT 1 FROM derived").fetchone() is None

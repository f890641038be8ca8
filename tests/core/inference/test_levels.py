"""Whether a level is reached on a day ahead: told by few days as by all of them."""

from collections.abc import Callable, Iterable
from datetime import timedelta

import numpy as np
import pytest

from rounds.core.biology.day import Values
from rounds.core.inference.ahead import DaysAhead
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts, Refit
from rounds.core.inference.levels import Looks, settle
from rounds.core.inference.observed import Find, ImpossibleEntry, Log, LoggedDay, Look
from rounds.core.log.effective import EffectiveLook
from rounds.core.quarantine.days import DayLooked
from rounds.core.quarantine.outlook import NotWorkedOut, Outlook

from .asked import chances_ahead
from .logs import DAY_0, LEAFY, PARAMETERS, facts, on, tally, whole

LAST = 60
LEVELS = (0.3, 0.8, 0.95, 0.99)
WHOLE = {zone.zone: zone.reference_seconds for zone in LEAFY.outside}


def looked(every: int, days: int = 21) -> list[EffectiveLook]:
    """Five finds in the first two weeks."""
    found = {
        0: {"axils": [tally(2)]},
        every: {"axils": [tally(stage="adult")], "undersides": [tally(stage="young")]},
        14 // every * every: {"new-growth": [tally()]},
    }
    return [k for day in range(0, days, every) for k in whole(day, found.get(day, {}))]


def adults_left() -> list[EffectiveLook]:
    """So many that clean looks at them are next to impossible."""
    return whole(3, {"axils": [tally(300, "left", "adult")]})


CASES: dict[str, tuple[PlantFacts, int]] = {
    "daily": (facts(looked(1)), 1),
    "weekly, in the cold": (facts(looked(7), celsius=15.0), 7),
    "in the collection": (facts(looked(3), apart=False, celsius=25.0), 3),
    "nothing found": (facts([]), 2),
    "many left alive": (facts(adults_left()), 1),
}


def at_all_zones() -> Look:
    """One look at all zones at which nothing is found."""
    [look] = gather(facts(whole(0)), on(0), PARAMETERS).log.days[0].looks
    return look


@pytest.fixture(params=CASES)
def case(request: pytest.FixtureRequest) -> tuple[Log, Callable[[int], LoggedDay], Looks]:
    """A log of three weeks, the days after it, and when there are looks."""
    of, every = CASES[request.param]
    evidence = gather(of, on(21), PARAMETERS)
    step = evidence.process.day(20.0, 20.0)
    look = at_all_zones()

    def has_look(number: int) -> bool:
        return number % every == 0

    def day(number: int) -> LoggedDay:
        return LoggedDay(step, 1e-3, (look,) if has_look(number) else ())

    return evidence.log, day, Looks(has_look, [14])


def every_day(log: Log, day: Callable[[int], LoggedDay]) -> Values:
    return chances_ahead(log, [day(number) for number in range(1, LAST + 1)])


def drain(steps: Iterable[None]) -> None:
    for _ in steps:
        pass


@pytest.mark.parametrize("level", LEVELS)
def test_a_level_is_reached_on_the_very_days_on_which_each_day_alone_reaches_it(
    case: tuple[Log, Callable[[int], LoggedDay], Looks], level: float
) -> None:
    log, day, looks = case
    days = DaysAhead(log, day, LAST)
    told = []
    for number in range(LAST + 1):
        drain(settle(days, number, [level], looks))
        told.append(days.bounds(number)[0] >= level)
    assert told == (every_day(log, day) >= level).tolist()
    assert len(days.worked_out) <= 20


def test_whatever_was_worked_out_the_bounds_hold_every_day(
    case: tuple[Log, Callable[[int], LoggedDay], Looks],
) -> None:
    log, day, _ = case
    days = DaysAhead(log, day, LAST)
    assert days.bounds(7) == (0.0, 1.0)
    chances = every_day(log, day)
    for more in ([30], [10, 50], [11, 12]):
        drain(days.work_out(more))
        bounds = np.array([days.bounds(number) for number in range(LAST + 1)])
        assert (bounds[:, 0] <= chances * (1 + 1e-12)).all()
        assert (bounds[:, 1] >= chances * (1 - 1e-12)).all()
        for number in more:
            assert bounds[number] == pytest.approx(chances[number], rel=1e-12)


def test_next_to_impossible_looks_have_no_chance() -> None:
    of, _ = CASES["many left alive"]
    evidence = gather(of, on(21), PARAMETERS)
    step = evidence.process.day(20.0, 20.0)
    look = at_all_zones()
    days = DaysAhead(evidence.log, lambda _: LoggedDay(step, 1e-3, (look,)), LAST)
    assert days.is_exact
    drain(days.work_out([2, 40]))
    assert days.bounds(40) == (0.0, 0.0)
    assert days.bounds(50) == (0.0, 0.0)


def to_come() -> list[DayLooked]:
    """A clean look at all zones on every second day."""
    days = [on(21) + timedelta(days=number) for number in range(2, LAST, 2)]
    return [DayLooked(day, True, False, True, False) for day in days]


def outlook(*levels: float, in_steps: bool = False) -> Outlook:
    of, _ = CASES["daily"]
    return Outlook(
        of, on(21), PARAMETERS, to_come(), [], 20.0, Refit(0.5), levels=levels, in_steps=in_steps
    )


def test_an_outlook_asked_for_levels_reaches_the_same_ones() -> None:
    chance, told = outlook(), outlook(0.9, 0.96)
    for number in range(LAST):
        day = on(21 + number)
        assert [told(day) >= level for level in (0.9, 0.96)] == [
            chance(day) >= level for level in (0.9, 0.96)
        ]
    assert chance(on(21)) < 0.9 < 0.96 < chance(on(20 + LAST))


def test_an_outlook_in_steps_hands_them_over_and_then_knows() -> None:
    whole_run, in_steps = outlook(0.9), outlook(0.9, in_steps=True)
    day = on(40)
    with pytest.raises(NotWorkedOut) as asked:
        in_steps(day)
    drain(asked.value.steps)
    assert (in_steps(day) >= 0.9) == (whole_run(day) >= 0.9)


def test_an_entry_that_cannot_be_is_named_here_too() -> None:
    log = gather(facts(whole(0)), DAY_0, PARAMETERS).log
    nothing = np.zeros(len(log.landing))
    found = Look(np.ones(len(nothing)), (Find(nothing, 1, entry=77),))
    cannot = Log(log.start, log.landing, (*log.days, LoggedDay(None, 0.0, (found,))))
    days = DaysAhead(cannot, lambda _: LoggedDay(None), LAST)
    with pytest.raises(ImpossibleEntry) as fault:
        drain(days.work_out([3]))
    assert fault.value.entry == 77

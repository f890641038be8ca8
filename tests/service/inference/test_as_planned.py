"""Figures in a round are those of the look as planned, whatever is pressed, and when."""

import pytest
from hypothesis import assume, given, settings

from rounds.service.round.live import Likely

from .asking import exact
from .planned import (
    CODE,
    Inspected,
    Press,
    counts,
    histories,
    inspected,
    kinds,
    layouts,
    presses,
    shares,
    stages,
)

FEW = settings(max_examples=15)
CLOSE = 1e-9


def same(one: Likely, other: Likely, within: float = CLOSE) -> bool:
    """Whether both say the same."""
    return (
        abs(one.chance_clean - other.chance_clean) <= within
        and one.left == pytest.approx(other.left, rel=1e-6, abs=within)
        and one.risk == pytest.approx(other.risk, rel=1e-6, abs=within)
    )


def press_all(at: Inspected, pressed: list[Press], share: float = 0.0) -> list[Likely]:
    """The figures before and after each press, which comes after a share of what was planned."""
    figures = []
    for press in pressed:
        if not at.is_under_way:
            break
        at.wait(share * at.planned_left())
        figures.append(at.likely())
        at.press(press)
        figures.append(at.likely())
    return figures


def end_plant(at: Inspected, promised: Likely) -> None:
    """Look at the plant to its end as planned: what was promised is what the log then says."""
    doubted = any(look.open_doubts() for look in at.walked.plant.today)
    while at.is_under_way:
        at.end_as_planned()
    log_says = exact(at.logbook, CODE)
    # a speck nobody is sure of is taken for the worse of what it may be
    assert promised.chance_clean <= log_says + CLOSE
    assert doubted or promised.chance_clean == pytest.approx(log_says, abs=CLOSE)


@FEW
@given(histories, layouts, presses)
def test_what_is_shown_is_what_the_log_says_once_the_plant_was_looked_at_as_planned(
    history: str, layout: str, pressed: list[Press]
) -> None:
    with inspected(history, layout) as at:
        press_all(at, pressed)
        assume(at.is_under_way)
        at.place()
        promised = at.likely()
        assume(promised.method == "exact")
        end_plant(at, promised)


@FEW
@given(histories, layouts, presses, shares)
def test_how_early_within_the_planned_seconds_is_of_no_account(
    history: str, layout: str, pressed: list[Press], share: float
) -> None:
    here = [press for press in pressed if press[0] != "space"]
    if layout != "zones":
        # what is planned once it is said where a find was hangs on the seconds before
        here = here[:1]
    with inspected(history, layout) as hasty, inspected(history, layout) as slow:
        for one, other in zip(press_all(hasty, here), press_all(slow, here, share), strict=True):
            assert same(one, other)


@FEW
@given(histories, layouts, presses, kinds, stages)
def test_a_stage_moves_the_figures_at_once(
    history: str, layout: str, pressed: list[Press], kind: str, stage: Press
) -> None:
    with inspected(history, layout) as at:
        press_all(at, pressed)
        assume(at.is_under_way)
        at.press(("count", kind, 1))
        at.press(stage)
        at.place()
        promised = at.likely()
        assume(promised.method == "exact")
        end_plant(at, promised)


@FEW
@given(histories, layouts, presses, shares)
def test_a_doubtful_speck_never_raises_the_chance(
    history: str, layout: str, pressed: list[Press], share: float
) -> None:
    with inspected(history, layout) as at:
        press_all(at, pressed)
        assume(at.is_under_way)
        at.place()
        at.wait(share * at.time_left())
        sure = at.likely()
        at.press(("count", "doubtful", 1))
        assert at.likely().chance_clean <= sure.chance_clean + CLOSE


@FEW
@given(histories, layouts, presses)
def test_to_close_a_zone_when_its_time_is_over_moves_nothing(
    history: str, layout: str, pressed: list[Press]
) -> None:
    with inspected(history, layout) as at:
        press_all(at, [press for press in pressed if press[0] != "space"])
        at.place()
        while at.is_under_way:
            shown = at.likely()
            at.end_as_planned()
            assert same(at.likely(), shown)


@FEW
@given(histories, layouts, presses, shares)
def test_a_zone_closed_too_early_never_raises_the_chance(
    history: str, layout: str, pressed: list[Press], share: float
) -> None:
    with inspected(history, layout) as at:
        press_all(at, pressed)
        at.place()
        assume(at.is_under_way)
        shown = at.likely()
        at.wait(share * at.time_left())
        at.press(("space", "", 0))
        assert at.likely().chance_clean <= shown.chance_clean + CLOSE


@FEW
@given(histories, layouts, presses, counts, shares)
def test_a_find_never_leaves_it_above_the_same_look_without_it(
    history: str, layout: str, pressed: list[Press], press: Press, share: float
) -> None:
    with inspected(history, layout) as at:
        press_all(at, pressed)
        assume(at.is_under_way)
        at.place()
        at.wait(share * at.time_left())
        without = at.likely()
        at.press(press)
        assert at.likely().chance_clean <= without.chance_clean + CLOSE


@FEW
@given(histories, layouts, presses, counts | stages, shares)
def test_what_is_undone_moves_nothing(
    history: str, layout: str, pressed: list[Press], press: Press, share: float
) -> None:
    with inspected(history, layout) as at:
        press_all(at, pressed)
        assume(at.is_under_way)
        at.place()
        before = at.likely()
        at.wait(share * at.planned_left())
        entries = at.logbook.file.last_number()
        at.press(press)
        assume(at.logbook.file.last_number() > entries)
        at.walked.take_back()
        assert same(at.likely(), before, within=0.0)

"""Chance clean while a plant is looked at: what is shown is what the log will say."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from rounds import words
from rounds.core.collection import Plant
from rounds.core.inference.answer import Answer, answer
from rounds.core.inference.observed import Log
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundWalk, live, resume
from rounds.store import derived
from rounds.words.forms import left

from .asking import TODAY, Add, LookIn, before, chance, exact, record
from .course import answers
from .walking import count, end_zone, shown

Wait = Callable[[float], None]
CLOSE = 1e-9
SUMMED_APART = 0.02
"""by which a figure may be off where finds of the past had to be taken together"""


def end_plant(walked: RoundWalk, wait: Wait) -> None:
    """The plant is looked at as planned, to its end."""
    plant = walked.plant.plant.id
    while walked.view().stage == "zone" and walked.plant.plant.id == plant:
        end_zone(walked, wait)


@pytest.mark.parametrize("zones", [0, 3, 6])
@pytest.mark.parametrize("found", range(5))
def test_what_is_shown_is_what_the_log_says_once_the_plant_was_looked_at_as_planned(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait, zones: int,
    found: int,
) -> None:  # fmt: skip
    walked = walk()
    promised = shown(walked)
    for _ in range(zones):
        end_zone(walked, wait)
        assert shown(walked) == pytest.approx(promised, abs=CLOSE)
    count(walked, found)
    promised = shown(walked)
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(promised, abs=CLOSE)
    assert chance(logbook, "S03") == pytest.approx(promised, abs=CLOSE)


def test_every_press_moves_it(apart: Plant, walk: Callable[[], RoundWalk], wait: Wait) -> None:
    walked = walk()
    by_count = []
    for _ in range(5):
        by_count.append(shown(walked))
        walked.count("removed")
    assert by_count == sorted(by_count, reverse=True)
    assert len(set(by_count)) == 5
    assert by_count[0] > 2 * by_count[1]


def test_a_plant_is_shown_as_it_will_be_after_the_look(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    before_it = chance(logbook, "S03")
    walked = walk()
    assert shown(walked) > before_it
    for _ in range(3):
        end_zone(walked, wait)
    halfway = exact(logbook, "S03")
    assert before_it < halfway < shown(walked)


def test_a_zone_that_takes_longer_than_planned_raises_it_with_the_clock(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    walked = walk()
    planned, figures = walked.course.step.planned_seconds, [shown(walked)]
    wait(planned)
    assert shown(walked) == figures[0]
    for _ in range(3):
        wait(2)
        figures.append(shown(walked))
    assert figures == sorted(set(figures))
    walked.go_on()
    assert shown(walked) == pytest.approx(figures[-1], abs=CLOSE)
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(figures[-1], abs=CLOSE)


def test_a_zone_left_too_soon_lowers_it_by_what_was_not_seen(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    walked = walk()
    planned = shown(walked)
    wait(1)
    walked.go_on()
    hasty = shown(walked)
    assert hasty < planned
    walked.take_back()
    assert shown(walked) == planned
    walked.go_on()
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(hasty, abs=CLOSE)


def test_the_plant_that_is_left_is_shown_as_it_was_entered(
    add: Add, look: LookIn, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    for code in ("S03", "S09"):
        add(code, place="stair foot", arrived=before(9), on=before(9))
    walked = walk()
    wait(3)
    walked.rest()
    assert walked.view().stage == "hygiene"
    assert shown(walked) == pytest.approx(exact(logbook, walked.plant.plant.code), abs=CLOSE)


def test_more_than_the_frame_of_a_key_tells_apart_is_told_between_keys(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    walked = walk()
    for _ in range(3):
        walked.digit(5)
        walked.count("removed")
        walked.give_stage("young")
        walked.count("killed")
    view = walked.view().plant
    assert view is not None
    assert view.is_rough
    assert view.left_text.startswith("roughly ")
    rough = shown(walked)
    assert walked.look_ahead()
    view = walked.view().plant
    assert view is not None
    assert not view.is_rough
    better = shown(walked)
    end_plant(walked, wait)
    log_says = exact(logbook, "S03")
    assert abs(better - log_says) <= abs(rough - log_says) + CLOSE
    assert better == pytest.approx(log_says, abs=SUMMED_APART)


@pytest.mark.parametrize("found", [0, 1])
def test_many_finds_of_the_past_leave_it_near_the_figure_of_the_morning(
    add: Add, look: LookIn, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait, found: int
) -> None:
    add("S03", size="medium", place="stair foot", arrived=before(58), on=before(58))
    for days in range(58, 0, -1):
        look("S03", before(days), seconds=90.0)
    young = [(57, "sheaths", 1), (44, "undersides", 2), (22, "new-growth", 1)]
    young += [(days, "undersides", 1) for days in (56, 53, 51, 18, 6)]
    for days, zone, number in young:
        look("S03", before(days), zone, seconds=30.0, counts={"removed": number}, stage="young")
    one = {"removed": 1}
    look("S03", before(51), "sheaths", seconds=30.0, counts=one, stage="adult")
    look("S03", before(23), "roots", seconds=120.0, counts=one, stage="adult", unpotted=True)
    assert chance(logbook, "S03") > 0
    walked = walk()
    count(walked, found)
    while walked.look_ahead():
        pass
    promised = shown(walked)
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(promised, abs=SUMMED_APART)


@pytest.mark.parametrize("kinds", [(), ("removed", "removed"), ("left",), ("doubtful",)])
def test_left_and_risk_move_with_the_press(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait,
    kinds: tuple[str, ...],
) -> None:  # fmt: skip
    walked = walk()
    at_first = walked.likely()
    for kind in kinds:
        walked.count(kind)
    promised = walked.likely()
    assert at_first is not None
    assert promised is not None
    view = walked.view().plant
    assert view is not None
    assert view.risk_text == words.say("round.risk", value=round(promised.risk))
    assert view.left_text == left(promised.left)
    end_plant(walked, wait)
    kept = record(logbook, "S03").likely
    assert promised.left == pytest.approx(kept.mean.sum(), rel=1e-9)
    assert promised.risk == pytest.approx(kept.risk.value, rel=1e-9)
    if kinds:
        assert promised.left > at_first.left
        assert promised.risk > at_first.risk


def test_left_there_it_is_not_clean(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    walked = walk()
    walked.count("left")
    assert shown(walked) == 0
    walked.take_back()
    assert shown(walked) > 0.1
    walked.count("left")
    for _ in range(3):
        end_zone(walked, wait)
        assert shown(walked) == pytest.approx(0, abs=1e-12)
    assert exact(logbook, "S03") == pytest.approx(0, abs=1e-12)


def test_left_there_this_morning_and_taken_off_now_it_may_be_clean(
    apart: Plant, look: LookIn, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    look("S03", TODAY, "axils", seconds=12, counts={"left": 1})
    walked = walk()
    while walked.course.step.zone != "axils":
        assert shown(walked) == pytest.approx(0, abs=1e-12)
        end_zone(walked, wait)
    not_found = shown(walked)
    walked.count("removed")
    promised = shown(walked)
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(promised, abs=CLOSE)
    assert not_found < 1e-12 < 0.03 < promised


@pytest.mark.parametrize(("kind", "stage"), [("killed", None), ("removed", "eggs"),
                                             ("removed", "adult")])  # fmt: skip
def test_how_it_was_found_and_what_it_was_moves_it_at_once(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait, kind: str,
    stage: str | None,
) -> None:  # fmt: skip
    walked = walk()
    walked.count("removed")
    taken_off = shown(walked)
    walked.take_back()
    walked.count(kind)
    if stage is not None:
        assert shown(walked) == taken_off
        walked.give_stage(stage)
    promised = shown(walked)
    assert abs(promised - taken_off) > 1e-4
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(promised, abs=CLOSE)


@pytest.mark.parametrize("doubts", [1, 2, 3])
def test_a_zone_with_a_doubt_counts_as_unseen(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait, doubts: int
) -> None:
    walked = walk()
    clean = shown(walked)
    count(walked, doubts, "doubtful")
    promised = shown(walked)
    assert promised < clean
    # the third counts as alive
    assert (promised < CLOSE) == (doubts > 2)
    if doubts < 3:
        found = replace_doubt(walked)
        assert found < promised
        promised = found
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(promised, abs=CLOSE)


def test_a_doubt_does_not_raise_it_where_the_sums_would(
    apart: Plant, walk: Callable[[], RoundWalk], monkeypatch: pytest.MonkeyPatch
) -> None:
    def likelier_where_little_was_seen(log: Log, budget: int, **asked: bool) -> Answer:
        unseen = [look.unseen.mean() for look in log.days[-1].looks]
        return replace(answer(log, budget, **asked), chance_clean=float(min(unseen)))

    monkeypatch.setattr(live, "answer", likelier_where_little_was_seen)
    walked = walk()
    clean = shown(walked)
    walked.count("doubtful")
    assert shown(walked) == clean
    walked.take_back()
    walked.count("removed")
    found = shown(walked)
    walked.count("doubtful")
    assert shown(walked) == found


def replace_doubt(walked: RoundWalk) -> float:
    """What is shown with an insect in place of the last doubt."""
    walked.take_back()
    walked.count("removed")
    return shown(walked)


@pytest.mark.parametrize("verdict", ["yes", "remains", "no"])
def test_an_answer_about_an_earlier_doubt_moves_it(
    add: Add, look: LookIn, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait,
    verdict: str,
) -> None:  # fmt: skip
    add("S03", place="stair foot", arrived=before(9), on=before(9))
    look("S03", before(4))
    look("S03", before(1), "axils", seconds=30, counts={"doubtful": 1})
    walked = walk()
    while walked.course.step.zone != "axils":
        end_zone(walked, wait)
    unsettled = shown(walked)
    question = walked.view().question
    assert question is not None
    assert question.code == "doubt"
    walked.answer(verdict)
    promised = shown(walked)
    assert (promised < unsettled - 0.1) if verdict == "yes" else (promised > unsettled)
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(promised, abs=CLOSE)


def test_a_hidden_zone_tells_nothing(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    walked = walk()
    end_zone(walked, wait)
    if_seen = shown(walked)
    walked.hidden()
    walked.digit(1)
    promised = shown(walked)
    assert promised < if_seen
    walked.back()
    assert shown(walked) == pytest.approx(if_seen, abs=CLOSE), "it is looked at after all"
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(if_seen, abs=CLOSE)


def test_each_plant_has_its_own_figure(
    add: Add, look: LookIn, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    for code, source in (("S03", "fair"), ("S09", "a neighbour")):
        add(code, place="stair foot", arrived=before(9), on=before(9), source=source)
    for days in (8, 6, 4):
        look("S09", before(days))
    walked = walk()
    figures: dict[str, float] = {}
    while (view := walked.view()).stage != "end":
        if view.stage == "hygiene":
            walked.go_on()
            continue
        code = walked.plant.plant.code
        figures[code] = shown(walked)
        end_plant(walked, wait)
        assert exact(logbook, code) == pytest.approx(figures[code], abs=CLOSE)
    assert figures["S09"] > figures["S03"] + 0.02


def test_put_apart_while_it_is_looked_at(
    add: Add, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    add("G02", on=before(40))
    walked = walk()
    walked.count("removed")
    among_others = shown(walked)
    walked.answer("put-apart")
    promised = shown(walked)
    end_plant(walked, wait)
    assert exact(logbook, "G02") == pytest.approx(promised, abs=CLOSE)
    # fewer come by where it stands now, so the one found was rather not the only one
    assert 0 < among_others - promised < 0.01


# Taken back, left and come back to.


def test_taken_back_the_former_figure_is_shown(
    apart: Plant, walk: Callable[[], RoundWalk], wait: Wait
) -> None:
    walked = walk()
    at_first = shown(walked)
    for kind in ("removed", "killed", "left", "doubtful"):
        walked.count(kind)
        assert shown(walked) < at_first
        walked.take_back()
        assert shown(walked) == at_first
    walked.count("removed")
    walked.give_stage("eggs")
    end_zone(walked, wait)
    with_eggs = shown(walked)
    walked.take_back()
    assert shown(walked) == pytest.approx(with_eggs, abs=1e-12)
    walked.take_back()
    walked.take_back()
    assert walked.view().zone is not None
    assert shown(walked) == pytest.approx(at_first, abs=1e-2), "longer than planned, and clean"


def test_come_back_to_it_shows_the_same(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    walked = walk()
    end_zone(walked, wait)
    walked.count("removed")
    end_zone(walked, wait)
    walked.count("removed")
    figure = shown(walked)
    walked.leave()
    with Logbook(logbook.file.path, logbook.clock) as other:
        assert shown(resume(other, walked.walk)) == pytest.approx(figure, abs=1e-12)


def test_after_the_plant_what_is_kept_is_what_was_entered(
    apart: Plant, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    walked = walk()
    shown_before = shown(walked)
    # not as long as planned, with finds of every kind
    for number in range(6):
        wait(2.5 + number)
        walked.count(("removed", "killed", "doubtful")[number % 3])
        walked.go_on()
    wait(4)
    walked.go_on()
    assert walked.view().stage == "end"
    kept = answers(logbook, TODAY)
    assert chance(logbook, "S03") == pytest.approx(exact(logbook, "S03"), abs=1e-12)
    assert chance(logbook, "S03") < shown_before
    derived.forget_all(logbook.file)
    assert answers(logbook, TODAY) == kept


def test_with_many_finds_of_the_past_it_is_nearly_what_the_log_says(
    add: Add, look: LookIn, walk: Callable[[], RoundWalk], logbook: Logbook, wait: Wait
) -> None:
    add("S03", place="stair foot", arrived=before(30), on=before(30))
    zones = ("axils", "undersides", "sheaths", "new-growth", "stem-base", "axils", "medium")
    for number, zone in enumerate(zones):
        look("S03", before(30 - number))
        look("S03", before(30 - number), zone, seconds=20, counts={"removed": 1})
    for days in range(22, 0, -1):
        look("S03", before(days))
    walked = walk()
    count(walked, 1)
    rough = shown(walked)
    assert walked.look_ahead()
    promised = shown(walked)
    end_plant(walked, wait)
    assert exact(logbook, "S03") == pytest.approx(rough, abs=SUMMED_APART)
    assert exact(logbook, "S03") == pytest.approx(promised, abs=SUMMED_APART)


# How often it is worked out.


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The budget of each figure that is worked out from now on."""
    found: list[int] = []

    def counting(log: Any, budget: int, **asked: Any) -> Any:
        found.append(budget)
        return answer(log, budget, **asked)

    monkeypatch.setattr(live, "answer", counting)
    return found


def test_what_was_shown_before_is_looked_up(
    apart: Plant, walk: Callable[[], RoundWalk], wait: Wait, made: list[int]
) -> None:
    walked = walk()
    for press in (walked.view, walked.other_key, walked.pause, walked.hidden, walked.take_back):
        press()
        walked.view()
    wait(1)
    walked.view()
    assert len(made) == 1
    walked.count("removed")
    walked.give_stage("eggs")
    assert len(made) == 3
    for _ in range(2):
        walked.take_back()
        walked.view()
    walked.count("removed")
    assert len(made) == 3
    end_zone(walked, wait)
    walked.view()
    assert len(made) == 3, "a zone closed as planned is as it was shown"


def test_the_next_keys_are_made_ready_between_keys(
    apart: Plant, walk: Callable[[], RoundWalk], wait: Wait, made: list[int]
) -> None:
    walked = walk()
    shown(walked)
    while walked.look_ahead():
        pass
    ready = len(made)
    walked.count("removed")
    assert len(made) == ready == 2
    while walked.look_ahead():
        pass
    ready = len(made)
    for stage in ("adult", "young", "eggs"):
        walked.give_stage(stage)
    walked.take_back()
    walked.count("removed")
    assert len(made) - ready <= 1

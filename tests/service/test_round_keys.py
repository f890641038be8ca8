"""Each key of a round: what it writes, what it shows."""

from collections.abc import Callable

import pytest

from rounds import words
from rounds.core.collection import Plant
from rounds.core.log.effective import EffectiveLook
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.round import RoundView, RoundWalk, resume
from rounds.service.round.view import Counts

Wait = Callable[[float], None]
KINDS = ("removed", "killed", "left", "doubtful")
OUTSIDE = ["new-growth", "undersides", "axils", "sheaths", "stem-base", "medium", "pot-rim"]


@pytest.fixture
def g02(add: Callable[..., Plant], walk: Callable[[], RoundWalk]) -> RoundWalk:
    """A round of one small leafy plant, G02, at its first zone."""
    add("G02")
    return walk()


def on_disk(walk: RoundWalk) -> tuple[EffectiveLook, ...]:
    """What stands in the log of the plant at hand, read anew."""
    with Logbook(walk.logbook.file.path, walk.logbook.clock) as other:
        plant = other.collection().plants[walk.plant.plant.id]
        return record_of(other, plant, walk.walk.day).log


def zone(view: RoundView) -> str:
    assert view.zone is not None
    return view.zone.zone


def counts(view: RoundView) -> Counts:
    assert view.zone is not None
    return view.zone.counts


def state(view: RoundView, zone: str) -> str:
    assert view.plant is not None
    return next(line.state for line in view.plant.zones if line.zone == zone)


def test_a_round_begins_at_the_first_zone_of_the_first_plant(g02: RoundWalk) -> None:
    view = g02.view()
    assert (view.stage, zone(view), counts(view)) == ("zone", "new-growth", Counts())
    assert view.zone is not None
    assert (view.zone.number, view.zone.of) == (1, 7)
    # an hour for one plant: as long as is credited
    assert view.zone.planned_seconds == pytest.approx(3 * 60 * 0.15 / 0.95)
    assert view.plant is not None
    assert [line.zone for line in view.plant.zones] == [*OUTSIDE, "roots"]


@pytest.mark.parametrize("kind", KINDS)
def test_a_count_is_on_disk_when_it_is_seen(g02: RoundWalk, wait: Wait, kind: str) -> None:
    wait(5)
    assert counts(g02.count(kind)) == Counts(**{kind: 1})
    assert counts(g02.count(kind)) == Counts(**{kind: 2})
    [look] = on_disk(g02)
    assert look.is_open
    assert [(t.kind, t.count, t.pest) for t in look.tallies] == [(kind, 1, "mealybug")] * 2
    assert look.seconds == 5


def test_figures_before_a_count_say_how_many(g02: RoundWalk) -> None:
    assert g02.digit(1).pending == "1"
    assert g02.digit(2).pending == "12"
    view = g02.count("removed")
    assert (view.pending, counts(view)) == ("", Counts(removed=12))
    assert counts(g02.count("removed")) == Counts(removed=13)


def test_figures_end_at_99_and_do_not_begin_with_0(g02: RoundWalk) -> None:
    assert g02.digit(0).pending == ""
    g02.digit(9)
    assert g02.digit(9).pending == "99"
    refused = g02.digit(1)
    assert refused.pending == "99"
    assert "99" in refused.message
    assert counts(g02.count("killed")) == Counts(killed=99)


@pytest.mark.parametrize("press", ["other_key", "pause", "back", "go_on", "rest", "hidden"])
def test_any_other_key_clears_the_figures(g02: RoundWalk, press: str) -> None:
    g02.digit(7)
    assert getattr(g02, press)().pending == ""
    assert sum(look.counted() for look in on_disk(g02)) == 0


def test_a_stage_goes_to_the_newest_count(g02: RoundWalk) -> None:
    g02.count("removed")
    g02.digit(3)
    g02.count("removed")
    view = g02.give_stage("adult")
    assert "3" in view.message
    [look] = on_disk(g02)
    assert [(t.count, t.stage) for t in look.tallies] == [(1, None), (3, "adult")]
    g02.give_stage("young")
    [look] = on_disk(g02)
    assert [(t.count, t.stage) for t in look.tallies] == [(1, None), (3, "young")]


def test_a_stage_without_a_count_is_not_written(g02: RoundWalk) -> None:
    before = g02.view().message
    assert g02.give_stage("eggs").message != before
    g02.count("removed")
    g02.go_on()
    # the count of the zone before is closed with its zone
    g02.give_stage("eggs")
    assert [t.stage for look in on_disk(g02) for t in look.tallies] == [None]


def test_space_closes_a_zone_with_its_seconds_and_goes_on(g02: RoundWalk, wait: Wait) -> None:
    wait(8)
    view = g02.go_on()
    assert zone(view) == "undersides"
    assert state(view, "new-growth") == "nothing"
    closed = on_disk(g02)[0]
    assert (closed.zone, closed.outcome, closed.seconds) == ("new-growth", "looked", 8)
    assert not closed.is_open
    assert view.elapsed_seconds == 8


def test_a_zone_left_too_soon_is_called_short(g02: RoundWalk, wait: Wait) -> None:
    wait(4.7)  # half of 9.47 s is the least that counts as seen
    view = g02.go_on()
    assert state(view, "new-growth") == words.say("round.state.short")
    assert "short" in view.message
    wait(7.9)
    assert state(g02.go_on(), "undersides") == "nothing"


def test_each_insect_takes_8_seconds_of_the_looking(g02: RoundWalk, wait: Wait) -> None:
    wait(12.6)
    g02.count("removed")
    assert state(g02.go_on(), "new-growth") == "1 found"
    # 12.6 - 8 leaves 4.6 of the 4.74 s that are needed
    assert g02.plant.is_short("new-growth")
    assert g02.plant.credited_seconds("new-growth") == pytest.approx(4.6)


def test_the_rest_of_a_plant_shares_the_seconds_by_reference_time(
    g02: RoundWalk, wait: Wait
) -> None:
    wait(8)
    g02.go_on()
    wait(30)
    view = g02.rest()
    assert view.stage == "end"
    looks = {look.zone: look for look in on_disk(g02)}
    assert list(looks) == OUTSIDE
    assert {look.outcome for look in looks.values()} == {"looked"}
    assert looks["new-growth"].seconds == 8
    assert sum(look.seconds for look in looks.values()) == pytest.approx(38, abs=0.005)
    # weights of the leafy plant; .80 is what the rest of it carries
    for name, weight in (("undersides", 0.25), ("axils", 0.35), ("medium", 0.02)):
        assert looks[name].seconds == pytest.approx(30 * weight / 0.80, abs=0.001)
    assert view.elapsed_seconds == pytest.approx(38, abs=0.005)


@pytest.mark.parametrize(
    ("figure", "reason"),
    [(1, "out-of-reach"), (2, "covered"), (3, "too-dark"), (4, "would-break")],
)
def test_a_hidden_zone_is_kept_as_not_looked_at(
    g02: RoundWalk, wait: Wait, figure: int, reason: str
) -> None:
    wait(6)
    asked = g02.hidden()
    assert asked.question is not None
    assert asked.question.code == "hidden"
    assert zone(asked) == "new-growth"
    view = g02.digit(figure)
    assert (zone(view), view.question) == ("undersides", None)
    assert state(view, "new-growth") == words.say("round.state.hidden")
    hidden = on_disk(g02)[0]
    assert (hidden.outcome, hidden.reason, hidden.seconds) == ("cannot-see", reason, 0)


def test_a_hidden_zone_needs_no_reason(g02: RoundWalk) -> None:
    g02.hidden()
    g02.digit(7)
    assert len(on_disk(g02)) == 1, "7 is no reason"
    assert zone(g02.go_on()) == "undersides"
    assert on_disk(g02)[0].reason == "no-reason"


@pytest.mark.parametrize("press", ["take_back", "other"])
def test_asking_why_a_zone_is_hidden_can_be_left(g02: RoundWalk, press: str) -> None:
    g02.hidden()
    view = g02.take_back() if press == "take_back" else g02.answer("not-now")
    assert view.question is None
    assert zone(view) == "new-growth"
    assert [look.is_open for look in on_disk(g02)] == [True]


def test_a_zone_where_something_was_counted_was_not_hidden(g02: RoundWalk) -> None:
    g02.count("left")
    view = g02.hidden()
    assert view.question is not None
    assert view.question.code == "live-find", "not why it is hidden"
    assert zone(view) == "new-growth"
    assert counts(view) == Counts(left=1)


def test_one_back_leaves_a_zone_for_later(g02: RoundWalk, wait: Wait) -> None:
    wait(8)
    g02.go_on()
    wait(3)
    view = g02.back()
    assert zone(view) == "new-growth"
    assert [(k.zone, k.outcome) for k in on_disk(g02) if not k.is_open] == [
        ("new-growth", "looked"),
        ("undersides", "partial"),
    ]
    wait(2)
    assert zone(g02.go_on()) == "undersides"
    assert g02.plant.credited_seconds("new-growth") == 10
    assert g02.plant.credited_seconds("undersides") == 0


def test_one_back_from_a_zone_with_a_find_keeps_it_as_looked_at(g02: RoundWalk, wait: Wait) -> None:
    g02.go_on()
    wait(3)
    g02.count("removed")
    assert zone(g02.back()) == "new-growth"
    assert zone(g02.go_on()) == "axils", "undersides had its turn"
    assert {k.zone: k.outcome for k in on_disk(g02) if k.live()} == {"undersides": "looked"}


def test_there_is_nothing_before_the_first_zone(g02: RoundWalk) -> None:
    view = g02.back()
    assert zone(view) == "new-growth"
    assert view.message


def test_a_pause_stops_the_clock_until_the_next_key(g02: RoundWalk, wait: Wait) -> None:
    wait(5)
    assert g02.pause().paused
    wait(500)
    view = g02.view()
    assert view.zone is not None
    assert (view.zone.seconds, view.clock_stands) == (5, False)
    assert not g02.count("removed").paused
    wait(4)
    g02.go_on()
    assert on_disk(g02)[0].seconds == 9


def test_the_key_of_the_pause_ends_it_too(g02: RoundWalk, wait: Wait) -> None:
    g02.pause()
    wait(50)
    assert not g02.pause().paused
    wait(3)
    g02.go_on()
    assert on_disk(g02)[0].seconds == 3


def test_a_minute_without_a_key_stops_the_clock(g02: RoundWalk, wait: Wait) -> None:
    wait(60)
    assert not g02.view().clock_stands
    wait(1000)
    view = g02.view()
    assert view.clock_stands
    assert view.zone is not None
    assert view.zone.seconds == 60
    assert not g02.count("removed").clock_stands
    wait(2)
    g02.go_on()
    assert on_disk(g02)[0].seconds == 62


def test_leaving_saves_the_seconds_at_the_zone(g02: RoundWalk, wait: Wait) -> None:
    wait(6)
    g02.leave()
    wait(3600)
    again = resume(g02.logbook, g02.walk, take_over=True)
    assert again.view().elapsed_seconds == 6
    wait(2)
    again.go_on()
    assert on_disk(again)[0].seconds == 8


def test_keys_without_a_meaning_where_no_zone_is_open_write_nothing(
    g02: RoundWalk, wait: Wait
) -> None:
    wait(20)
    g02.rest()
    before = on_disk(g02)
    presses: list[Callable[[], RoundView]] = [
        lambda: g02.count("removed"), lambda: g02.give_stage("adult"), lambda: g02.digit(5),
        g02.rest, g02.hidden, g02.pause, g02.back, g02.go_on, g02.leave, g02.other_key,
        lambda: g02.answer("yes"),
    ]  # fmt: skip
    for press in presses:
        assert press().stage == "end"
    assert on_disk(g02) == before

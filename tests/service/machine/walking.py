"""Rounds walked at the keys, in one window or taken over by the other."""

from collections.abc import Callable

from hypothesis import strategies as st
from hypothesis.stateful import rule

from rounds.core.log.entries import LIVE_KINDS
from rounds.errors import LogbookUnusable, Refused
from rounds.service.logbook.book import Logbook
from rounds.service.plan.today import plan_day
from rounds.service.round import RoundView, RoundWalk, begin, is_under_way, resume
from rounds.store.log import OUTCOMES
from tests.service.machine import reading
from tests.service.machine.house import KEEPERS, House, windows

PARTIAL = OUTCOMES.index("partial")
"""As a row of the log keeps that a look is no evidence."""

PRESSES: dict[str, Callable[[RoundWalk], RoundView]] = {
    "space": RoundWalk.go_on,
    "rest": RoundWalk.rest,
    "x": RoundWalk.take_back,
    "back": RoundWalk.back,
    "hidden": RoundWalk.hidden,
    "signs": RoundWalk.signs,
    "pause": RoundWalk.pause,
    "other": RoundWalk.other_key,
    "1": lambda walk: walk.digit(1),
    "2": lambda walk: walk.digit(2),
    "3": lambda walk: walk.digit(3),
    "another plant": lambda walk: another_plant(walk),
    "removed": lambda walk: walk.count("removed"),
    "killed": lambda walk: walk.count("killed"),
    "left": lambda walk: walk.count("left"),
    "doubtful": lambda walk: walk.count("doubtful"),
    "adult": lambda walk: walk.give_stage("adult"),
    "eggs": lambda walk: walk.give_stage("eggs"),
    "yes": lambda walk: walk.answer("yes"),
    "no": lambda walk: walk.answer("no"),
    "remains": lambda walk: walk.answer("remains"),
    "not-now": lambda walk: walk.answer("not-now"),
    "put-apart": lambda walk: walk.answer("put-apart"),
    "cannot-move": lambda walk: walk.answer("cannot-move"),
    "catch up": RoundWalk.catch_up,
}


def another_plant(walk: RoundWalk) -> RoundView:
    """The first of the list is opened, where there is one and the round stands at a zone."""
    view = walk.ask_other()
    first = walk.others()[:1] if walk.others_open else ()
    return walk.open_other(first[0].plant_id) if first else view


presses = st.lists(st.sampled_from(sorted(PRESSES)), min_size=1, max_size=12)
seconds = st.sampled_from((0.05, 2.0, 15.0, 90.0))


class Walking(House):
    """A round is begun, pressed on, left, come back to, taken over."""

    @rule(window=windows, minutes=st.sampled_from((1.5, 10.0)))
    def a_round_is_begun_or_come_back_to(self, window: int, minutes: float) -> None:
        """Taken over where the other window walks it."""

        def walk(book: Logbook) -> None:
            under_way = is_under_way(book, self.today)
            self.walks[window] = (
                begin(book, plan_day(book, self.today, minutes), KEEPERS[window])
                if under_way is None
                else resume(book, under_way, KEEPERS[window], take_over=True)
            )

        self.happens(window, walk)

    @rule(window=windows, presses=presses, seconds=seconds)
    def keys_are_pressed(self, window: int, presses: list[str], seconds: float) -> None:
        """In a window that walks the round no longer a press is refused, and that is said."""
        walk = self.walks[window]
        if walk is None:
            return
        for key in presses:
            self.pass_seconds(seconds)
            before = reading.Rows(walk.logbook).last_number
            try:
                view = PRESSES[key](walk)
            except (Refused, LogbookUnusable) as refusal:
                walk.trouble(str(refusal))
            else:
                # what another window wrote is seen with the next press that writes, or catching up
                if key == "catch up" or reading.Rows(walk.logbook).last_number > before:
                    self._counts_are_those_of_the_log(walk, view)

    @rule(window=windows, presses=presses, seconds=seconds)
    def a_round_is_walked(self, window: int, presses: list[str], seconds: float) -> None:
        """For a while, from where it was left."""
        self.a_round_is_begun_or_come_back_to(window, 10.0)
        self.keys_are_pressed(window, presses, seconds)

    def _counts_are_those_of_the_log(self, walk: RoundWalk, view: RoundView) -> None:
        if view.plant is None or view.stage == "end":
            return
        plant = walk.logbook.collection().plant(view.plant.code)
        assert plant is not None, f"{view.plant.code} is no plant"
        counted = reading.Rows(walk.logbook).counts.get((plant.id, view.day.toordinal()))
        live = sum(counted[kind] for kind in LIVE_KINDS) if counted else 0
        assert view.plant.live_today == live

    @rule(window=windows, until=st.sampled_from((1, 2)), why=st.sampled_from((0, 1, 4)))
    def a_plant_is_put_off(self, window: int, until: int, why: int) -> None:
        """What was looked at on it before stands, and nothing more."""
        walk = self.walks[window]
        if walk is None:
            return
        plant = walk.plant.plant
        before = reading.Rows(walk.logbook)
        try:
            view = walk.answer("not-now")
            asked = view.question
            if asked is None or asked.code != "put-off" or not asked.takes(str(until)):
                return
            walk.digit(until)
            view = walk.digit(why) if why else walk.go_on()
        except (Refused, LogbookUnusable) as refusal:
            walk.trouble(str(refusal))
            return
        after = reading.Rows(walk.logbook)
        assert after.counts == before.counts
        new = [row for table, row in after.new_since(before) if table == "look"]
        assert [row[7] for row in new if row[1] == plant.id] == [PARTIAL]
        turns = walk.course.turns
        assert plant.id in (turns.to_end if until == 1 else turns.to_tomorrow)
        if view.stage == "zone" and until == 2:
            assert view.plant is not None
            assert view.plant.code != plant.code

    @rule(window=windows, seconds=seconds)
    def another_plant_is_opened_and_gone_back_from(self, window: int, seconds: float) -> None:
        """Nothing is lost of the look that waited, and the round stands at it again."""
        walk = self.walks[window]
        if walk is None or walk.course.opened is None:
            return
        here, zone = walk.course.opened.plant_id, walk.course.opened.zone
        counts, waiting = walk.view().zone, len(walk.course.turns.aside)
        try:
            another_plant(walk)
            walk.digit(1)
            if len(walk.course.turns.aside) == waiting:
                return
            self.pass_seconds(seconds)
            walk.back()
        except (Refused, LogbookUnusable) as refusal:
            walk.trouble(str(refusal))
            return
        opened = walk.course.opened
        view = walk.view()
        assert (opened.plant_id, opened.zone) == (here, zone)
        assert counts is not None
        assert view.zone is not None
        assert view.zone.counts == counts.counts

    @rule(window=windows)
    def a_round_is_left(self, window: int) -> None:
        """All of it is saved."""
        self.leaves(window)

"""Looks entered by hand, and what is put right about any look."""

from hypothesis import strategies as st
from hypothesis.stateful import rule

from rounds.core.log.entries import VERDICTS
from rounds.service.entries.corrections import (
    reopen_doubt,
    replace_look,
    replace_tally,
    settle,
    withdraw,
)
from rounds.service.entries.looks import STAGES, LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from tests.service.machine import reading
from tests.service.machine.house import House, moments, picks, windows

zones = st.sampled_from(("axils", "undersides", "sheaths", "medium", "pot-rim", "roots"))
seconds = st.sampled_from((0.0, 4.0, 20.0, 60.0))
kinds = st.sampled_from(("removed", "killed", "left", "doubtful"))
stages = st.sampled_from((None, None, *STAGES))
counts = st.integers(0, 3)
other_pests = st.sampled_from(("root-mealybug", "spider-mite"))
finds = st.lists(st.tuples(zones, kinds, counts, stages), min_size=1, max_size=2)


class Looking(House):
    """Plants are looked at, and the keeper puts right what was entered."""

    def _enter(self, window: int, ago: int | None, pick: int, entered: LookEntered) -> None:
        moment, code = self.moment(window, ago), self.plant(window, pick).code
        self.happens(window, lambda book: enter_look(book, moment, code, entered))

    @rule(window=windows, ago=moments, pick=picks,
          looks=st.lists(st.tuples(zones, seconds), min_size=1, max_size=3))  # fmt: skip
    def zones_are_looked_at(
        self, window: int, ago: int | None, pick: int, looks: list[tuple[str, float]]
    ) -> None:
        """Nothing is there."""
        for zone, looked in looks:
            self._enter(window, ago, pick, LookEntered((zone,), looked))

    @rule(window=windows, ago=moments, pick=picks, looks=finds)
    def insects_are_found(
        self, window: int, ago: int | None, pick: int,
        looks: list[tuple[str, str, int, str | None]],
    ) -> None:  # fmt: skip
        """Or something woolly."""
        for zone, kind, count, stage in looks:
            self._enter(window, ago, pick, LookEntered((zone,), 30.0, {kind: count}, stage))

    @rule(window=windows, ago=moments, pick=picks, zone=zones, kind=kinds, pest=other_pests)
    def another_pest_is_found(
        self, window: int, ago: int | None, pick: int, zone: str, kind: str, pest: str
    ) -> None:
        """Which begins to follow it; a speck of it does not."""
        self._enter(window, ago, pick, LookEntered((zone,), 30.0, {kind: 1}, pest=pest))

    @rule(window=windows, ago=moments, pick=picks, zone=zones, count=st.integers(1, 2))
    def a_doubt_is_seen(
        self, window: int, ago: int | None, pick: int, zone: str, count: int
    ) -> None:
        """At one zone."""
        self._enter(window, ago, pick, LookEntered((zone,), 30.0, {"doubtful": count}))

    @rule(window=windows, ago=moments, pick=picks)
    def a_plant_is_looked_at_whole(self, window: int, ago: int | None, pick: int) -> None:
        """Long enough to be complete."""
        self._enter(window, ago, pick, LookEntered((), 80.0, note="by the window"))

    @rule(window=windows, ago=moments, pick=picks, zone=zones, count=counts)
    def a_zone_cannot_be_seen(
        self, window: int, ago: int | None, pick: int, zone: str, count: int
    ) -> None:
        """With something counted there it was seen: that is refused."""
        counted = {"removed": 1} if count == 3 else {}
        self._enter(window, ago, pick, LookEntered((zone,), 0.0, counted, cannot_see="covered"))

    def _entry(self, window: int, kind: str, pick: int) -> str | None:
        """A look, tally or sign by name, taken back or not."""
        shown = reading.withdrawn(self.windows[window], self.today)
        names = [name for name in shown if name.startswith(f"{kind}-")]
        names.sort(key=reading.id_named)
        return names[pick * 7 % len(names)] if names else None

    @rule(window=windows, kind=st.sampled_from(("look", "tally", "tally", "sign")), pick=picks)
    def an_entry_is_taken_back(self, window: int, kind: str, pick: int) -> None:
        """A look with its tallies; once only, and not while it is still made."""
        name, moment = self._entry(window, kind, pick), self.moment(window, None)
        if name is None:
            return
        was = reading.withdrawn(self.windows[window], self.today)[name]

        def take_back(book: Logbook) -> None:
            names, _ = withdraw(book, moment, name)
            self.taken_back |= set(names)

        is_open = reading.id_named(name) in self.rows.reserved
        assert self.happens(window, take_back) is not (was or is_open)

    @rule(window=windows, pick=picks, zone=zones, seconds=seconds)
    def another_look_stands_in_its_place(
        self, window: int, pick: int, zone: str, seconds: float
    ) -> None:
        """It keeps the tallies."""
        name, moment = self._entry(window, "look", pick), self.moment(window, None)

        def put_right(book: Logbook) -> None:
            replace_look(book, moment, name or "", zone=zone, seconds=seconds)
            self.taken_back.add(name or "")

        if name is not None:
            self.happens(window, put_right)

    @rule(window=windows, pick=picks, kind=kinds, count=counts, stage=stages)
    def another_count_stands_in_its_place(
        self, window: int, pick: int, kind: str, count: int, stage: str | None
    ) -> None:
        """None at all is no count."""
        name, moment = self._entry(window, "tally", pick), self.moment(window, None)

        def put_right(book: Logbook) -> None:
            replace_tally(book, moment, name or "", kind=kind, count=count, stage=stage)
            self.taken_back.add(name or "")

        if name is not None:
            self.happens(window, put_right)

    @rule(window=windows, pick=picks, verdict=st.sampled_from((*sorted(VERDICTS), None)))
    def a_doubt_is_settled_or_reopened(self, window: int, pick: int, verdict: str | None) -> None:
        """As of the day it was seen."""
        names, moment = reading.doubts(self.windows[window], self.today), self.moment(window, None)
        if not names:
            return
        name = names[pick % len(names)]
        if verdict is None:
            self.happens(window, lambda book: reopen_doubt(book, moment, name))
        else:
            self.happens(window, lambda book: settle(book, moment, name, verdict))

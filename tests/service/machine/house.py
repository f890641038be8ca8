"""One logbook in two windows, its clock, and what must hold after everything that happens."""

import contextlib
import shutil
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from hypothesis import note
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.errors import BadInput, Refused, RoundsError
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon, now
from rounds.service.round import RoundWalk
from tests.service.machine import reading

KEEPERS = ("Keeper", "Second Keeper")
PLACES = ("porch shelf", "seedling bench", "stair foot")
SECONDS_BETWEEN = 7.0

windows = st.sampled_from((0, 1))
picks = st.integers(0, 20)
"""Which of those there are: counted round, so that fewer of them shrink no further."""
moments = st.sampled_from((None, None, None, 0, 1, 3, 9))
"""Now; or a day typed in, so many days ago."""


class House(RuleBasedStateMachine):
    """The keeper's collection, as two windows on one file have it."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="rounds-machine-"))
        self.path = self.folder / "logbook.db"
        self.clock = SetClock(datetime(2026, 5, 4, 10, tzinfo=UTC))
        self.windows: list[Logbook] = [reading.opened(self.path, self.clock) for _ in KEEPERS]
        self.walks: list[RoundWalk | None] = [None, None]
        self.rows = reading.Rows(self.windows[0])
        self.seen_reserved: set[int] = set()
        self.written_in: dict[int, int] = {}
        """the number of the happening that an entry was written in, by id"""
        self.happenings = 0
        self.taken_back: set[str] = set()
        """looks, tallies and signs that were"""
        self.said_of: dict[date, dict[str, object]] = {}
        """what was said of a day, where nothing was entered since about it or a day before"""

    def teardown(self) -> None:
        """The program is left in both windows."""
        for window in self.windows:
            window.close()
        shutil.rmtree(self.folder)

    # what rules are made of

    @property
    def today(self) -> date:
        """The local day."""
        return self.clock.today()

    def moment(self, window: int, days_ago: int | None) -> Moment:
        """This moment, or noon of a day that was typed in."""
        if days_ago is None:
            return now(self.clock, KEEPERS[window])
        return local_noon(self.today - timedelta(days_ago), KEEPERS[window])

    def pass_seconds(self, seconds: float) -> None:
        """On the wall clock and on the stopwatch."""
        self.clock.instant += timedelta(seconds=seconds)
        self.clock.seconds += seconds

    def plant(self, window: int, pick: int) -> Plant:
        """One of the plants, those gone among them."""
        found = reading.plants(self.windows[window])
        return found[pick % len(found)]

    def happens(self, window: int, call: Callable[[Logbook], object]) -> bool:
        """Something happens in a window; what is refused writes nothing. Whether it was not."""
        self.pass_seconds(SECONDS_BETWEEN)
        before = reading.Rows(self.windows[window])
        refusal: RoundsError | None = None
        try:
            call(self.windows[window])
        except (BadInput, Refused) as fault:
            refusal = fault
        if refusal is not None:
            note(f"refused: {refusal.code}")
            after = reading.Rows(self.windows[window])
            assert refusal.message
            assert after.by_table == before.by_table, "half of it was written"
            assert after.last_number == before.last_number
        return refusal is None

    def leaves(self, window: int) -> None:
        """The round of a window is left; there is nothing to leave where it was ended elsewhere."""
        walk, self.walks[window] = self.walks[window], None
        if walk is not None:
            with contextlib.suppress(Refused):
                walk.leave()

    # what happens to the house itself

    @initialize()
    def moves_in(self) -> None:
        """Three places; two plants that touch, and one that came."""
        book, moment = self.windows[0], self.moment(0, 12)
        put_place(book, moment, PLACES[0], PlaceDetails(room="lamp room"))
        put_place(book, moment, PLACES[1], PlaceDetails(room="lamp room"))
        put_place(book, moment, PLACES[2], PlaceDetails(apart=True, usual_c=20.0))
        for code, touches in (("G02", None), ("G05", ("G02",))):
            details = PlantDetails(name=code, size="small", place=PLACES[0], already_here=True,
                                   touches=touches)  # fmt: skip
            add_plant(book, moment, code, details)
        came = PlantDetails(name="S03", size="small", place=PLACES[2], source="fair")
        add_plant(book, moment, "S03", came)

    @rule(window=windows)
    def restarts(self, window: int) -> None:
        """The program is left and started again."""
        self.leaves(window)
        self.windows[window].close()
        self.windows[window] = reading.opened(self.path, self.clock)

    @rule(days=st.sampled_from((1, 1, 2, 5)))
    def days_go_by(self, days: int) -> None:
        """What is said of today must still be said of it when it is past."""
        self.remembers()
        self.clock.instant += timedelta(days)

    @rule()
    def remembers(self) -> None:
        """What is worked out today, kept or not, is what comes out of the log anew."""
        lived = [reading.worked_out(window, self.today, 10.0) for window in self.windows]
        again = reading.worked_out(self.windows[0], self.today, 10.0)
        with self.forgotten() as anew:
            said = reading.worked_out(anew, self.today, 10.0)
        for other in (*lived, again):
            reading.check_same(other, said)
        # while the day is open a look may still be made on it, and dates suppose so
        with self.forgotten(day_is_over=True) as anew:
            self._is_as_it_was_said(self.today, reading.worked_out(anew, self.today, 10.0))

    @rule(pick=picks)
    def recalls(self, pick: int) -> None:
        """A day of the past is asked for again."""
        days = sorted(day for day in self.said_of if day < self.today)
        if days:
            day = days[pick % len(days)]
            self._is_as_it_was_said(day, reading.worked_out(self.windows[pick % 2], day, 10.0))

    def _is_as_it_was_said(self, day: date, said: dict[str, object]) -> None:
        before = self.said_of.setdefault(day, said)
        reading.check_same(before, said)

    def forgotten(self, *, day_is_over: bool = False) -> Logbook:
        """The log alone, with nothing derived from it."""
        path = self.folder / "anew.db"
        return reading.forgotten(self.windows[0], path, self.clock, day_is_over=day_is_over)

    # what must hold

    @invariant()
    def it_holds(self) -> None:
        """After each step."""
        self._the_log_only_grows()
        self._both_windows_and_the_log_alone_say_the_same()
        self._tallies_are_the_only_source_of_counts()
        self._what_was_taken_back_stays_so()

    def _the_log_only_grows(self) -> None:
        """No row is changed or lost; ids are unique, and later than all that were there."""
        rows, before = reading.Rows(self.windows[0]), self.rows
        assert before.missing_from(rows) == []
        assert len(set(rows.ids)) == len(rows.ids)
        new = rows.new_since(before)
        newest = max(before.ids, default=0)
        self.seen_reserved |= rows.reserved
        self.happenings += 1
        for table, row in new:
            entry = reading.entry_id(table, row)
            reserved = table in ("look", "second_look") and entry in self.seen_reserved
            assert entry > newest or reserved, f"{table} {row} comes before what was there"
            self.written_in.setdefault(entry, self.happenings)
        if new:
            first = min(reading.day_of(table, row) for table, row in new)
            self.said_of = {day: said for day, said in self.said_of.items() if day < first}
        self.rows = rows

    def _both_windows_and_the_log_alone_say_the_same(self) -> None:
        """All that is read off the log without a sum."""
        with self.forgotten() as anew:
            said = reading.read_off(anew, self.today)
        for window in self.windows:
            reading.check_same(reading.read_off(window, self.today), said)

    def _tallies_are_the_only_source_of_counts(self) -> None:
        """Each that stands counts once, and none that does not."""
        rows = self.rows
        for window in self.windows:
            assert reading.counted(window, self.today) == rows.counts

    def _what_was_taken_back_stays_so(self) -> None:
        """And is marked wherever it is shown."""
        shown = reading.withdrawn(self.windows[1], self.today)
        assert [name for name in self.taken_back if not shown[name]] == []

"""What happens to places and plants besides looking."""

from collections.abc import Callable
from datetime import timedelta

from hypothesis import strategies as st
from hypothesis.stateful import rule

from rounds.service.arrival.arrive import arrive
from rounds.service.arrival.delivery import Delivery
from rounds.service.collection.apart import put_apart
from rounds.service.collection.away_entry import enter_away
from rounds.service.collection.division import DivisionEntered, divide
from rounds.service.collection.plants import (
    WAYS_TO_GO,
    PlaceDetails,
    PlantDetails,
    add_plant,
    move_plant,
    plant_gone,
    put_place,
    put_weather,
)
from rounds.service.collection.release import end_quarantine
from rounds.service.collection.repot import RootsSeen, repot
from rounds.service.courses.written import Asked, treat
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.value_changes import change_value, reset_value
from rounds.service.exposure.cleaning import enter_cleaned
from rounds.service.exposure.watching import watch_all
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import CHOICES, choose
from tests.service.machine import reading
from tests.service.machine.house import PLACES, House, moments, picks, windows

FEWEST_PLANTS, MOST_PLANTS = 3, 6
places = st.sampled_from(PLACES)
VALUES = (
    ("forms.weight.axils", 0.5),
    ("inspection.credit.seen_from", 0.8),
    ("infestation.arrivals.collection", 0.01),
    ("quarantine.settings.default.clean_looks", 3.0),
)
COURSES = ("contact-spray", "root-clean-out", "lifting")
warmth = st.sampled_from((8.0, 14.5, 19.0, 27.0))


class Collecting(House):
    """Plants come, are put somewhere, divided, released, and go."""

    @rule(
        window=windows,
        ago=moments,
        place=places,
        here=st.booleans(),
        since=st.integers(0, 4),
        seen=st.booleans(),
    )
    def a_plant_comes(
        self, window: int, ago: int | None, place: str, here: bool, since: int, seen: bool
    ) -> None:
        """It was there already, or arrived some days before; insects were seen on it or not."""
        moment = self.moment(window, ago)
        number = len(reading.plants(self.windows[window]))
        if number >= MOST_PLANTS:
            return
        details = PlantDetails(
            name=f"new {number}", size="small", place=place, already_here=here, source="fair",
            arrived=None if here else moment.day - timedelta(since), insects_seen=seen,
        )  # fmt: skip
        self.happens(window, lambda book: add_plant(book, moment, f"N{number}", details))

    @rule(
        window=windows, ago=moments, pick=picks, other=picks,
        size=st.sampled_from(("small", "medium")), form=st.sampled_from(("leafy-plant", "fern")),
        value=st.sampled_from((1.0, 3.0)), seen=st.sampled_from((None, None, True, False)),
    )  # fmt: skip
    def something_is_said_of_a_plant(
        self, window: int, ago: int | None, pick: int, other: int,
        size: str, form: str, value: float, seen: bool | None,
    ) -> None:  # fmt: skip
        """Its size, form and value, whom it touches, and what was seen on it when it came."""
        touches = (self.plant(window, other).code,) if other else ()
        details = PlantDetails(
            size=size, form=form, value=value, touches=touches, insects_seen=seen
        )
        moment, code = self.moment(window, ago), self.plant(window, pick).code
        self.happens(window, lambda book: add_plant(book, moment, code, details, change=True))

    @rule(window=windows, ago=moments, place=places, usual=warmth, apart=st.booleans())
    def something_is_said_of_a_place(
        self, window: int, ago: int | None, place: str, usual: float, apart: bool
    ) -> None:
        """How warm it is there, and whether plants stand apart there."""
        moment, details = self.moment(window, ago), PlaceDetails(usual_c=usual, apart=apart)
        self.happens(window, lambda book: put_place(book, moment, place, details, change=True))

    @rule(window=windows, ago=moments, place=places, low=warmth, change=st.booleans())
    def warmth_is_entered(
        self, window: int, ago: int | None, place: str, low: float, change: bool
    ) -> None:
        """Of a day; a second time only as a correction."""
        now, day = self.moment(window, None), self.moment(window, ago).day
        self.happens(
            window,
            lambda book: put_weather(book, now, place, day, low, low + 6.0, change=change),
        )

    @rule(window=windows, ago=moments, of=st.sampled_from(VALUES), back=st.booleans())
    def a_value_is_changed(
        self, window: int, ago: int | None, of: tuple[str, float], back: bool
    ) -> None:
        """One that figures rest on, or back to the usual one."""
        moment, (code, value) = self.moment(window, ago), of

        def change(book: Logbook) -> object:
            if back:
                return reset_value(book, moment, code)
            return change_value(book, moment, code, value, "seen so here")

        self.happens(window, change)

    @rule(window=windows, begins=st.integers(-6, 3), days=st.integers(0, 4))
    def nobody_is_there(self, window: int, begins: int, days: int) -> None:
        """Some days, past or to come."""
        first = self.today + timedelta(begins)
        moment, last = self.moment(window, None), first + timedelta(days)
        self.happens(window, lambda book: enter_away(book, moment, first, last))

    @rule(window=windows, ago=moments, pick=picks, place=places, apart=st.booleans())
    def a_plant_is_moved(
        self, window: int, ago: int | None, pick: int, place: str, apart: bool
    ) -> None:
        """To a place apart, it may be, or apart where it is put."""
        moment, code = self.moment(window, ago), self.plant(window, pick).code
        self.happens(window, lambda book: move_plant(book, moment, code, place, apart=apart))

    @rule(window=windows, ago=moments, pick=picks, cannot_move=st.booleans())
    def a_plant_is_put_apart(
        self, window: int, ago: int | None, pick: int, cannot_move: bool
    ) -> None:
        """Those that it touched may be watched from then on."""
        moment, code = self.moment(window, ago), self.plant(window, pick).code
        self.happens(window, lambda book: put_apart(book, moment, code, cannot_move=cannot_move))

    @rule(window=windows, ago=moments, pick=picks, early=st.booleans())
    def a_plant_is_released(self, window: int, ago: int | None, pick: int, early: bool) -> None:
        """When every criterion is met, or early."""
        moment, code = self.moment(window, ago), self.plant(window, pick).code
        reason = "the stair is being painted" if early else None
        self.happens(window, lambda book: end_quarantine(book, moment, code, reason))

    @rule(window=windows, ago=moments, pick=picks, into=st.integers(2, 3), place=places)
    def a_plant_is_divided(
        self, window: int, ago: int | None, pick: int, into: int, place: str
    ) -> None:
        """Its parts go on with its life."""
        if len(reading.plants(self.windows[window])) + into > MOST_PLANTS + 1:
            return
        moment, code = self.moment(window, ago), self.plant(window, pick).code
        entered = DivisionEntered(into, place=place)
        self.happens(window, lambda book: divide(book, moment, code, entered))

    @rule(window=windows, ago=moments, pick=picks, found=st.integers(0, 1), fresh=st.booleans())
    def a_plant_is_repotted(
        self, window: int, ago: int | None, pick: int, found: int, fresh: bool
    ) -> None:
        """Or only looked at out of its pot."""
        moment, code = self.moment(window, ago), self.plant(window, pick).code
        roots = RootsSeen(120.0, {"removed": found})
        self.happens(window, lambda book: repot(book, moment, code, repotted=fresh, roots=roots))

    @rule(
        window=windows, ago=moments, pick=picks, course=st.sampled_from(COURSES),
        does=st.sampled_from(("begin", "done", "done", "stop")),
    )  # fmt: skip
    def a_course_is_entered(
        self, window: int, ago: int | None, pick: int, course: str, does: str
    ) -> None:
        """Begun, a step of it done, or stopped."""
        moment, code = self.moment(window, ago), self.plant(window, pick).code
        asked = Asked(course, done=does == "done", stop=does == "stop")
        self.happens(window, lambda book: treat(book, moment, [code], asked))

    @rule(
        window=windows, ago=moments, units=st.integers(1, 2), opened=st.integers(0, 2),
        found=st.sampled_from(((), ("1 axils 2 adult",), ("1 medium 1 left",))),
        take=st.sampled_from((None, True, False)),
    )  # fmt: skip
    def a_delivery_comes(
        self, window: int, ago: int | None, units: int, opened: int, found: tuple[str, ...],
        take: bool | None,
    ) -> None:  # fmt: skip
        """Some of it opened; taken, left, or whichever is advised."""
        moment, book = self.moment(window, ago), self.windows[window]
        if len(reading.plants(book)) + units > MOST_PLANTS + 1:
            return
        delivery = Delivery(
            units, f"the ferry of {moment.day}", opened, 60.0 if opened else None,
            found if opened else (), name="Capstan", size="small",
        )  # fmt: skip
        before = len(reading.plants(book))
        if self.happens(window, lambda book: arrive(book, moment, delivery, take=take)):
            assert take is not False or len(reading.plants(book)) == before

    @rule(window=windows, ago=moments, place=places, spot=st.sampled_from((None, "spot 1")))
    def a_place_is_cleaned(
        self, window: int, ago: int | None, place: str, spot: str | None
    ) -> None:
        """One of its spots, or all of it."""
        moment = self.moment(window, ago)
        self.happens(window, lambda book: enter_cleaned(book, moment, place, spot))

    @rule(window=windows, pick=picks)
    def all_that_stood_near_are_watched(self, window: int, pick: int) -> None:
        """After a find; whoever is watched for it is not to be watched again."""
        moment, code = self.moment(window, None), self.plant(window, pick).code
        done = self.happens(
            window, lambda book: watch_all(book, moment, reading.stood_near(book, code, moment.day))
        )
        if done:
            assert reading.stood_near(self.windows[window], code, moment.day).to_watch == ()

    @rule(window=windows, ago=moments, pick=picks, how=st.sampled_from(WAYS_TO_GO))
    def a_plant_goes(self, window: int, ago: int | None, pick: int, how: str) -> None:
        """For good, unless that is taken back; not one of the last three."""
        if len(self.windows[window].collection().here(self.today)) <= FEWEST_PLANTS:
            return
        moment, code = self.moment(window, ago), self.plant(window, pick).code
        self.happens(window, lambda book: plant_gone(book, moment, code, how))

    @rule(window=windows, pick=picks)
    def something_said_is_taken_back(self, window: int, pick: int) -> None:
        """That it was moved, put apart, released, divided, repotted or gone; warmth, days away."""
        names = reading.entries_said(self.windows[window], self.today)
        if names:
            self.take_back(window, names[pick * 7 % len(names)])

    def take_back(self, window: int, name: str) -> None:
        """With what was entered together with it, and nothing else."""
        moment, before = self.moment(window, None), self.rows
        if not self.happens(window, lambda book: withdraw(book, moment, name)):
            return
        written = self.written_in[reading.id_named(name)]
        for table, row in reading.Rows(self.windows[window]).new_since(before):
            assert table == "withdrawal"
            assert self.written_in[reading.number(row[2])] == written, f"{row} is of another entry"

    @rule(window=windows, name=st.sampled_from(sorted(CHOICES)), pick=picks)
    def something_is_chosen(self, window: int, name: str, pick: int) -> None:
        """What is said of the past may be another from now on."""
        value = CHOICES[name][pick % len(CHOICES[name])]
        self._sets(window, lambda book: choose(book, name, value))

    @rule(window=windows, minutes=st.sampled_from((2.0, 10.0)), by_risk=st.booleans())
    def a_round_is_to_be_otherwise(self, window: int, minutes: float, by_risk: bool) -> None:
        """Longer, or walked in another order."""
        self._sets(window, lambda book: book.keep_minutes(minutes))
        self._sets(window, lambda book: book.walk_by_risk(by_risk))

    def _sets(self, window: int, call: Callable[[Logbook], object]) -> None:
        self.happens(window, call)
        self.said_of.clear()

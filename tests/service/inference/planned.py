"""A plant that is looked at by random presses, under a clock that a test moves."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import strategies as st

from rounds.clock import SetClock
from rounds.core.walks import Step, in_groups
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import local_noon
from rounds.service.round import RoundWalk, begin
from rounds.service.round.live import Likely
from rounds.store import walks
from tests.days import plan_by_zone

from .asking import SECONDS_PER_FIND, TODAY, before, found_three

CODE = "S03"
BETWEEN_COUNTS, MOST_PRESSES = 0.2, 6
"""seconds, so that no finger is taken for a key held down"""
TOGETHER = ("stem-base", "medium", "pot-rim")

Press = tuple[str, str, int]
"""what is pressed, of which kind or stage, and how many"""

histories = st.sampled_from(("clean", "found as it came", "found lately", "in doubt"))
layouts = st.sampled_from(("zones", "some together", "whole"))
kinds = st.sampled_from(("removed", "removed", "killed", "left", "doubtful"))
counts = st.tuples(st.just("count"), kinds, st.integers(1, 3))
stages = st.tuples(st.just("stage"), st.sampled_from(("adult", "young", "eggs")), st.just(0))
ends = st.tuples(st.just("space"), st.just(""), st.just(0))
undos = st.tuples(st.just("undo"), st.just(""), st.just(0))
presses = st.lists(st.one_of(counts, stages, ends, undos), max_size=MOST_PRESSES)
shares = st.floats(0, 1)
"""of the time there is left at a zone"""


@dataclass(slots=True)
class Inspected:
    """A plant in front of the grower, and their clock."""

    logbook: Logbook
    clock: SetClock
    walked: RoundWalk

    def wait(self, seconds: float) -> None:
        """On the wall clock and on the stopwatch."""
        self.clock.instant += timedelta(seconds=seconds)
        self.clock.seconds += seconds

    @property
    def is_under_way(self) -> bool:
        """Whether the plant has a zone open."""
        return self.walked.view().stage == "zone"

    def likely(self) -> Likely:
        """The figures that are shown; those that take longer than a key may, in the next pause."""
        found = self.walked.likely()
        assert found is not None
        if found.is_rough:
            assert self.walked.look_ahead()
            found = self.walked.likely()
            assert found is not None
            assert not found.is_rough
        return found

    def planned_left(self) -> float:
        """Seconds until what was planned here is over, but for those between counts."""
        planned = self.walked.course.planned_here() - self.walked.progress.seconds_here()
        return max(0.0, planned - MOST_PRESSES * BETWEEN_COUNTS)

    def time_left(self) -> float:
        """The same with what the insects counted took besides."""
        opened = self.walked.course.opened
        assert opened is not None
        counted = sum(t.count for t in self.walked.plant.tallies_of(opened.id))
        planned = self.walked.course.planned_here() + SECONDS_PER_FIND * counted
        return max(0.0, planned - self.walked.progress.seconds_here())

    def press(self, press: Press) -> None:
        """Press what is drawn; before and after `space` what is asked gets an answer."""
        what, kind, number = press
        if what == "count":
            self.wait(BETWEEN_COUNTS)
            # a figure would answer the question
            self.place()
            self.walked.digit(number)
            self.walked.count(kind)
        elif what == "stage":
            self.walked.give_stage(kind)
        elif what == "undo":
            self.walked.take_back()
        else:
            self.place()
            self.answer()
            self.walked.go_on()
            self.answer()

    def place(self) -> None:
        """Say where on a whole plant something was seen."""
        question = self.walked.question
        if question is not None and question.code == "which-zone":
            self.walked.digit(3)

    def answer(self) -> None:
        """Not now, to whatever is asked."""
        while (question := self.walked.question) is not None and question.takes("not-now"):
            self.walked.answer("not-now")

    def end_as_planned(self) -> None:
        """End the zone when its planned seconds are over, and those that finds took."""
        self.wait(self.time_left())
        self.press(("space", "", 0))


@contextmanager
def inspected(history: str, layout: str) -> Iterator[Inspected]:
    """A plant of such a past in a round that is laid out so."""
    clock = SetClock(datetime(2026, 5, 4, 10, tzinfo=UTC))
    with (
        TemporaryDirectory(prefix="rounds-") as folder,
        Logbook(Path(folder) / "logbook.db", clock) as logbook,
    ):
        place = PlaceDetails(apart=True, usual_c=18.0)
        put_place(logbook, local_noon(before(9)), "stair foot", place)
        choose(logbook, "second-looks", "off")
        _live_through(logbook, history)
        yield Inspected(logbook, clock, _begun(logbook, layout))


def _live_through(logbook: Logbook, history: str) -> None:
    plant = PlantDetails(name="Pintle", place="stair foot", size="small", arrived=before(9))
    add_plant(logbook, local_noon(before(9)), CODE, plant)
    if history == "found as it came":
        found_three(logbook, CODE, before(9))
    _looked(logbook, 6)
    _looked(logbook, 3)
    if history == "found lately":
        _looked(logbook, 4, "axils", removed=1)
        _looked(logbook, 2, "undersides", removed=1)
    elif history == "in doubt":
        _looked(logbook, 2, "axils", doubtful=2)


def _looked(logbook: Logbook, days: int, *zones: str, **counts: int) -> None:
    entered = LookEntered(zones=zones, seconds=20.0 if zones else 60.0, counts=counts)
    enter_look(logbook, local_noon(before(days)), CODE, entered)


def _begun(logbook: Logbook, layout: str) -> RoundWalk:
    begun = begin(logbook, plan_by_zone(logbook, TODAY, 3.0))
    steps = [replace(step, planned_seconds=3.0 + step.position) for step in begun.course.steps]
    walks.replace_steps(logbook.file, begun.walk.id, _laid_out(steps, layout))
    begun.progress.read_again()
    return begun


def _laid_out(steps: list[Step], layout: str) -> list[Step]:
    if layout == "zones":
        return steps
    zones = [step.zone for step in steps]
    if layout == "whole":
        return in_groups(steps, [zones], whole=True)
    alone = [(zone,) for zone in zones if zone not in TOGETHER]
    laid_out = in_groups(steps, [*alone, TOGETHER])
    return [replace(step, position=number) for number, step in enumerate(laid_out, 1)]

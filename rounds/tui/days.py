"""Today as the screens show it, and the thread that works out what is not known of it yet."""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from threading import Condition, Event

from rounds.clock import Clock
from rounds.errors import RoundsError
from rounds.service.day.asked import Answered, Question
from rounds.service.day.at_hand import day_after, day_of, take
from rounds.service.day.day import Day
from rounds.service.day.work import DayWork
from rounds.service.logbook.book import Logbook, Written
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.status import PlantStatus, with_kept_why

Opened = tuple[Written, int, bool]
"""The state of the file in which the page of a plant was opened, its id, and whether its course is
wanted."""

SWITCH_SECONDS = 0.0005
"""Switch interval while the worker thread works, a tenth of Python's, so that keys come through."""


class DayWorker:
    """Works days out, one piece after the other, with a logbook of its own on the same file."""

    def __init__(
        self, path: Path, clock: Clock, came: Callable[[Day], None],
        failed: Callable[[RoundsError, Written], None],
        rests: Callable[[], None],
        answered: Callable[[Answered], None],
    ) -> None:  # fmt: skip
        """
        Args:
            path: of the logbook.
            clock: tells the day.
            came: takes each fuller day. All four are called in the worker thread, and block it.
            failed: takes the fault that keeps a day from being worked out, and the file's state.
            rests: told when all that was asked for is done, and kept.
            answered: takes the answer to what a page asked besides.
        """
        self._path = path
        self._clock = clock
        self._came = came
        self._failed = failed
        self._rests = rests
        self._answered = answered
        self._changed = Condition()
        self._is_asked = self._is_working = self._is_ended = False
        self._plants: tuple[int, ...] = ()
        self._opened: Opened | None = None
        self._question: tuple[Written, Question] | None = None
        self._work: DayWork | None = None
        self.ended = Event()
        """set once the thread has ended"""

    @property
    def is_busy(self) -> bool:
        """Whether something that was asked for is not worked out yet."""
        with self._changed:
            return (self._is_asked or self._is_working) and not self.ended.is_set()

    def ask(self, plants: Sequence[int] | None = None, opened: "Opened | None" = None) -> None:
        """Ask for all of today.

        Args:
            plants: whose risks at the last round are worked out from now on.
            opened: the plant whose page was opened: once, why its figures are what they are.
        """
        with self._changed:
            self._is_asked = True
            self._opened = self._opened if opened is None else opened
            self._plants = self._plants if plants is None else tuple(plants)
            self._changed.notify()

    def ask_besides(self, written: Written, question: Question) -> None:
        """Ask for something besides the day; a question not answered yet is given up for it."""
        with self._changed:
            self._question = written, question
        self.ask()

    def end(self) -> None:
        """Stop after the piece at hand."""
        with self._changed:
            self._is_ended = True
            self._changed.notify()

    def run(self) -> None:
        """The thread: wait until something is asked for, and work it out."""
        try:
            with Logbook(self._path, self._clock) as logbook:
                while self._wait():
                    with _keys_first():
                        self._work_out(logbook)
                    self._rests()
        finally:
            self.ended.set()

    def _wait(self) -> bool:
        """Wait until something is asked for or the end; whether to go on."""
        with self._changed:
            self._is_working = False
            self._changed.wait_for(lambda: self._is_asked or self._is_ended)
            self._is_asked, self._is_working = False, True
            return not self._is_ended

    def _work_out(self, logbook: Logbook) -> None:
        written = logbook.stamp().written
        try:
            if self._work is None or self._work.day.stamp.written != written:
                self._work = DayWork(logbook, written.on)
            for day in self._pieces(self._work):
                if self._is_stopped() or logbook.stamp().written != written:
                    break
                if day is not None:
                    self._came(day)
        except RoundsError as fault:
            self._work = None
            self._failed(fault, written)

    def _pieces(self, work: DayWork) -> Iterator[Day | None]:
        for day in [work.day] if work.day.is_whole else work.pieces():
            yield day
            if work.day.plan is not None:
                yield from self._why(work)
                yield from self._besides(work)
        # the plants in sight may change meanwhile
        while waiting := work.day.not_looked_back(self._plants):
            yield next(work.before(waiting), None)

    def _why(self, work: DayWork) -> Iterator[Day | None]:
        """Why the figures of the plant whose page was opened are what they are."""
        with self._changed:
            opened = self._opened
            if opened is None or opened[0] != work.day.stamp.written:
                return
            self._opened = None
        yield from work.why(opened[1])
        if opened[2]:
            yield from work.course(opened[1])

    def _besides(self, work: DayWork) -> Iterator[None]:
        """What a page asked besides; given up as soon as it asks something else."""
        asked = self._asked_besides(work)
        while asked is not None:
            steps = work.answer(asked[1])
            while self._asked_besides(work) is asked:
                try:
                    next(steps)
                except StopIteration as end:
                    with self._changed:
                        if self._question is asked:
                            self._question = None
                    self._answered(end.value)
                    break
                yield
            asked = self._asked_besides(work)

    def _asked_besides(self, work: DayWork) -> tuple[Written, Question] | None:
        with self._changed:
            asked = self._question
        return asked if asked is not None and asked[0] == work.day.stamp.written else None

    def _is_stopped(self) -> bool:
        with self._changed:
            return self._is_ended


@contextmanager
def _keys_first() -> Iterator[None]:
    """Within the block other threads get their turn sooner, so that keys are answered."""
    before = sys.getswitchinterval()
    sys.setswitchinterval(SWITCH_SECONDS)
    try:
        yield
    finally:
        sys.setswitchinterval(before)


class Days:
    """Today of one logbook, the same for all screens."""

    def __init__(self, logbook: Logbook, worker: DayWorker) -> None:
        self._logbook = logbook
        self._worker = worker
        self._asked: Written | None = None
        self._looks_back: tuple[Written, tuple[int, ...]] | None = None
        self._opened: Opened | None = None
        self._fails: tuple[Written, RoundsError] | None = None
        self._answers: dict[Question, Answered] = {}
        self._awaited: tuple[Written, Question] | None = None

    def today(self) -> Day:
        """What is known of today; what is not is being worked out."""
        return self._asked_for(day_of(self._logbook))

    def after(self, shown: Day) -> Day:
        """What is to be shown in place of a day: itself, until there is more or another one."""
        return self._asked_for(day_after(self._logbook, shown))

    def take(self, day: Day) -> bool:
        """Take a fuller day; False where the file has changed since it was made."""
        return take(self._logbook, day)

    def look_back(self, day: Day, plants: Sequence[int]) -> None:
        """Ask for the risks of the plants in sight at the end of the last round."""
        waiting = day.stamp.written, tuple(day.not_looked_back(plants))
        if waiting[1] and waiting != self._looks_back:
            self._looks_back = waiting
            self._worker.ask(waiting[1])

    def with_why(
        self, day: Day, record: PlantRecord, status: PlantStatus, *, with_course: bool = False
    ) -> PlantStatus:
        """The status of a plant whose page is open, with why its figures are what they are.

        Where that is not kept, it is asked for, and comes with a later day. `with_course`: with
        how its chance clean went and goes on too.
        """
        if _is_told(status, with_course) or status.standing == "gone" or self.fault_of(day):
            return status
        opened = day.stamp.written, record.plant.id, with_course
        known = with_kept_why(record, status)
        if not _is_told(known, with_course) and opened != self._opened:
            self._opened = opened
            self._worker.ask(opened=opened)
        return known

    def answer(self, day: Day, question: Question) -> Answered | None:
        """What came of a question in the state of the file that a day has.

        Where it is not known it is asked for, and told by `day_came` of the screen in front.
        """
        written = day.stamp.written
        known = self._answers.get(question)
        if known is not None and known.written == written:
            return known
        if (written, question) != self._awaited and not self.fault_of(day):
            self._awaited = written, question
            self._worker.ask_besides(written, question)
        return None

    def take_answer(self, answered: Answered) -> None:
        """Keep an answer; those of other states of the file are dropped."""
        if self._awaited == (answered.written, answered.question):
            self._awaited = None
        kept = {q: a for q, a in self._answers.items() if a.written == answered.written}
        self._answers = {**kept, answered.question: answered}

    def fails(self, written: Written, fault: RoundsError) -> None:
        """Note that this state of the file cannot be worked out, so that it is not tried again."""
        self._fails = written, fault

    def fault_of(self, day: Day) -> RoundsError | None:
        """What keeps a day from being worked out, where it was tried."""
        fails = self._fails
        return fails[1] if fails is not None and fails[0] == day.stamp.written else None

    def _asked_for(self, day: Day) -> Day:
        """The day itself; what it lacks is asked of the worker."""
        written = day.stamp.written
        is_asked = written == self._asked and self._worker.is_busy
        if not (day.is_whole or is_asked or self.fault_of(day)):
            self._asked = written
            self._worker.ask()
        return day


def _is_told(status: PlantStatus, with_course: bool) -> bool:
    """Whether all that the page of a plant says is worked out."""
    why = status.why
    has_course = why is not None and why.course is not None
    return why is not None and status.band is not None and (has_course or not with_course)

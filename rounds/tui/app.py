"""The screens as one program."""

import asyncio
import contextlib
import gc
import sys
import traceback
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import App
from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.filter import LineFilter

from rounds import words
from rounds.clock import Clock
from rounds.errors import RoundsError
from rounds.paths import keys_path
from rounds.tui.ending import end_when_asked, end_with_the_terminal
from rounds.tui.key_files import keys_named
from rounds.tui.keys import BASE, use
from rounds.tui.screens.opening import OpeningScreen
from rounds.tui.standstill import Standstill, has_shell, stop_job
from rounds.tui.theme import NAMES, USUAL, Uncoloured, colours_asked, theme
from rounds.words.display import Display, show_as

if TYPE_CHECKING:
    from rounds.service.day.asked import Answered
    from rounds.service.day.day import Day
    from rounds.service.logbook.book import Logbook, Stamp, Written
    from rounds.service.safety.backups import Copying
    from rounds.tui.days import Days, DayWorker
    from rounds.tui.screens.page_screen import PageScreen

POLL_SECONDS = 0.5
"""How often it is asked whether others have written; a second at most passes until it is seen."""


class RoundsApp(App[None]):
    """Shows the first screen, then opens the logbook."""

    CSS_PATH = "styles/opening.tcss"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "quit", id="app.leave", show=False, priority=True),
        # first the library copies what is selected, on the page or in a line
        Binding("ctrl+c", "interrupt", id="app.interrupt", show=False),
        Binding("ctrl+z", "stop", id="app.stop", show=False, priority=True),
    ]

    def __init__(
        self,
        path: Path,
        who: str | None = None,
        clock: Clock | None = None,
        keys: str | None = None,
    ) -> None:
        """Raises BadInput where the keys or colours asked for cannot be had."""
        super().__init__()
        # what is scrolled stands at once, and a key that follows finds it there
        self.animation_level = "none"
        self._path = path
        self._clock = clock
        self._who = who
        self.logbook: Logbook | None = None
        self.fault: RoundsError | None = None
        self.backup_fault = ""
        """why there is no backup of today yet; empty where there is one, or none was tried"""
        self.crash: str | None = None
        self.worker: DayWorker | None = None
        self.days: Days
        self._seen: Stamp
        self._written_elsewhere = 0
        # set before the first stylesheet is read, or it is read twice
        self._colours = colours_asked()
        self._wear(self._colours or USUAL)
        self._keys_asked = keys
        self._keys_laid = ""
        self._lay_keys(keys or BASE)

    def on_load(self) -> None:
        """End by `_end` when a signal asks the program to end, before the terminal is taken."""
        end_when_asked(self._end)

    def on_mount(self) -> None:
        """End and stand still with the terminal."""
        if not self.is_headless:
            end_with_the_terminal()
            Standstill(self, self._stand_still)

    def get_default_screen(self) -> OpeningScreen:
        """The screen at the bottom of the stack: it is painted before the logbook is opened."""
        return OpeningScreen(self._open)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """What each line painted goes through; without colour it loses all of it."""
        return [*super().get_line_filters(), *([Uncoloured()] if self.no_color else [])]

    async def action_quit(self) -> None:
        """End the program from any screen."""
        self._end(0)

    def action_interrupt(self) -> None:
        """End the program, but for a line that is typed: there it is the key that copies."""
        for screen in self._pages()[:1]:
            if screen.line is not None:
                screen.tell(words.say("screens.idle.nothing-selected"))
                return
        self._end(0)

    def action_stop(self) -> None:
        """Stop as the shell's job, which lets it go on; say so where no shell could."""
        if has_shell():
            stop_job()
            return
        for screen in self._pages()[:1]:
            screen.tell(words.say("screens.idle.no-shell"))

    def _end(self, status: int) -> None:
        """Keep the seconds of a round under way, then end."""
        self._leave_screens()
        self.exit(return_code=status)

    def _leave_screens(self) -> None:
        for screen in self._pages():
            with contextlib.suppress(RoundsError):
                screen.leave_program()

    def _stand_still(self) -> None:
        for screen in self._pages():
            with contextlib.suppress(RoundsError):
                screen.stand_still()

    def _pages(self) -> "list[PageScreen]":
        """The screens that are open, the one in front first; none before the logbook is."""
        # slow to import: only once the first page is painted
        from rounds.tui.screens.page_screen import PageScreen

        return [screen for screen in reversed(self.screen_stack) if isinstance(screen, PageScreen)]

    def _open(self) -> None:
        # slow to import: only once the first page is painted
        from rounds.service.collection import first_start
        from rounds.service.logbook.book import Logbook
        from rounds.tui.screens.today import TodayScreen

        try:
            self.logbook = Logbook(self._path, self._clock)
            self.take_settings()
            self._seen = self.logbook.stamp()
            self._begin_work(self.logbook)
            self._back_up(self.logbook)
            today = TodayScreen(self.logbook, self._who)
            self.push_screen(today)
            if first_start.is_due(self.logbook):
                today.start_collection()
        except RoundsError as fault:
            self.fault = fault
            self.exit(return_code=fault.exit_status)
            return
        self._written_elsewhere = self.logbook.file.changes_by_others()
        self.set_interval(POLL_SECONDS, self._watch_others)
        # objects that live as long as the program are exempt from garbage collection
        gc.collect()
        gc.freeze()
        gc.enable()

    def _back_up(self, logbook: "Logbook") -> None:
        """Copy the logbook before the first entry of a day, in a thread of its own."""
        # slow to import: only once the first page is painted
        from rounds.service.safety.backups import due

        copying = due(logbook)
        if copying is not None:
            self.run_worker(partial(self._copy, copying), thread=True)

    def _copy(self, copying: "Copying") -> None:
        fault = ""
        try:
            copying.make_unless(lambda: not self.is_running)
        except RoundsError as failed:
            fault = str(failed)
        if self.is_running and fault != self.backup_fault:
            self.call_from_thread(self._say_of_backup, fault)

    def _say_of_backup(self, fault: str) -> None:
        self.backup_fault = fault
        for screen in self._pages()[:1]:
            screen.paint()

    def open_find(self) -> None:
        """Find a plant, a page or an act by its name, over the screen in front."""
        # slow to import: only once it is asked for
        from rounds.tui.screens.find import FindScreen
        from rounds.tui.screens.today import TodayScreen

        today = next(of for of in self.screen_stack if isinstance(of, TodayScreen))
        self.push_screen(FindScreen(today))

    def _begin_work(self, logbook: "Logbook") -> None:
        """Start the worker thread in which days are worked out; `on_unmount` waits for its end."""
        from rounds.tui.days import Days, DayWorker

        worker = DayWorker(
            self._path,
            logbook.clock,
            lambda day: self.call_from_thread(self._day_came, day),
            lambda fault, written: self.call_from_thread(self._day_failed, fault, written),
            lambda: self.call_from_thread(self._worker_rests),
            lambda answered: self.call_from_thread(self._answered, answered),
        )
        self.days = Days(logbook, worker)
        self.worker = worker
        self.run_worker(worker.run, thread=True)

    def _day_came(self, day: "Day") -> None:
        """Take a fuller day from the worker thread and show it on the screen in front."""
        if self.is_running and self.days.take(day):
            for screen in self._pages()[:1]:
                screen.day_came()

    def _answered(self, answered: "Answered") -> None:
        """Take what a page asked besides the day, and show it on the screen in front."""
        self.days.take_answer(answered)
        if self.is_running:
            for screen in self._pages()[:1]:
                screen.day_came()

    @property
    def is_calculating(self) -> bool:
        """Whether something is still worked out for the screens."""
        return self.worker is not None and self.worker.is_busy

    def _worker_rests(self) -> None:
        """Count the worker's own writes as seen, unless the stamp says that others wrote too."""
        if self.is_running and self.logbook is not None:
            changes = self.logbook.file.changes_by_others()
            if self.logbook.stamp() == self._seen:
                self._written_elsewhere = changes

    def _day_failed(self, fault: RoundsError, written: "Written") -> None:
        """Tell the screen in front that today cannot be worked out from what was entered."""
        self.days.fails(written, fault)
        if self.is_running:
            for screen in self._pages()[:1]:
                screen.day_failed(fault)

    def take_settings(self) -> None:
        """Apply the logbook's settings: units, days; colours and keys unless given at the start.

        Raises:
            BadInput: keys that cannot be had.
        """
        if self.logbook is None:
            return
        # slow to import: only once the first page is painted
        from rounds.service.logbook.choices import display_of

        show_as(display_of(self.logbook))
        colours = self._colours or self.logbook.setting("colours")
        self._wear(colours if colours in NAMES else USUAL)
        self._lay_keys(self._keys_asked or self.logbook.setting("keys") or BASE)

    def _wear(self, name: str) -> None:
        """Switch to the colours of a theme, which is registered on first use."""
        wanted = theme(name)
        if self.theme != wanted.name:
            self.register_theme(wanted)
            self.theme = wanted.name

    def _lay_keys(self, name: str) -> None:
        if name != self._keys_laid:
            self.set_keymap(use(keys_named(name, keys_path())))
            self._keys_laid = name

    def pop_screen(self) -> AwaitComplete:
        """Go back to the screen before, with settings changed meanwhile applied."""
        with contextlib.suppress(RoundsError):
            self.take_settings()
        return super().pop_screen()

    def _watch_others(self) -> None:
        """Reload the screen in front where another program has written, or a day has come.

        Settings changed there are applied here; derived results alone do not count as written.
        """
        if self.logbook is None:
            return
        with contextlib.suppress(RoundsError):
            changes = self.logbook.file.changes_by_others()
            stamp = self.logbook.stamp()
            if changes != self.logbook.file.changes_by_others():
                # written between the two questions: ask again at the next turn
                return
            by_others = changes != self._written_elsewhere and stamp != self._seen
            is_new = by_others or stamp.written.on != self._seen.written.on
            self._seen, self._written_elsewhere = stamp, changes
            if is_new:
                with contextlib.suppress(RoundsError):
                    self.take_settings()
                self._back_up(self.logbook)
                for screen in self._pages()[:1]:
                    screen.reload()

    async def on_unmount(self) -> None:
        """Close the logbook once the worker thread has ended, and reset how values are shown."""
        if self.worker is not None:
            self.worker.end()
            await asyncio.get_running_loop().run_in_executor(None, self.worker.ended.wait)
        if self.logbook is not None:
            self.logbook.close()
        show_as(Display())

    def _fatal_error(self) -> None:
        """End on an unexpected exception; the fault or traceback is kept for the caller."""
        if self.worker is not None:
            self.worker.end()
        fault = sys.exc_info()[1]
        if isinstance(fault, RoundsError):
            self.fault = fault
        else:
            self.crash = traceback.format_exc()
        self._close_messages_no_wait()


def run_screens(path: Path, who: str | None = None, keys: str | None = None) -> int:
    """Run the screens on a logbook; the exit status. BadInput for keys that cannot be had."""
    app = RoundsApp(path, who, keys=keys)
    app.run()
    if app.fault is not None:
        raise app.fault
    if app.crash is not None:
        kept = path.with_suffix(".fault.txt")
        with contextlib.suppress(OSError):
            kept.write_text(app.crash, encoding="utf-8")
        print(words.say("screens.crash", file=kept))
        return 1
    return app.return_code or 0

"""How the program stands still when it is asked to from outside, and goes on with its terminal."""

import asyncio
import contextlib
import os
import signal
import sys
from collections.abc import Callable

from textual.app import App


class Standstill:
    """Gives the terminal back before the program stops, and takes it once when it goes on.

    The library does so within the signal, wherever the program is: a stop that it was not told of
    (SIGSTOP) leaves it with two threads that read keys, one of which waits for ever, and one that
    comes while something is being painted waits for itself. Here both come in turn, by the loop.
    """

    def __init__(self, app: App[None], before: Callable[[], None]) -> None:
        """`before` is called before the program stops. Within a running app with a terminal."""
        self._app, self._before = app, before
        self._is_given_back = False
        loop = asyncio.get_running_loop()
        # a loop off the main thread, as in tests, takes no signals
        with contextlib.suppress(RuntimeError, ValueError):
            loop.add_signal_handler(signal.SIGTSTP, self._stop)
            loop.add_signal_handler(signal.SIGCONT, self._go_on)

    def _stop(self) -> None:
        self._before()
        self._give_back()
        os.kill(os.getpid(), signal.SIGSTOP)

    def _go_on(self) -> None:
        if not (self._app.is_running and _has_terminal()):
            # where the terminal is lost SIGCONT comes with SIGHUP, which ends the program
            return
        if not _is_in_front():
            # sent into the background: nothing may be painted there
            os.kill(os.getpid(), signal.SIGSTOP)
            return
        # after a stop it was not told of the terminal may be as the shell wants it
        self._give_back()
        driver = self._app._driver
        if driver is not None:
            driver.resume_application_mode()
            self._is_given_back = False
            self._app.refresh(layout=True)

    def _give_back(self) -> None:
        driver = self._app._driver
        if driver is not None and not self._is_given_back:
            driver.suspend_application_mode()
            self._is_given_back = True


def has_shell() -> bool:
    """Whether a shell has started it as a job: where none has, nobody lets it go on."""
    return os.getsid(0) != os.getpgrp()


def stop_job() -> None:
    """Stop the program and what was started with it, as the key of a terminal does."""
    os.killpg(0, signal.SIGTSTP)


def _has_terminal() -> bool:
    # a terminal that was hung up is none
    return sys.__stdin__ is not None and os.isatty(sys.__stdin__.fileno())


def _is_in_front() -> bool:
    if sys.__stdin__ is None:
        return False
    try:
        return os.tcgetpgrp(sys.__stdin__.fileno()) == os.getpgrp()
    except OSError:
        # not the terminal of the shell: there is no job to be in front of it
        return True

"""An invented lighthouse keeper's collection, on real files, under a clock that stands."""

import gc
import os
import shutil
import sys

# as the program itself does, and before anything imports numpy
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any, Protocol

import pytest
from hypothesis import HealthCheck, settings

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.entries.looks import LookEntered, LookWritten, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import local_noon, now
from rounds.service.round import RoundWalk, begin
from rounds.store import connect
from tests.days import plan_by_zone

NETWORK = ("socket.connect", "socket.bind", "socket.getaddrinfo", "socket.sendto")


def _no_network(event: str, arguments: tuple[Any, ...]) -> None:
    """Nothing leaves the machine: whatever opens a way out fails the test that made it do so.

    Pairs of sockets within a process, and those that lie in the file system, stay allowed.
    """
    if event not in NETWORK:
        return
    of_files = event != "socket.getaddrinfo" and isinstance(arguments[1], str | bytes)
    if not of_files:
        raise PermissionError(f"{event} {arguments[1:]}")


sys.addaudithook(_no_network)

# Nothing here may hang on how busy the machine is, nor on chance: the same examples at every run,
# as long as they take. A fault prints the line that brings its example back.
settings.register_profile(
    "rounds",
    deadline=None,
    derandomize=True,
    print_blob=True,
    suppress_health_check=(HealthCheck.too_slow,),
)
settings.load_profile("rounds")


# The garbage of many tests is collected seldom: at the usual pace that takes a sixth of the time.
gc.set_threshold(100_000, 20, 20)

AS_SHIPPED = connect.SYNCHRONOUS


@pytest.fixture(scope="session", autouse=True)
def _without_waiting_for_the_disk() -> Iterator[None]:
    """What is committed outlives a killed program all the same; who cuts the power asks for it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(connect, "SYNCHRONOUS", "OFF")
        yield


@pytest.fixture
def waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Logbooks are opened as they are for a grower."""
    monkeypatch.setattr(connect, "SYNCHRONOUS", AS_SHIPPED)


class MadeOnce(Protocol):
    """Copies a logbook that is made once, by the name and the instant of its making."""

    def __call__(
        self, name: str, clock: SetClock, make: Callable[[Logbook], object], copy: Path
    ) -> Path:
        """Where the copy lies."""


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> MadeOnce:
    """Each logbook that many tests begin with is made once a worker."""
    folder = tmp_path_factory.mktemp("made-once")

    def copied(name: str, clock: SetClock, make: Callable[[Logbook], object], copy: Path) -> Path:
        kept = folder / f"{name}-{clock.instant.timestamp()}.db"
        if not kept.exists():
            with Logbook(kept, clock) as made:
                make(made)
        return Path(shutil.copy(kept, copy))

    return copied


@pytest.fixture
def clock() -> SetClock:
    """Ten o'clock UTC, when it is 4 May in almost every time zone."""
    return SetClock(datetime(2026, 5, 4, 10, tzinfo=UTC))


@pytest.fixture
def wait(clock: SetClock) -> Callable[[float], None]:
    """Let seconds pass, on the wall clock and on the stopwatch."""

    def pass_seconds(seconds: float) -> None:
        clock.instant += timedelta(seconds=seconds)
        clock.seconds += seconds

    return pass_seconds


@pytest.fixture
def logbook(tmp_path: Path, clock: SetClock, made_once: MadeOnce) -> Iterator[Logbook]:
    """A new logbook with the keeper's three places."""
    path = made_once("keeper", clock, _put_places, tmp_path / "logbook.db")
    with Logbook(path, clock) as opened:
        yield opened


def _put_places(logbook: Logbook) -> None:
    moment = now(logbook.clock)
    put_place(logbook, moment, "porch shelf", PlaceDetails())
    put_place(logbook, moment, "seedling bench", PlaceDetails())
    put_place(logbook, moment, "stair foot", PlaceDetails(apart=True, usual_c=18.0))
    # one zone in twelve would ask for one, in tests that are about something else
    choose(logbook, "second-looks", "off")
    # and each find would move every figure a little from the next day on
    choose(logbook, "own-eye", "off")


@pytest.fixture
def add(logbook: Logbook, clock: SetClock) -> Callable[..., Plant]:
    """Enter a plant: small, on the porch shelf and there already, unless said otherwise."""

    def plant(code: str, name: str = "Thole", on: date | None = None, **said: Any) -> Plant:
        details: dict[str, Any] = {"place": "porch shelf", "size": "small", **said}
        if "arrived" not in details:
            details["already_here"] = True
        moment = local_noon(on) if on else now(clock)
        return add_plant(logbook, moment, code, PlantDetails(name=name, **details))

    return plant


@pytest.fixture
def look(logbook: Logbook) -> Callable[..., LookWritten]:
    """Enter a look on a day; without zones one of the whole plant, long enough to be complete."""

    def enter(code: str, day: date, *zones: str, seconds: float = 60.0, **said: Any) -> LookWritten:
        entered = LookEntered(zones=zones, seconds=seconds, **said)
        return enter_look(logbook, local_noon(day), code, entered)[0]

    return enter


@pytest.fixture
def walk(logbook: Logbook, clock: SetClock) -> Callable[[], RoundWalk]:
    """Begin the round of today, for 60 minutes, every zone a step of its own."""

    def begin_today() -> RoundWalk:
        return begin(logbook, plan_by_zone(logbook, clock.today(), 60.0))

    return begin_today

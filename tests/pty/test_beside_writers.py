"""Two windows of the screens beside programs that write: all of it is there, nobody is locked out.

`ROUNDS_WRITES=100` has eight programs write so often each; a few of them, a few times otherwise.
"""

import os
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from sqlite3 import connect
from typing import Any

EACH = int(os.environ.get("ROUNDS_WRITES", "5"))
WRITERS = 8 if EACH > 5 else 3

WRITES = """
import sys
from rounds.cli.main import main
path, each = sys.argv[1], int(sys.argv[2])
for number in range(each):
    if main(["--db", path, "look", "S03", "axils", "--seconds", str(20 + number)]):
        sys.exit(1)
"""


def test_two_windows_and_many_writers_lose_nothing(
    terminal: Callable[..., Any],
    small_logbook: Path,
    counted_on_disk: Callable[[Path], int],
) -> None:
    walks, stays = (terminal("--db", str(small_logbook)) for _ in range(2))
    for window in (walks, stays):
        window.wait_for(lambda text: "enter  " in text, "today")
    walks.send("\r")
    walks.wait_for(lambda text: "0:0" in text and "f  " in text, "the round")
    writing = [
        subprocess.Popen(
            [sys.executable, "-c", WRITES, str(small_logbook), str(EACH)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(WRITERS)
    ]
    for pressed in range(1, EACH + 1):
        walks.send("f")
        walks.wait_until(lambda n=pressed: counted_on_disk(small_logbook) >= n, "on disk")
        stays.read(0.01)
    ended = [process.communicate()[1] for process in writing]
    assert [process.returncode for process in writing] == [0] * WRITERS, ended
    assert counted_on_disk(small_logbook) == EACH
    with closing(connect(small_logbook)) as file:
        (looks,) = file.execute("SELECT count(*) FROM look WHERE milliseconds >= 20000").fetchone()
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert looks == WRITERS * EACH
    for window in (walks, stays):
        assert window.child.isalive()
        assert "locked" not in window.text()

"""`rounds today --json` from start to end, against a process that imports what it must and ends."""

import json
import subprocess
import sys
import time
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from rounds.clock import Clock
from rounds.service.demo import make_demo
from tests.bench.process import CHECKOUT, NotMeasured, environment, in_turns
from tests.bench.table import Row, ratio_of_medians

REPEATS = 30
OURS = ("-m", "rounds", "today", "--json")
AGAINST = ("-c", "import click, sqlite3, numpy")


def measure(repeats: int) -> list[Row]:
    """On the season of the demo."""
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        demo = make_demo(Path(folder) / "demo.db", Clock()).path
        if json.loads(_run(OURS, demo)).get("format") != "rounds.today":
            raise NotMeasured("today did not answer")
        ours, against = in_turns(
            repeats, partial(run_timed, OURS, demo), partial(run_timed, AGAINST, demo)
        )
    return [Row("today", "ms", ours, against, ratio_of_medians(ours, against), 1.5)]


def run_timed(arguments: tuple[str, ...], demo: Path) -> float:
    """Milliseconds of a process of this Python, from start to end."""
    started = time.perf_counter()
    _run(arguments, demo)
    return (time.perf_counter() - started) * 1000


def _run(arguments: tuple[str, ...], demo: Path) -> bytes:
    """What a process of this Python prints. NotMeasured if it fails."""
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=CHECKOUT,
        env=environment(demo),
        capture_output=True,
        check=False,
    )
    if done.returncode:
        raise NotMeasured(done.stderr.decode(errors="replace")[-400:])
    return done.stdout

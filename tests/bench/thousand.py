"""A thousand plants: today and rank with all kept, beside the same on the season of the demo.

The logbook is written as that of the decade is, but of two months, so that it is there in a moment.
"""

from pathlib import Path
from tempfile import TemporaryDirectory

from rounds.clock import Clock
from rounds.service.demo import make_demo
from tests.bench.decade_file import Span, write_span
from tests.bench.process import in_turns
from tests.bench.table import Row, ratio_of_medians
from tests.bench.years import timed

REPEATS = 5
GOAL = 3.0
"""times the demo's"""

THOUSAND = Span("thousand", plants=1000, days=60, every=3)


def measure(repeats: int, span: Span = THOUSAND) -> list[Row]:
    """Each call is made once before it is timed, and that first time is told by itself."""
    rows: list[Row] = []
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        demo = make_demo(Path(folder) / "demo.db", Clock()).path
        path = Path(folder) / f"{span.name}.db"
        write_span(path, span, Clock())
        for command in ("today", "rank"):
            ours, theirs = (timed((command, "--json"), file) for file in (path, demo))
            first = ours()
            theirs()
            rows.append(Row(f"{span.name}-{command}-first", "ms", [first], [], first, None))
            of_many, of_demo = in_turns(repeats, ours, theirs)
            ratio = ratio_of_medians(of_many, of_demo)
            rows.append(Row(f"{span.name}-{command}", "ms", of_many, of_demo, ratio, GOAL))
    return rows

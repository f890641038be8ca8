"""python -m tests.bench [MEASURE ...] [--repeats N] [--looks N]

Prints how ours compares with what it cannot do without, within one run on one machine.
"""

import os

# as in the program itself; set before numpy is imported
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import gc
import sys
from collections.abc import Callable, Sequence
from functools import partial

from tests.bench import bytes as bytes_on_disk
from tests.bench import (
    cold_keys,
    decade,
    first_paint,
    imports,
    inference,
    key,
    pages,
    split,
    thousand,
    today,
    years,
)
from tests.bench.process import NotMeasured
from tests.bench.table import Row, table

IN_TURNS: dict[str, tuple[Callable[[int], list[Row]], int]] = {
    "key": (key.measure, key.REPEATS),
    "first-paint": (first_paint.measure, first_paint.REPEATS),
    "cold-key": (cold_keys.measure, cold_keys.REPEATS),
    "pages": (pages.measure, pages.REPEATS),
    "today": (today.measure, today.REPEATS),
    "years": (years.measure, years.REPEATS),
    "thousand": (thousand.measure, thousand.REPEATS),
    "split": (split.measure, split.REPEATS),
    "inference": (inference.measure, inference.REPEATS),
}
"""Measures of time, and how often ours and the other take turns unless said otherwise."""

NAMES = (*IN_TURNS, "bytes", "import")

ASKED_FOR: dict[str, tuple[Callable[[int], list[Row]], int]] = {
    "decade": (decade.measure, decade.REPEATS),
    "tenth": (partial(decade.measure, spans=(decade.A_TENTH,)), decade.REPEATS),
}
"""Measures that take an hour, or a tenth of one, left out unless they are named."""


def main(given: Sequence[str] | None = None) -> int:
    """Take the measures named, all if none are; 0, as a figure is information and no verdict."""
    asked = _parser().parse_args(given)
    # a pause of the reader is no part of any figure
    gc.disable()
    rows: list[Row] = []
    for name in asked.measures or NAMES:
        try:
            rows += _rows(name, asked.repeats, asked.looks)
        except NotMeasured as trouble:
            print(f"{name} was not measured: {trouble}")
    print(table(rows))
    return 0


def _rows(name: str, repeats: int | None, looks: int) -> list[Row]:
    if name == "bytes":
        return bytes_on_disk.measure(looks)
    if name == "import":
        return imports.measure(looks, repeats or imports.REPEATS)
    measure, usual = (IN_TURNS | ASKED_FOR)[name]
    return measure(repeats or usual)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser("python -m tests.bench", description=__doc__)
    parser.add_argument(
        "measures",
        nargs="*",
        type=_known,
        metavar="MEASURE",
        help=f"all, or: {', '.join((*NAMES, *ASKED_FOR))}",
    )
    parser.add_argument("--repeats", type=_at_least_one, help="how often each time is taken")
    parser.add_argument(
        "--looks",
        type=_at_least_one,
        default=bytes_on_disk.LOOKS,
        help="how many bytes and import write",
    )
    return parser


def _known(name: str) -> str:
    if name not in (*NAMES, *ASKED_FOR):
        raise argparse.ArgumentTypeError(
            f"no measure {name}; there are {', '.join((*NAMES, *ASKED_FOR))}"
        )
    return name


def _at_least_one(text: str) -> int:
    number = int(text)
    if number < 1:
        raise argparse.ArgumentTypeError("at least 1")
    return number


if __name__ == "__main__":
    sys.exit(main())

"""python -m tests.bench.evidence [--seasons N] [--minutes M ...] [--habits ...] [--truths ...]

Lives seasons of the tool and of habits without one, and prints how they compare.
"""

import os

# one process a core; set before numpy is imported
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import sys
from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from pathlib import Path

from tests.bench.evidence.study import HABITS, Kept, Season, known_habit, line_of, read, run
from tests.bench.evidence.tables import goals, settings_of, table
from tests.bench.evidence.truths import TRUTHS
from tests.proof.values import ESTABLISHED

PAGE = Path(__file__).parents[3] / "docs" / "evidence.md"
TEXT = Path(__file__).with_name("page.md")
FIRST_SEED = 1000
"""Constants of the plan were chosen on lower ones."""


def main(given: Sequence[str] | None = None) -> int:
    """Live what is asked for and not kept yet; print the tables, or write the page."""
    asked = _parser().parse_args(given)
    kept = read(asked.keep) if asked.keep else {}
    _live(asked, kept)
    found = settings_of(kept)
    tables = [table(setting, by_habit) for setting, by_habit in sorted(found.items())]
    asked_for, text = goals(found), "\n\n".join(tables)
    if asked.write:
        page = TEXT.read_text(encoding="utf-8")
        page = page.replace("{goals}", asked_for).replace("{tables}", text)
        PAGE.write_text(page, encoding="utf-8", newline="\n")
    else:
        print(f"{asked_for}\n\n{text}")
    return 0


def _live(asked: argparse.Namespace, kept: Kept) -> None:
    """What is lived is added to the seasons kept, on disk too, one by one."""
    wanted = [
        Season(habit, truth, minutes, asked.plants, asked.days, seed, asked.infested)
        for truth, minutes, seed, habit in product(
            asked.truths,
            asked.minutes,
            range(asked.first_seed, asked.first_seed + asked.seasons),
            asked.habits,
        )
    ]
    missing = [season for season in wanted if _as_kept(season, asked.call_tool) not in kept]
    for season, figures in run(missing, asked.workers):
        kept[_as_kept(season, asked.call_tool)] = figures
        if asked.keep:
            with asked.keep.open("a", encoding="utf-8") as file:
                file.write(line_of(_as_kept(season, asked.call_tool), figures))


def _habit(name: str) -> str:
    try:
        return known_habit(name)
    except ValueError as fault:
        raise argparse.ArgumentTypeError(str(fault)) from None


def _as_kept(season: Season, tool: str) -> Season:
    """The tool of this checkout may have a name of its own beside that of another one."""
    return replace(season, habit=season.habit.replace("tool", tool, 1))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser("python -m tests.bench.evidence", description=__doc__)
    add = parser.add_argument
    add("--seasons", type=int, default=20, help="of each habit; 0 shows what is kept")
    add("--first-seed", type=int, default=FIRST_SEED)
    add("--minutes", type=float, nargs="+", default=[10.0], help="a day")
    add("--plants", type=int, default=24)
    add("--days", type=int, default=120)
    add(
        "--infested", type=float, default=ESTABLISHED.infested, help="chance of each plant at first"
    )
    add(
        "--habits",
        nargs="+",
        type=_habit,
        default=list(HABITS),
        metavar="HABIT",
        help=", ".join(HABITS) + "; tool:NAME=VALUE[,NAME=VALUE] has other constants",
    )
    add(
        "--truths",
        nargs="+",
        choices=list(TRUTHS),
        default=[next(iter(TRUTHS))],
        metavar="TRUTH",
        help=", ".join(TRUTHS),
    )
    add("--workers", type=int, default=1, help="processes")
    add("--keep", type=Path, help="a file of seasons: those in it are not lived again")
    add(
        "--call-tool",
        default="tool",
        metavar="NAME",
        help="what the tool of this checkout is called in the file",
    )
    add("--write", action="store_true", help=f"write {PAGE.name} instead of printing")
    return parser  # fmt: skip


if __name__ == "__main__":
    sys.exit(main())

"""Many seasons: each stands alone and comes out the same wherever it is run."""

import json
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, fields
from itertools import product
from pathlib import Path

from rounds.core.parameters import ClaimRules, Parameters
from rounds.service.logbook.parameters import load_parameters
from tests.bench.evidence.habits import APART_30, CLEAN_42, FixedOrder, Weekly, WorstFirst
from tests.bench.evidence.ledger import Figures
from tests.bench.evidence.records import Habit
from tests.bench.evidence.season import Means, live
from tests.bench.evidence.tool import Tool
from tests.bench.evidence.truths import TRUTHS
from tests.bench.evidence.world import House, World
from tests.proof.values import ESTABLISHED

TOOLS: dict[str, Callable[[], Tool]] = {
    "tool": Tool,
    "tool-strict": lambda: Tool("strict"),
    "tool-stays": lambda: Tool(carries=False),
}
ORDERS = {"fixed-order": FixedOrder, "worst-first": WorstFirst, "weekly": Weekly}
RULES = {"30": APART_30, "42": CLEAN_42}
TOOL = "tool"
OTHERWISE = f"{TOOL}:"
"""before constants of the plan that are other than they are: tool:unseen_days=5,short_share=.25"""
WHOLE = {of.name: of.type in (int, "int") for of in fields(ClaimRules)}
"""which constants are whole numbers"""
HABITS = (*TOOLS, *(f"{order}-{rule}" for order, rule in product(ORDERS, RULES)))


@dataclass(frozen=True, slots=True)
class Season:
    """What tells one season of one habit from all others."""

    habit: str
    truth: str
    minutes: float
    plants: int
    days: int
    seed: int
    infested: float = ESTABLISHED.infested
    """chance of each plant that was always there"""


Kept = dict[Season, Figures]


def habit_of(name: str, parameters: Parameters) -> Habit:
    """A habit as it begins."""
    if name in TOOLS:
        return TOOLS[name]()
    if name.startswith(OTHERWISE):
        return Tool(claims=constants_in(name))
    order, _, rule = name.rpartition("-")
    return ORDERS[order](parameters, RULES[rule])


def constants_in(name: str) -> dict[str, float]:
    """The constants that a habit of the tool names. ValueError where there is none of that name."""
    given = [pair.partition("=") for pair in name.removeprefix(OTHERWISE).split(",")]
    unknown = [constant for constant, _, _ in given if constant not in WHOLE]
    if unknown:
        raise ValueError(f"no constant {unknown[0]}: {', '.join(WHOLE)}")
    return {of: int(value) if WHOLE[of] else float(value) for of, _, value in given}


def known_habit(name: str) -> str:
    """The name of a habit. ValueError where there is none of that name."""
    if name.startswith(OTHERWISE):
        constants_in(name)
    elif name not in HABITS:
        raise ValueError(f"no habit {name}")
    return name


def figures_of(season: Season) -> Figures:
    """Live one season."""
    parameters = load_parameters()
    house = House(season.plants, infested=season.infested)
    world = World(parameters, TRUTHS[season.truth], house, season.seed)
    habit = habit_of(season.habit, parameters)
    return live(habit, world, parameters, Means(season.minutes, season.days)).figures()


def run(seasons: Iterable[Season], workers: int = 1) -> Iterator[tuple[Season, Figures]]:
    """Live seasons, in their order whatever the number of processes."""
    asked = list(seasons)
    if workers == 1:
        yield from ((season, figures_of(season)) for season in asked)
        return
    with ProcessPoolExecutor(workers) as pool:
        yield from zip(asked, pool.map(figures_of, asked), strict=True)


def read(path: Path) -> Kept:
    """The seasons kept in a file; none where there is no file."""
    if not path.exists():
        return {}
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    return {
        Season(**row["season"]): {name: (a, b) for name, (a, b) in row["figures"].items()}
        for row in rows
    }


def line_of(season: Season, figures: Figures) -> str:
    """One season as a line of a file."""
    told = {name: getattr(season, name) for name in Season.__slots__}
    return json.dumps({"season": told, "figures": figures}) + "\n"

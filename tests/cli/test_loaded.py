"""What a start loads: a plan that is kept is read without sums, rounds or forms."""

import importlib.util
import subprocess
import sys

import pytest

from rounds.cli.main import GROUPS

PROGRAM = """
import os, sys
sys.stdout, told = open(os.devnull, "w"), sys.stdout
from rounds.cli.main import main
status = main(["today", "--json"])
print(status, *sorted(sys.modules), file=told)
"""

SUMS = (
    "rounds.core.biology.day",
    "rounds.core.biology.process",
    "rounds.core.inference.answer",
    "rounds.core.inference.evidence",
    "rounds.core.plan.calls",
    "rounds.core.plan.effort",
    "rounds.core.plan.risk",
    "rounds.core.plan.split",
)
"""Worked out once; what comes of them is kept."""

OTHER_USES = (
    "rounds.core.quarantine.forecast",
    "rounds.core.quarantine.outlook",
    "rounds.service.collection.away_entry",
    "rounds.service.entries.corrections",
    "rounds.service.demo",
    "rounds.service.collection.division",
    "rounds.service.logbook.entry_ids",
    "rounds.service.plant.history",
    "rounds.service.inference.ahead",
    "rounds.service.entries.looks",
    "rounds.service.logbook.named",
    "rounds.service.collection.plants",
    "rounds.service.round",
    "rounds.service.logbook.settings",
    "rounds.service.exchange",
    "rounds.tui",
)
"""What other commands and the screens are for."""

LIBRARIES = ("dateutil", "numpy", "platformdirs", "rich", "scipy", "sqlite_utils", "textual")


def loaded_by_today() -> set[str]:
    """The modules in a process that has printed the plan of the day."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM], capture_output=True, text=True, check=True
    )
    status, *loaded = done.stdout.split()
    assert status == "0"
    return set(loaded)


@pytest.mark.usefixtures("porch")
def test_a_plan_that_is_kept_is_read_without_what_it_was_made_with() -> None:
    assert {*SUMS, "numpy"} <= loaded_by_today(), "nothing is kept yet"
    loaded = loaded_by_today()
    assert "rounds.service.plan.today" in loaded
    assert loaded & {*SUMS, *OTHER_USES, *LIBRARIES} == set()


@pytest.mark.usefixtures("porch")
def test_a_call_loads_its_own_command_alone() -> None:
    of_commands = {module for modules in GROUPS.values() for module in modules.values()}
    loaded = loaded_by_today()
    assert {name for name in of_commands if f"rounds.cli.{name}" in loaded} == {"today"}


@pytest.mark.parametrize("module", [*SUMS, *OTHER_USES])
def test_what_must_not_be_loaded_is_there(module: str) -> None:
    assert importlib.util.find_spec(module) is not None

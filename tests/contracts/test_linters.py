"""Style, format and types are held by machines."""

import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
CALLS = {
    "style": ("ruff", "check"),
    "format": ("ruff", "format", "--check"),
    "types": ("mypy", "--strict"),
}


@pytest.mark.parametrize("call", CALLS.values(), ids=CALLS)
def test_package_and_tests_are_clean(call: tuple[str, ...]) -> None:
    done = subprocess.run(
        [sys.executable, "-m", *call, "rounds", "tests"],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr

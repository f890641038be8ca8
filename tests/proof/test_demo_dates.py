"""What the package says of the demo's plants is what plain arithmetic says."""

import json
import os
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.proof.demo_dates import PLANTS, dates

CHECKOUT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A copy of the demo, made today."""
    path = tmp_path_factory.mktemp("dates") / "demo.db"
    rounds("demo", "--at-path", str(path))
    return str(path)


def rounds(*arguments: str) -> dict[str, Any]:
    """What a command answers."""
    done = subprocess.run(
        [sys.executable, "-m", "rounds", *arguments, "--json"],
        cwd=CHECKOUT,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        capture_output=True,
        text=True,
        check=True,
    )
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


@pytest.mark.parametrize("code", PLANTS)
def test_the_dates_of_the_demo_are_those_of_plain_arithmetic(demo: str, code: str) -> None:
    answer = rounds("plant", code, "--db", demo)
    on = date.fromisoformat(str(answer["on"]))
    release = _release(answer)
    said = {
        criterion["code"]: (date.fromisoformat(criterion["expected_on"]) - on).days
        for criterion in release["criteria"]
        if criterion["code"] in dates(code)
    }
    assert said == dates(code)
    assert len(said) == 4
    assert date.fromisoformat(release["expected_on"]) >= on
    assert (date.fromisoformat(release["expected_on"]) - on).days >= max(said.values())


def _release(answer: object) -> dict[str, Any]:
    """The release of the one plant spoken of, wherever it stands."""
    if isinstance(answer, dict):
        if isinstance(answer.get("release"), dict):
            found: dict[str, Any] = answer["release"]
            return found
        return next(r for part in answer.values() if (r := _release(part)))
    return {}

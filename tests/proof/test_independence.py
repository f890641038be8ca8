"""The simulation shares parameter values with the package, and nothing else."""

import ast
from pathlib import Path

import pytest

HERE = Path(__file__).parent
SIMULATION = ("insects", "conditioning", "process", "records", "values", "trials", "logs", "scores")
OF_THE_PACKAGE = {"rounds.core.parameters"}
OF_THE_PROOF = {f"tests.proof.{name}" for name in SIMULATION}


def imported(name: str) -> set[str]:
    """Modules a file imports, at its top or anywhere in it."""
    tree = ast.parse((HERE / f"{name}.py").read_text(encoding="utf-8"))
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            found.add(str(node.module))
        elif isinstance(node, ast.Call):
            assert "import" not in ast.unparse(node.func), "nothing is imported behind the back"
    return found


@pytest.mark.parametrize("name", SIMULATION)
def test_the_simulation_imports_parameters_alone(name: str) -> None:
    ours = {module for module in imported(name) if module.split(".")[0] in ("rounds", "tests")}
    assert ours <= OF_THE_PACKAGE | OF_THE_PROOF


def test_the_insects_themselves_import_nothing_of_the_package() -> None:
    for name in ("insects", "conditioning"):
        assert not any(module.startswith("rounds") for module in imported(name))
        assert "tests.proof.process" in imported(name)

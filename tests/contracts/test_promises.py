"""The page of what is promised names tests that are there."""

import re
from pathlib import Path

CHECKOUT = Path(__file__).parents[2]
PAGE = (CHECKOUT / "docs" / "promises.md").read_text(encoding="utf-8")


def test_each_promise_names_a_test_that_is_there() -> None:
    promises, _, _ = PAGE.partition("\n## ")
    rows = [row for row in promises.splitlines() if row.startswith("| ")][1:]
    assert rows
    for row in rows:
        files = re.findall(r"`(tests/\S+\.py)`", row)
        assert files, row
        assert [file for file in files if not (CHECKOUT / file).is_file()] == []

"""The pages of the docs that show the screens are made from the captures as they are now."""

import pytest

from tests.tui.screens_page import FOLDER, SHOWN, page_of


@pytest.mark.parametrize("name", SHOWN)
def test_a_page_is_as_it_is_made(name: str) -> None:
    made = (FOLDER / f"{name}.md").read_text(encoding="utf-8")
    assert made == page_of(name), "python -m tests.tui.screens_page writes it anew"


def test_there_are_no_other_pages() -> None:
    assert {file.stem for file in FOLDER.glob("*.md")} == set(SHOWN)

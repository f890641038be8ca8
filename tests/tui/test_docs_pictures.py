"""The pictures of the docs show the demo as it looks, and ask nothing of any host."""

import re
from pathlib import Path

import pytest

from tests.tui.conftest import Opens
from tests.tui.pictures import FOLDER, SCENES, pictures

NAMESPACE = "http://www.w3.org/2000/svg"
README = Path(__file__).parents[2] / "README.md"


async def test_pictures_are_those_of_the_demo(demo: Path, opened: Opens) -> None:
    async with opened(demo) as driver:
        made = {picture.name: picture.svg async for picture in pictures(driver)}
    kept = {file.stem: file.read_text(encoding="utf-8") for file in FOLDER.glob("*.svg")}
    differ = [name for name in {*made, *kept} if made.get(name) != kept.get(name)]
    assert sorted(differ) == [], "python -m tests.tui.pictures writes them anew"


@pytest.mark.parametrize("name", SCENES)
def test_a_picture_names_no_host_and_no_font_to_fetch(name: str) -> None:
    svg = (FOLDER / f"{name}.svg").read_text(encoding="utf-8")
    assert set(re.findall(r"\w+://[^\"'\s)]+", svg)) == {NAMESPACE}
    assert "@font-face" not in svg
    assert "<circle" not in svg


def test_the_readme_shows_pictures_that_are_there() -> None:
    shown = re.findall(r"!\[[^]]+\]\(docs/pictures/([a-z-]+)\.svg\)", README.read_text("utf-8"))
    assert {"today", "round"} <= set(shown) <= set(SCENES)

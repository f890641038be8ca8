"""What the page of a plant in trouble has room for: bars on a large screen, and on a small one."""

from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

from rounds import words
from rounds.tui.pages.bars import WORST_BAR, left_bar
from tests.tui.reading import SIZES, complaints

Opened = Callable[..., AbstractAsyncContextManager[Any]]


async def test_on_a_large_screen_bars_say_what_the_risk_is_made_of(
    demo: Path, opened: Opened
) -> None:
    async with opened(demo, size=(120, 40)) as driver:
        await driver.press("l", "enter")
        risk = driver.record("S03").likely.risk
        await driver.shows("S03  Pintle", "2   end quarantine", f"risk {risk.value:.0f} comes from")
        parts = risk.parts
        shown = [part for part in parts if round(part.value)]
        assert len(shown) == 3
        for part in shown:
            said = words.say(f"risk.parts.{part.code}")
            row = next(row for row in driver.text.splitlines() if row[80:].startswith(said))
            assert row.split()[-1] == str(round(part.value))
        # said once: the sentence of smaller pages is not there
        assert driver.text.count("comes from") == 1
        narrower = (await driver.page_at(80, 24)).text()
        # there what holds the chance clean down comes first
        assert "held down by many finds together; no single one decides it" in narrower
        for page in (await driver.pages_at(SIZES)).values():
            assert complaints(page, plain=True) == []


async def test_what_would_be_sooner_is_said_on_a_smaller_screen(demo: Path, opened: Opened) -> None:
    async with opened(demo) as driver:
        await driver.press("l", "enter")
        await driver.shows("2   end quarantine", "held down by")
        # what its eggs do comes before that on the page; help has room for both
        await driver.press("h")
        await driver.until(lambda: driver.screen.helping, "help")
        pages: list[str] = []
        while not pages or driver.text != pages[-1]:
            pages.append(driver.text)
            await driver.press("pagedown")
        assert " sooner" in "".join(pages)
        assert "looks twice as long" in "".join(pages)


async def test_on_a_small_screen_the_three_worst_zones_keep_their_bars_and_nothing_is_cut(
    demo: Path, opened: Opened
) -> None:
    async with opened(demo, size=(40, 24)) as driver:
        await driver.press("l", "enter")
        await driver.shows("S03  Pintle", "2   end quarantine")
        assert ".." not in driver.text
        left = driver.record("S03").likely.left_by_zone
        for zone in sorted(left, key=lambda zone: -left[zone])[:3]:
            starts = f"   {words.say(f'zones.{zone}.name')} "
            (row,) = [row for row in driver.text.splitlines() if row.startswith(starts)]
            bar = left_bar(left[zone], max(left.values()), WORST_BAR).strip()
            assert row.removeprefix(starts).lstrip().startswith(f"{bar} ")
            assert f" {left[zone]:.0f} left " in row

"""Whatever is typed or pasted into a field of a form is text: no fault, no escape on the page.

`ROUNDS_TYPED=50` types as many things into each field; one otherwise.
"""

import os
import random
import unicodedata
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from pathlib import Path
from typing import Any

from textual import events

from rounds.tui.screens.form import FormScreen
from tests.cli.test_any_input import TYPED
from tests.tui.test_form_pages import forms_of

Opened = Callable[..., AbstractAsyncContextManager[Any]]

EACH = int(os.environ.get("ROUNDS_TYPED", "1"))
SEED = 20260504


async def paste(driver: Any, text: str) -> None:
    driver.app.post_message(events.Paste(text))
    await driver.press("end")


def moves_a_cursor(text: str) -> bool:
    return any(unicodedata.category(c) in ("Cc", "Cs", "Cf") for c in text.replace("\n", ""))


async def test_whatever_is_typed_into_any_field_ends_in_a_sentence(
    demo: Path, opened: Opened
) -> None:
    chance, fields = random.Random(SEED), 0
    async with opened(demo) as driver:
        await driver.until(lambda: driver.app.logbook is not None, "the logbook")
        today = driver.app.screen
        for name, screen in forms_of(driver.app.logbook):
            await driver.app.push_screen(screen)
            for line in range(len(screen.form.fields)):
                for _ in range(EACH):
                    if not isinstance(driver.app.screen, FormScreen) or screen.stage != "lines":
                        break
                    fields += 1
                    typed = chance.choice(TYPED)
                    await paste(driver, typed)
                    await driver.press("enter")
                    assert driver.app.is_running, (name, line, typed)
                    assert not moves_a_cursor(driver.text), (name, line, typed)
                    assert all(len(row) <= 80 for row in driver.text.splitlines()), (name, typed)
                await driver.press("down")
            # a line of the wild may have been one that the form took as a whole
            while driver.app.screen is not today:
                await driver.app.pop_screen()
    assert driver.app.crash is None
    assert fields > 60

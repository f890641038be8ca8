"""What just happened is read whole at 80 and 40 columns, however long what is named in it."""

import re
from collections.abc import Iterator, Mapping

import pytest

from rounds import words
from rounds.service.round.shown.said import zone_name
from rounds.service.round.view import Answer, Question
from rounds.tui.page import CUT, Page
from rounds.tui.pages.parts import ask, desk_row, say_or_ask
from rounds.tui.pages.round import BELOW_PICTURE
from rounds.tui.pages.told import Told
from rounds.tui.screens.frame import foot_of
from rounds.words.pests import pest_name

SIZES = ((80, 24), (120, 40), (40, 24))
SAVED = ("counted", "staged", "closed-clean", "closed-found", "hidden")
"""What may be said of the round while a question waits."""

PLACE, NAME, CODE, CODES = "seedling bench", "Gimbal of the stair", "ORCH-12", "G02, G04, G06, P13"
LOOK = "12 removed, egg mass, at growing points, 28 Nov 17:31"
FILLS: Mapping[str, object] = {
    "away": "28 Nov to 12 Dec",
    "clean": "24 plants",
    "code": CODE,
    "codes": CODES,
    "count": 99,
    "course": "out of its medium",
    "day": "28 to 30 Nov",
    "dot": ".",
    "found": 99,
    "given": "twenty minutes",
    "greatest": "31 degC",
    "help": "h",
    "how": "given away",
    "key": "enter",
    "kind": "untouched",
    "least": "18 degC",
    "left": CODE,
    "line": "usual temperature at seedling bench",
    "minutes": "12.5 minutes",
    "most": 99,
    "name": NAME,
    "new": "12 removed, egg mass",
    "number": 12,
    "opened": 20,
    "old": "12 untouched, egg mass",
    "pairs": 12,
    "pest": max(map(pest_name, words.tables("pests")), key=len),
    "place": PLACE,
    "seconds": "12:30",
    "seen": "12 untouched (egg mass)",
    "sign": "honeydew",
    "size": "medium",
    "stage": "egg mass",
    "state": "undone: 12 removed",
    "streak": "streak 12, 120 days",
    "time": "17:31",
    "typed": CODE,
    "unit": "degC days",
    "usual": "18.5 degC",
    "value": "18.5 degC is assumed",
    "walked": "Second Keeper is walking this round.",
    "what": LOOK,
    "where": f"at {PLACE}, spot 12",
    "who": "Second Keeper",
    "step": "spray, 2 of 4",
    "zone": max((zone_name(zone) for zone in words.tables("zones")), key=len),
    "zones": 12,
}


def filled(section: str, *codes: str) -> Iterator[tuple[str, str]]:
    """Sentences of a part of the words, by code, as long as they realistically get."""
    for code, text in words.section(section).items():
        if not codes or code in codes:
            fields = set(re.findall(r"{(\w[\w-]*)}", text))
            yield f"{section}.{code}", text.format(**{field: FILLS[field] for field in fields})


def of_the_round() -> list[tuple[str, str]]:
    """What is said on the pages of the round."""
    return [
        *filled("round.said"),
        *filled("round.said.settled"),
        *filled("screens.idle"),
        *filled("bench", "sign-kept", "sign-known", "took-sign", "second-look", "some-not-hidden",
                "whole-not-hidden", "whole-done", "some-done", "placed", "took-seen",
                "zone-first"),
    ]  # fmt: skip


def of_the_desk() -> list[tuple[str, str]]:
    """What is said on all other pages."""
    return [
        *filled("screens.idle"),
        *filled("screens.list"),
        *filled("plant.said"),
        *filled("settings.said"),
        *filled("desk_forms.said"),
        *filled("first_start.said"),
        *filled("sheet_entry.said"),
        *filled("screens.today", "minutes-kept", "minutes-today", "minutes-bad", "none-left"),
        *filled("plan", "by-risk-said", "clean-first-said"),
        *filled(
            "screens.release", "ended", "ended-no-day", "ended-early", "ended-early-no-day", "back"
        ),
        *filled("away.form", "kept"),
    ]


def of_forms() -> list[tuple[str, str]]:
    """What a form says after writing, with what it asks then."""
    another = {"temperatures": "another-day", "place": "another-place"}
    found = []
    for code, said in filled("desk_forms.said", "temperatures", "place", "plant", "apart"):
        asks = another.get(code.rpartition(".")[2], "another-plant")
        found.append((code, f"{said}. {words.say(f'desk_forms.{asks}')}"))
    return found


def cut(said: list[tuple[str, str]], size: tuple[int, int], place: str) -> list[str]:
    """The messages that are cut on a page of a size."""
    found = []
    for code, text in said:
        page = Page(*size)
        if place == "round":
            say_or_ask(page, text, None, BELOW_PICTURE)
        elif place == "question":
            answers = tuple(Answer(r, t) for r, t in
                            words.section("round.ask.live-find.answers").items())  # fmt: skip
            asks = Question("live-find", words.say("round.ask.live-find.text", code=CODE), answers)
            say_or_ask(page, text, asks, BELOW_PICTURE)
            assert text.split()[-1] in page.text() or CUT in page.text(), code
        elif place == "form":
            ask(page, desk_row(page), text, [("y", "one more"), ("n", "enough")])
        else:
            page = foot_of(Told(title="", clock="", message=text), page)
        if f"{CUT}\n" in f"{page.text()}\n":
            found.append(f"{code} at {size[0]}: {text}")
    return found


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_no_message_is_cut(size: tuple[int, int]) -> None:
    found = cut(of_the_round(), size, "round") + cut(of_the_desk(), size, "desk")
    found += cut(of_forms(), size, "form")
    assert not found, "\n".join(found)


def test_what_was_saved_is_read_whole_beside_a_question() -> None:
    found = cut(list(filled("round.said", *SAVED)), (80, 24), "question")
    assert not found, "\n".join(found)


def test_why_a_key_did_nothing_takes_one_row() -> None:
    letter = {**FILLS, "key": "k"}
    long = [text for text in words.section("screens.idle").values()
            if len(text.format(**letter)) > 38]  # fmt: skip
    assert not long

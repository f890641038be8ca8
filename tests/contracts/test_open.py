"""What DEVELOPERS.md says under "What comes next", done for real in a copy of the package."""

import json
import re
import sys
from pathlib import Path

import pytest

from rounds.cli.main import main
from tests.contracts.copied import Copy
from tests.store.older_files import VERSIONS, write_version

PAGES = ("zone", "growth form", "pest", "criterion", "calculator", "screen")
LONGEST_PAGE = 10
ENDS = VERSIONS[:: len(VERSIONS) - 1]
"""The oldest file and the newest: those between become one like it, which `tests/store` holds."""
HOUSE = Path(__file__).parents[2]
DEVELOPERS = (HOUSE / "DEVELOPERS.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", PAGES)
def test_its_page_is_short_and_names_files_that_are_there(name: str) -> None:
    page = re.search(rf"^### A new {name}\n\n(.*?)(?=\n#|\Z)", DEVELOPERS, re.DOTALL | re.MULTILINE)
    assert page is not None
    assert len(page[1].strip().splitlines()) <= LONGEST_PAGE
    named = re.findall(r"`((?:rounds|tests|docs)/[^`]*)`", page[1])
    assert any(path.startswith("tests/") for path in named)
    for path in named:
        # NAME stands for that of the new thing, in a folder that is there
        assert (HOUSE / path.partition("NAME")[0]).exists(), path


@pytest.fixture
def copy(tmp_path: Path) -> Copy:
    return Copy(tmp_path / "copy")


@pytest.fixture(scope="module")
def grown(tmp_path_factory: pytest.TempPathFactory) -> Copy:
    """A copy that knows a growth form, a zone and a pest more."""
    copy = Copy(tmp_path_factory.mktemp("grown"))
    add_form_and_zone(copy)
    add_pest(copy)
    return copy


ON = ("--on", "2026-05-06")
PITCHER = (
    '\npitcher = { value = ["undersides", "cups", "axils", "medium", "pot-rim", "roots"], '
    'unit = "zone", tag = "practice", source = "common practice, no source" }\n'
)
DRAWS = 'cups = { value = "sheaths", unit = "zone", tag = "assumption", source = "none" }'


def add_form_and_zone(copy: Copy) -> None:
    """A growth form with a zone that no other has."""
    copy.add("parameters/forms.toml", PITCHER)
    copy.edit("parameters/forms.toml", "[draws_on]", f"[draws_on]\n{DRAWS}")
    copy.add("words/en/zones.toml", '\n[cups]\nname = "cups"\nadvice = "under the lid"\n')
    copy.edit("words/en/desk_forms.toml", "[growth-forms]", '[growth-forms]\npitcher = "pitcher"')


def add_pest(copy: Copy) -> None:
    """A pest with a nymph less, a threshold and a generation of its own."""
    text = (copy.package / "parameters/pests/mealybug.toml").read_text(encoding="utf-8")
    text = re.sub(r"\[stages\.L3\].*?(?=\[)", "", text, flags=re.DOTALL)
    text = text.replace("lower_threshold = { value = 8.0", "lower_threshold = { value = 11.0")
    text = text.replace("default = { value = 485", "default = { value = 610")
    copy.add("parameters/pests/felt-bug.toml", text)


@pytest.mark.parametrize("version", VERSIONS)
def test_a_zone_a_form_and_a_pest_are_data_and_an_older_logbook_takes_them(
    grown: Copy, tmp_path: Path, version: int, capsys: pytest.CaptureFixture[str]
) -> None:
    path = write_version(tmp_path / "logbook.db", version)
    both = ("--pest", "felt-bug", "--pest", "mealybug", *ON)
    new = ("--form", "pitcher", "--place", "stair foot", "--arrived", "2026-05-05")
    found = ("--seconds", "30", "--removed", "1", *ON)
    *_, on_older, today, pitcher, ewer, page = grown.asked(
        ("add", "T01", "--name", "Pitcher", *new, *both),
        ("add", "T02", "--name", "Ewer", *new, "--pest", "mealybug", *ON),
        ("add", "G02", "--change", *both),
        ("look", "T01", "cups", *found, "--pest", "felt-bug"),
        ("look", "T02", "cups", *found),
        ("look", "G02", "axils", *found, "--pest", "felt-bug", "--json"),
        ("today", "--minutes", "60", "--on", "2026-05-07", "--json"),
        ("plant", "T01", *ON, "--json"),
        ("plant", "T02", *ON, "--json"),
        ("plant", "T01", *ON),
        path=path,
    )
    plan = json.loads(today)["plan"]
    assert {"cups", "axils"} < {zone["zone"] for plant in plan for zone in plant["zones"]}
    of_scale, of_bug, older = (json.loads(said) for said in (pitcher, ewer, on_older))
    assert [look["zone"] for look in of_scale["looks"]] == ["cups"]
    assert {zone["zone"]: zone["weight"] for zone in of_scale["zones"]}["cups"] > 0
    assert of_scale["plant"]["pest"] == older["plant"]["pest"] == "felt-bug"
    assert older["plant"]["pests"] == ["felt-bug", "mealybug"]
    needs = [said["plant"]["release"]["criteria"][1]["need"] for said in (of_scale, of_bug)]
    assert needs == [610, 485]
    assert of_scale["plant"]["chance_clean"] != of_bug["plant"]["chance_clean"]
    assert "cups" in page
    # a program that knows less says so, and changes nothing
    before = path.read_bytes()
    assert main(["today", "--db", str(path)]) == 4
    assert "'cups'" in capsys.readouterr().err
    assert path.read_bytes() == before


def without_a_life(copy: Copy) -> None:
    copy.edit("parameters/pests/mealybug.toml", "[generation]", "[degeneration]")


def laying_nothing(copy: Copy) -> None:
    copy.edit("parameters/pests/mealybug.toml", "[stages.A]", "[stages.L4]")


def usual_but_unknown(copy: Copy) -> None:
    copy.edit("parameters/pests.toml", '"mealybug"', '"lamp-moth"')


def zone_without_weight(copy: Copy) -> None:
    copy.add("parameters/forms.toml", PITCHER)


LACKS = {
    "pest-without-biology": (without_a_life, "mealybug"),
    "pest-stages": (laying_nothing, "L4"),
    "pest-without-file": (usual_but_unknown, "lamp-moth"),
    "zone-without-weight": (zone_without_weight, "cups"),
}


@pytest.mark.parametrize("code", LACKS)
def test_what_lacks_a_value_is_told_when_the_files_are_read(
    copy: Copy, tmp_path: Path, code: str
) -> None:
    take_away, named = LACKS[code]
    take_away(copy)
    path = tmp_path / "logbook.db"
    done = copy.run(sys.executable, "-m", "rounds", "today", "--json", "--db", str(path))
    assert done.returncode == 1
    error = json.loads(done.stdout)["error"]
    assert error["code"] == code
    assert named in error["message"]
    assert "Traceback" not in done.stderr
    assert not path.exists()


SEEN_LATELY = """

def _seen_lately(
    history: QuarantineHistory, anchor: date, on: date, rules: QuarantineRules
) -> Criterion:
    seen = [looked.day for looked in up_to(history.days, on) if looked.complete]
    have = (on - max([anchor, *seen])).days
    met = have <= rules.seen_within_days
    return Criterion("seen_lately", met, have, rules.seen_within_days, "day")
"""


def test_a_criterion_is_a_value_a_sum_and_its_words(copy: Copy, tmp_path: Path) -> None:
    path = write_version(tmp_path / "logbook.db", VERSIONS[-1])
    asked = ("plant", "G07", "--on", "2026-05-04")
    assert main([*asked, "--json", "--db", str(path)]) == 0, "what is kept knows nothing of it"
    value = 'seen_within = { value = 0, unit = "day", low = 0, high = 9, tag = "x", source = "x" }'
    copy.edit("parameters/quarantine.toml", "gap_days =", f"{value}\ngap_days =")
    field = "    gap_days: int\n"
    copy.edit("core/parameters.py", field, f"{field}    seen_within_days: int\n")
    read = '        gap_days=row["gap_days"]["value"],\n'
    more = '        seen_within_days=row["seen_within"]["value"],\n'
    copy.edit("service/logbook/pest_files.py", read, read + more)
    judged = "        _chance_clean(history, rules),\n"
    more = "        _seen_lately(history, anchor, on, rules),\n"
    copy.edit("core/quarantine/criteria.py", judged, judged + more)
    copy.add("core/quarantine/criteria.py", SEEN_LATELY)
    copy.edit("words/en/quarantine.toml", "[criteria]", '[criteria]\nseen_lately = "seen lately"')
    copy.edit("words/en/quarantine.toml", "[short]", '[short]\nseen_lately = "seen"')
    found, lines = copy.asked((*asked, "--json"), asked, path=path)
    release = json.loads(found)["plant"]["release"]
    *_, before, new = release["criteria"]
    assert (before["code"], new["code"]) == ("chance_clean", "seen_lately")
    assert (new["met"], new["need"], new["unit"]) == (False, 0, "day")
    assert new["expected_on"] == "2026-05-06", "a look every other day, as before"
    assert "seen_lately" in release["waiting_for"]
    assert "seen lately" in lines


BOUND = '''"""The greatest share that may be infested where none of those looked at was.

Hanley & Lippman-Hand 1983, JAMA 249:1743-1745 (exact form of the rule of three).
"""


def upper_bound(looked_at: int) -> float:
    """1 - .05 ** (1 / n)."""
    return 1 - 0.05 ** (1 / looked_at)
'''
CALCULATED = '''"""The greatest share that may be infested where none of those looked at was."""

from rounds import words
from rounds.core.estimates.upper_bound import upper_bound
from rounds.service.calculate.calculated import Calculated, check_above


def bound(looked_at: int) -> Calculated:
    """BadInput for no units."""
    check_above("periods", looked_at, 1e6)
    result = {"high": upper_bound(looked_at)}
    source = words.section("sums.source")["upper-bound"]
    return Calculated(
        "upper-bound", "exact", {"looked_at": looked_at}, result, None, (), source
    )
'''
COMMAND = '''

@calc.command("upper-bound", help=words.section("sums.about")["upper-bound"])
@helped
@sum_option("--looked-at", metavar="N", type=COUNT, required=True)
@calculating(lines_of.upper_bound)
def bound_command(looked_at: int) -> Calculated:
    """The greatest share."""
    return bound(looked_at)
'''
LINES = '''

def upper_bound(found: Calculated) -> Iterator[str]:
    """The greatest share."""
    yield words.section("sums.said")["upper-bound"].format(share=_hundred(found.result["high"]))
'''


def test_a_calculator_is_a_formula_what_it_is_asked_by_and_its_words(copy: Copy) -> None:
    copy.add("core/estimates/upper_bound.py", BOUND)
    copy.add("service/calculate/upper_bound.py", CALCULATED)
    copy.add("cli/calc.py", COMMAND)
    copy.add("service/calculate/said.py", LINES)
    imported = "from rounds.service.calculate.removal import removal\n"
    ours = "from rounds.service.calculate.upper_bound import bound\n"
    copy.edit("cli/calc.py", imported, imported + ours)
    sentences = {
        "about": "The greatest share.", "options": "How many.", "said": "{share} in 100 at most",
        "source": "Hanley & Lippman-Hand 1983",
    }  # fmt: skip
    for part, sentence in sentences.items():
        name = "looked-at" if part == "options" else "upper-bound"
        copy.edit("words/en/sums.toml", f"[{part}]\n", f'[{part}]\n{name} = "{sentence}"\n')
    call = ("calc", "upper-bound", "--looked-at", "20")
    found, lines, about = copy.asked((*call, "--json"), call, ("calc", "--help"))
    # Hanley & Lippman-Hand 1983: none in 20 is at most some 15 in 100; recomputed
    assert json.loads(found)["result"]["high"] == pytest.approx(0.139108, abs=5e-7)
    assert "13.9 in 100 at most" in lines
    assert "upper-bound" in about


LIST, FORM = re.findall(r"```python\n(.*?)```", DEVELOPERS, re.DOTALL)
"""The list and the form that DEVELOPERS.md shows."""

JOURNEY = """
import asyncio, sys
from pathlib import Path
from rounds.tui.app import RoundsApp

def shown(app):
    strips = app.screen._compositor.render_strips(app.size)
    return "\\n".join(strip.text.rstrip() for strip in strips)

async def journey(path, until, keys):
    app = RoundsApp(Path(path), "Keeper")
    async with app.run_test(size=(120, 40)) as pilot:
        while until not in shown(app):
            await pilot.pause()
        for key in keys:
            await pilot.press(key)
        await pilot.pause()
        print(shown(app))

asyncio.run(journey(sys.argv[1], sys.argv[2], sys.argv[3:]))
"""
"""Presses keys once the first screen is there; prints what is seen then."""

DESK = "tui/screens/desk.py"
FIRST = "LINES: tuple[tuple[str, Opener], ...] = (\n"
WORDS = 'title = "all the places"\nhere = "here: {name}"\n'


@pytest.mark.parametrize("version", ENDS)
def test_a_list_is_a_screen_its_words_and_a_line_at_the_desk(
    copy: Copy, tmp_path: Path, version: int
) -> None:
    copy.add("tui/screens/places.py", LIST)
    after = "from rounds.tui.screens.settings import SettingsScreen\n"
    copy.edit(DESK, after, f"from rounds.tui.screens.places import PlacesScreen\n{after}")
    copy.edit(DESK, FIRST, f'{FIRST}    ("places", PlacesScreen),\n')
    copy.add("words/en/places.toml", WORDS)
    path = str(write_version(tmp_path / "logbook.db", version))
    keys = ("0", "enter", "1", "enter", "2", "enter")
    reached = copy.run(sys.executable, "-c", JOURNEY, path, " leave", *keys)
    assert reached.returncode == 0, reached.stderr
    assert "all the places" in reached.stdout
    assert "here: " in reached.stdout
    assert re.search(r"^ +> +2 +\w", reached.stdout, re.MULTILINE), reached.stdout
    # its help and its place on the page of keys need nothing more
    helped = copy.run(sys.executable, "-c", JOURNEY, path, " leave", *keys[:4], "h")
    assert "all the places" in helped.stdout, helped.stderr
    assert "opens the marked line" in helped.stdout
    page = copy.run(sys.executable, "-m", "rounds.tui.keys_page")
    assert "## all the places" in page.stdout, page.stderr


FORM_WORDS = """
title = "minutes for a round"
label = "minutes"
hint = "as many as there usually are"
asks = "{minutes} minutes a round"
said = "kept: {minutes} minutes"
"""


@pytest.mark.parametrize("version", ENDS)
def test_a_form_is_what_is_typed_its_words_and_a_line_at_the_desk(
    copy: Copy, tmp_path: Path, version: int
) -> None:
    copy.add("tui/forms/usual_minutes.py", FORM)
    after = "from rounds.tui.forms.temperatures import temperatures_form\n"
    ours = "from rounds.tui.forms.usual_minutes import usual_minutes_form\n"
    copy.edit(DESK, after, f"{after}{ours}")
    copy.edit(DESK, FIRST, f'{FIRST}    ("usual_minutes", usual_minutes_form),\n')
    copy.add("words/en/usual_minutes.toml", FORM_WORDS)
    path = str(write_version(tmp_path / "logbook.db", version))
    keys = ("0", "enter", "1", "enter")
    opened = copy.run(sys.executable, "-c", JOURNEY, path, " leave", *keys, "x", "enter")
    assert opened.returncode == 0, opened.stderr
    assert "minutes for a round" in opened.stdout
    # what cannot be taken stays in its line, and is said
    assert "'x' is not a number" in opened.stdout
    kept = copy.run(sys.executable, "-c", JOURNEY, path, " leave", *keys, *"12", "enter", "y")
    assert "kept: 12 minutes" in kept.stdout, kept.stderr
    again = copy.run(sys.executable, "-c", JOURNEY, path, " leave", *keys)
    assert re.search(r"> minutes +12", again.stdout), again.stdout

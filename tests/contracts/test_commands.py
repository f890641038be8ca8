"""The page on the commands is held to by the program: commands, options, keys, files, codes."""

import json
import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import click
import pytest

from rounds import words
from rounds.cli.failure import Interrupted, ProgramFault
from rounds.cli.main import GROUPS, command_of, main
from rounds.core.inference import holding
from rounds.core.log.entries import Sign
from rounds.errors import BadInput, LogbookUnusable, Refused
from rounds.service.collection.repot import repot
from rounds.service.entries.walked import PutOff
from rounds.service.exchange.csv_file import ALLOWED, NEEDED
from rounds.service.inference import why
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import read_entry_name
from rounds.service.logbook.moment import local_noon
from rounds.service.logbook.parameters import load_parameters
from rounds.store import log
from rounds.store.signs import append_sign

PAGE = (Path(__file__).parents[2] / "docs" / "commands.md").read_text(encoding="utf-8")


def commands() -> Iterator[tuple[str, click.Command]]:
    """Every command that does something, by all words of its name."""
    for name in (name for modules in GROUPS.values() for name in modules):
        found = command_of(name)
        if isinstance(found, click.Group):
            yield from ((f"{name} {part}", below) for part, below in found.commands.items())
        else:
            yield name, found


COMMANDS = dict(commands())
HEAD = ("format", "version", "on")
ONLY_WHERE_WRITTEN = {"--at", "--who", "--key"}
EVERYWHERE = {"--db", "--json", "--on", "--help"}

Shape = dict[str, Any] | list[Any] | str | None
"""Keys with their shapes, a list of one shape, the name of a shape, or a plain value."""

TOKEN = re.compile(r'\s*([A-Za-z_]\w*|"[^"]*"|[{}\[\]:,|])')


class Reader:
    """Reads `name: {a, b: [c]}, other` as the page writes it."""

    def __init__(self, text: str) -> None:
        self.tokens = TOKEN.findall(text)
        assert "".join(self.tokens) == re.sub(r"\s(?=(?:[^\"]*\"[^\"]*\")*[^\"]*$)", "", text)

    def keys(self) -> dict[str, Shape]:
        """Keys up to a closing brace or the end."""
        found: dict[str, Shape] = {}
        while self.tokens and self.tokens[0] != "}":
            name = self.tokens.pop(0)
            found[name] = self.shape() if self._next_is(":") else None
            self._next_is(",")
        return found

    def shape(self) -> Shape:
        """What stands after a colon, or within a list."""
        if self._next_is("{"):
            keys = self.keys()
            assert self.tokens.pop(0) == "}"
            return keys
        if self._next_is("["):
            inner = self.shape()
            assert self.tokens.pop(0) == "]"
            return [inner]
        name = self.tokens.pop(0)
        while self._next_is("|"):
            self.tokens.pop(0)
            name = ""
        return "plant_status" if name == "plant_status" else None

    def _next_is(self, token: str) -> bool:
        if self.tokens[:1] == [token]:
            self.tokens.pop(0)
            return True
        return False


def tables(heading: str) -> Iterator[list[str]]:
    """Rows of the tables whose first column is headed so, without the bars."""
    inside = False
    for line in PAGE.splitlines():
        cells = [cell.strip() for cell in re.split(r"(?<!\\)\|", line)[1:-1]]
        if not cells:
            inside = False
        elif cells[0] == heading:
            inside = True
        elif inside and set(cells[0]) != {"-"}:
            yield cells


def spans(cell: str) -> list[str]:
    return [text.replace("\\|", "|") for text in re.findall(r"`([^`]*)`", cell)]


@dataclass(frozen=True)
class Documented:
    """A command as the page has it."""

    name: str
    calls: tuple[str, ...]
    keys: dict[str, Shape]

    @property
    def options(self) -> set[str]:
        return {name for text in self.calls for name in re.findall(r"--[a-z-]+", text)}


def documented() -> Iterator[Documented]:
    for calls, keys, _ in tables("command"):
        texts = spans(calls)
        named = " ".join(texts[0].split()[:2])
        name = named if named in COMMANDS else named.split()[0]
        yield Documented(name, tuple(texts), Reader(*spans(keys)).keys())


DOCUMENTED = {found.name: found for found in documented()}
PLANT_STATUS = Reader(
    re.search(r"`plant_status`:\n\n```\n\{(.*?)\}\n```", PAGE, re.DOTALL)[1]  # type: ignore[index]
).keys()
ERROR = Reader(re.search(r"\{format, version, on, (error: .*)\}\n", PAGE)[1]).keys()  # type: ignore[index]


def names_of(command: click.Command) -> set[str]:
    options = [param for param in command.params if isinstance(param, click.Option)]
    return {name for option in options for name in (*option.opts, *option.secondary_opts)}


def test_the_page_was_read() -> None:
    assert len(DOCUMENTED) >= 14
    assert list(PLANT_STATUS)[:2] == ["code", "name"]
    assert PLANT_STATUS["release"]["criteria"][0]["met"] is None  # type: ignore[index, call-overload]
    assert list(ERROR["error"]) == ["code", "message", "what_to_do", "places"]  # type: ignore[arg-type]


def test_the_page_and_the_program_have_the_same_commands() -> None:
    assert set(DOCUMENTED) == set(COMMANDS)


@pytest.mark.parametrize("name", DOCUMENTED)
def test_a_command_takes_the_options_of_the_page_and_no_others(name: str) -> None:
    has = names_of(COMMANDS[name])
    assert has >= EVERYWHERE
    assert has - EVERYWHERE - ONLY_WHERE_WRITTEN == DOCUMENTED[name].options
    writes = "already_known" in DOCUMENTED[name].keys
    assert has & ONLY_WHERE_WRITTEN == (ONLY_WHERE_WRITTEN if writes else set())


@pytest.mark.parametrize("name", DOCUMENTED)
def test_a_command_takes_the_arguments_of_the_page(name: str) -> None:
    arguments = [p for p in COMMANDS[name].params if isinstance(p, click.Argument)]
    plain = [
        re.sub(r"\[?--.*", "", text.removeprefix(name)).split() for text in DOCUMENTED[name].calls
    ]
    assert len(arguments) == len({word.strip("[].") for word in max(plain, key=len)})


def test_options_everywhere_are_those_of_the_page() -> None:
    given = {spans(cells[0])[0].split()[0] for cells in tables("option")}
    assert given == EVERYWHERE - {"--help"} | ONLY_WHERE_WRITTEN


def test_every_exit_status_is_on_the_page() -> None:
    listed = [cells[0] for cells in tables("exit status")]
    faults = (ProgramFault, BadInput, Refused, LogbookUnusable)
    assert listed == ["0", *(str(fault.exit_status) for fault in faults), "128+n"]
    assert Interrupted.exit_status == 128 + 2


Ask = Callable[..., Any]

FILLED_ELSEWHERE = {("rounds.season", key) for key in ("value_ids", "learned", "sources")}
"""Lists that take a season of finds: compared in tests/cli/test_season.py."""

SUMS = (
    ("dilution", "--stock", "70", "--target", "20", "--volume-ml", "100"),
    ("removal", "8", "3", "1"),
    ("freedom", "--sensitivity", ".8", "--introduction", ".01", "--prior", ".5", "--periods", "2"),
    ("sample-size", "--units", "40", "--prevalence", ".1", "--confidence", ".95"),
    ("clean-visits", "--detection", ".5", "--prior", ".5", "--target", ".05"),
    ("degree-days", "--min", "14", "--max", "24", "--lower", "8"),
    ("effort", "--value", "2", "1", "--rate", "1", "1", "--total", "3"),
    ("alarm", "--mean", "1", "--reference", "1.8", "--limit", "5"),
    ("efficacy", "--before-treated", "9", "--after-treated", "1", "--before-control", "9",
     "--after-control", "10"),
)  # fmt: skip
"""A call of every sum."""


@pytest.fixture
def ask(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Ask:
    """Status and object of a call on a logbook of the test."""

    def run(*argv: str) -> tuple[int, Any]:
        capsys.readouterr()
        status = main([*argv, "--db", str(tmp_path / "logbook.db"), "--json"])
        return status, json.loads(capsys.readouterr().out)

    return run


def beside_commands(path: Path, look: str) -> None:
    """What only the screens enter: a sign at a look of G07, that it was put off and repotted."""
    name = read_entry_name(look)
    with Logbook(path) as logbook, logbook.file.writing():
        repot(logbook, local_noon(date(2026, 5, 4)), "G07", repotted=True, roots=None)
        sign = Sign(logbook.file.next_id(), name.day, name.owner_id, name.entry_id, 0, "ants")
        append_sign(logbook.file, sign)
        looks = log.entries_of(logbook.file, name.owner_id, name.day, name.day).looks
        reason = PutOff("tomorrow", "no-time").reason
        off = replace(looks[-1], id=logbook.file.next_id(), outcome="partial", reason=reason)
        log.append_look(logbook.file, off)


def after_a_find(call: Callable[..., Any]) -> None:
    """A find on a porch: a neighbour, the spot it leaves, what is put there; and a delivery."""
    call("place", "porch", "--usual-c", "19", day="2026-04-20")
    for code in ("E01", "E03"):
        call("add", code, "--name", "Stay", "--place", "porch", "--already-here", day="2026-04-20")
    call("look", "E01", "axils", "--seconds", "30", "--removed", "1", day="2026-05-01")
    call("move", "E01", "stair foot", day="2026-05-02")
    call("exposure", "E01", "--watch")
    call("cleaned", "porch")
    call("add", "E02", "--name", "Sheet", "--place", "porch")
    call("move", "E03", "porch", "--spot", "2")
    call("arrive", "--units", "2", "--source", "the ferry", "--opened", "1")
    call("agenda")


@pytest.fixture
def season(ask: Ask, tmp_path: Path) -> dict[str, Any]:
    """One object of every command, from an invented stair foot."""
    said: dict[str, Any] = {}

    def call(*argv: str, day: str = "2026-05-03") -> Any:
        status, found = ask(*argv, "--on", day)
        assert status == 0, found
        both = " ".join(argv[:2])
        said[both if both in COMMANDS else argv[0]] = found
        return found

    file = tmp_path / "looks.csv"
    file.write_text("plant,zone,at,seconds\nG07,axils,2026-05-02,30\n")
    call("place", "stair foot", "--apart", "--usual-c", "19", "--room", "hall")
    call("add", "S09", "--name", "Marline", "--place", "stair foot", day="2026-04-20")
    call("add", "G07", "--name", "Lanyard", "--place", "stair foot", day="2026-05-01")
    moved = call("move", "G07", "stair foot", "--spot", "3")
    call("weather", "stair foot", "2026-05-01", "--min", "14", "--max", "20")
    call("import", str(file))
    after_a_find(call)
    call("look", "S09", "axils", "--seconds", "30", "--removed", "1", "--on", "2026-05-02")
    kept = call("look", "G07", "axils", "--seconds", "30", "--left", "1", "--doubtful", "1")
    call("settle", kept["tally_ids"][1], "alive")
    call("look", "G07", "medium", "--seconds", "9", "--doubtful", "1")
    call("withdraw", moved["move_id"])
    call("today", "--minutes", "0.6")
    call("sheet", "--minutes", "2")
    call("away", "2026-05-04", "2026-05-20")
    call("parameters", "--set", "infestation.arrivals.apart", "0.001", "--why", "gnats")
    call("season")
    call("today", "--minutes", "0.6")
    call("rank")
    call("chart", "G07")
    call("what-if", "G07", "--looks-a-week", "3")
    call(
        "treat",
        "G07",
        "labelled-product",
        "--product",
        "Leaf Rinse",
        "--interval-days",
        "7",
        "--most-uses",
        "3",
        "--reentry-hours",
        "4",
        "--done",
    )
    call("courses")
    call("backup")
    call("restore")
    shutil.rmtree(tmp_path / "backups")
    # there is none any more, which it finds
    call("check")
    call("release", "G07", "--early", "invented")
    call("divide", "G07", "--into", "2", day="2026-05-04")
    call("gone", "S09", "discarded")
    beside_commands(tmp_path / "logbook.db", kept["look_ids"][0])
    call("plant", "G07", day="2026-05-04")
    said["plant"]["plant"]["release"] = said["rank"]["plants"][0]["release"]
    said["plant"]["divided_from"] = ask("plant", "G08", "--on", "2026-05-04")[1]["divided_from"]
    said["plant"]["gone"] = ask("plant", "S09", "--on", "2026-05-03")[1]["gone"]
    assert said["plant"]["divided_from"]["code"] == "G07"
    assert said["plant"]["gone"]["how"] == "discarded"
    for argv in SUMS:
        call("calc", *argv)
    call("demo", "--at-path", str(tmp_path / "demo.db"))
    return said


def fits(found: Any, shape: Shape, where: str) -> None:
    """Keys, and their order, are those of the page; any object may be null."""
    if found is None or shape is None:
        assert not isinstance(found, dict | list), where
    elif shape == "plant_status":
        fits(found, PLANT_STATUS, where)
    elif isinstance(shape, list):
        assert isinstance(found, list), where
        for row in found:
            fits(row, shape[0], f"{where}[]")
    else:
        assert isinstance(shape, dict)
        assert list(found) == list(shape), where
        for key, value in found.items():
            fits(value, shape[key], f"{where}.{key}")


def test_every_object_has_the_keys_of_the_page(season: dict[str, Any]) -> None:
    assert set(season) == set(DOCUMENTED)
    for name, found in season.items():
        assert tuple(found)[:3] == HEAD
        assert (found["format"], found["version"]) == (f"rounds.{name.split()[0]}", 1)
        fits({key: found[key] for key in list(found)[3:]}, DOCUMENTED[name].keys, name)


def test_no_list_of_the_page_was_left_empty_by_the_season(season: dict[str, Any]) -> None:
    """So that the keys of every row were compared; sums share one format."""
    lists = [
        (found["format"], key, bool(value))
        for found in season.values()
        for key, value in found.items()
        if isinstance(value, list)
    ]
    filled = {(name, key) for name, key, has_rows in lists if has_rows}
    assert {(name, key) for name, key, _ in lists} - filled == FILLED_ELSEWHERE
    assert season["rank"]["plants"][0]["release"]["criteria"]
    assert any(look["tallies"] for look in season["plant"]["looks"])


def test_the_codes_of_why_a_figure_is_so_are_those_of_the_page() -> None:
    told = {name: bullet_codes(name) for name in ("holds_down", "sooner")}
    assert told["holds_down"] == {
        holding.ROOTS_UNSEEN, holding.SHORT_LOOKS, holding.FEW_LOOKS, holding.LAST_FIND,
        holding.NEIGHBOUR, holding.ARRIVALS, holding.START,
    }  # fmt: skip
    assert told["sooner"] == {
        why.ROOTS, why.LONGER_LOOKS, why.DAILY_LOOKS, why.MOVE_AWAY, why.QUARANTINE_NEIGHBOUR,
    }  # fmt: skip


def bullet_codes(name: str) -> set[str]:
    """The codes listed after "Codes:" in the point that speaks of a key of a plant."""
    point = PAGE.split(f"\n- `{name}` says")[1].split("\n- ")[0]
    return set(spans(point.split("Codes:")[1])) - {"docs/method.md"}


def test_a_plant_and_its_release_say_why_and_a_list_does_not_work_it_out(ask: Ask) -> None:
    looks = [("look", "S03", "--whole-plant", "--seconds", "60")] * 3
    days = ("2026-04-13", "2026-04-13", "2026-04-13", "2026-04-20", "2026-04-27", "2026-05-04")
    for argv, day in zip((
        ("place", "stair", "--apart", "--usual-c", "27"),
        ("add", "S03", "--name", "Pintle", "--place", "stair", "--size", "small"),
        ("look", "S03", "axils", "--seconds", "40", "--removed", "2"),
        *looks,
    ), days, strict=True):  # fmt: skip
        assert ask(*argv, "--on", day)[0] == 0
    assert ask("rank", "--on", "2026-05-04")[1]["plants"][0]["holds_down"] is None
    found = ask("plant", "S03", "--on", "2026-05-04")[1]["plant"]
    assert {row["code"] for row in found["holds_down"]} >= {"last-find", "roots-unseen"}
    assert found["holds_down"] == sorted(found["holds_down"], key=lambda row: -row["points"])
    assert {row["code"] for row in found["sooner"]} >= {"daily-looks"}
    fits(found, PLANT_STATUS, "plant")
    assert ask("rank", "--on", "2026-05-04")[1]["plants"][0]["holds_down"] == found["holds_down"]
    status, refused = ask("release", "S03", "--on", "2026-05-04")
    assert status == 3
    assert refused["plant"]["sooner"] == found["sooner"]


def test_a_failure_has_the_keys_of_the_page(ask: Ask) -> None:
    status, found = ask("plant", "G99")
    assert status == 2
    assert tuple(found)[:3] == HEAD
    fits({"error": found["error"]}, ERROR, "error")
    assert found["error"]["places"]


def test_a_refused_release_carries_the_error_beside_its_own_keys(
    ask: Ask, season: dict[str, Any]
) -> None:
    status, found = ask("release", "G07", "--on", "2026-05-04")
    assert status == 3
    fits(
        {key: found[key] for key in list(found)[3:]},
        {**DOCUMENTED["release"].keys, **ERROR},
        "release",
    )


def test_files_have_the_columns_of_the_page() -> None:
    listed = {cells[0]: cells[1:] for cells in tables("kind")}
    assert set(listed) == set(NEEDED) == set(ALLOWED)
    for kind, (needed, further) in listed.items():
        columns = [text.split(", ") for text in spans(needed) + spans(further)]
        assert tuple(columns[0]) == NEEDED[kind]
        assert [name for names in columns for name in names] == list(ALLOWED[kind])


def test_forms_and_zones_are_those_of_the_page() -> None:
    parameters = load_parameters()
    rooted = {"stem-base", "pot-rim", "medium", "roots"}
    listed = {
        form: set(zones.split(", ")) | rooted
        for forms, zones in tables("form")
        for form in forms.split(", ")
    }
    has = {form: {share.zone for share in shares} for form, shares in parameters.forms.items()}
    assert listed == has
    zones = re.search(r"Zones: `([^`]*)`", PAGE)
    assert zones is not None
    assert sorted(re.split(r",\s+", zones[1])) == sorted({z for form in has.values() for z in form})
    assert f"`{parameters.default_pest}` (of unknown kind) is the default" in PAGE


def test_the_codes_of_a_plan_are_those_of_the_page(season: dict[str, Any]) -> None:
    listed = re.split(r"[,\s]+", " ".join(spans(PAGE[PAGE.rindex("in `today`: ") :])))
    codes = set(filter(None, listed)) - {"of", "today", ":"}
    kinds = {code for code in words.section("today.due") if not code.startswith("one-")}
    # the day a standing begins, and one day, have sentences of their own and the same code
    reasons = {
        re.sub(r"^(standing-.*)-today$|-one-day$", r"\1", code)
        for code in words.section("today.reasons")
    }
    assert codes >= reasons | kinds
    plan = season["today"]
    used = {reason["code"] for planned in plan["plan"] for reason in planned["reasons"]}
    used |= {row["reason"]["code"] for row in plan["left_out"]}
    used |= {row["kind"] for row in plan["due"]}
    assert used
    assert used <= codes

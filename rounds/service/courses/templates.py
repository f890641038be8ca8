"""The courses there are: those of the program, and those in a grower's own folder.

A file of the grower's own is named like one of the program's to take its place, or otherwise to
stand beside it.
"""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from rounds import words
from rounds.core.log.courses import PRODUCT, RINSE, SPRAY
from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.named import unknown
from rounds.service.logbook.parameters import FOLDER, known_pests

OWN_FOLDER = "courses"
"""beside the logbook file"""

KINDS = (
    "lift", SPRAY, RINSE, "root-clean-out", "peroxide", "take-out", "wet-and-look", "pot-up",
    PRODUCT,
)  # fmt: skip
"""Kinds of steps, each with its words, its cautions and what it kills."""

FolderState = tuple[tuple[str, int, int], ...]
"""Of each file its name, when it was written, and its length."""

MOST_TIMES, MOST_DAYS = 40, 120
"""Limits of a step: what is more is a slip of the hand."""


@dataclass(frozen=True, slots=True)
class StepTemplate:
    """A step that is done once, or several times."""

    kind: str
    wait_days: int = 0
    """between the step before it and the first time"""
    every_days: int = 1
    times: int = 1
    hatched: int | None = None
    """so many times come after every egg laid by the first time has hatched"""


@dataclass(frozen=True, slots=True)
class TemplateValue:
    """A value of the file of a course, with what is known of it; a grower's own may say less."""

    name: str
    """of its step and key, such as spray.every"""
    value: int | tuple[str, ...]
    unit: str | None
    tag: str | None
    source: str | None


@dataclass(frozen=True, slots=True)
class Template:
    """A course that can be begun."""

    code: str
    name: str
    steps: tuple[StepTemplate, ...]
    forms: tuple[str, ...] | None = None
    """the growth forms that stand it; None for all"""
    pests: tuple[str, ...] | None = None
    """those it is usual against, where a grower's own file names them"""
    needs_label: bool = False
    """the facts of a label are typed in"""
    is_own: bool = False
    is_shipped_too: bool = False
    """it is one of the program's, or stands in the place of one"""
    path: Path = Path()
    values: tuple[TemplateValue, ...] = ()

    @property
    def kinds(self) -> frozenset[str]:
        """The kinds of its steps."""
        return frozenset(step.kind for step in self.steps)


def templates(logbook: Logbook) -> dict[str, Template]:
    """Every course by code, the program's own first; files that are none are left out."""
    return _known(logbook)[0]


def _known(logbook: Logbook) -> tuple[dict[str, Template], tuple[BadInput, ...]]:
    own = own_folder(logbook)
    return _read(own, _state_of(own))


def check_templates(logbook: Logbook) -> None:
    """BadInput for the first of the grower's own files that is no course."""
    for fault in _known(logbook)[1]:
        raise fault


def find_template(logbook: Logbook, code: str, field: str = "course") -> Template:
    """The course of a code, compared without case. BadInput, naming the nearest, for none."""
    known = templates(logbook)
    folded = code.strip().casefold()
    found = next((t for t in known.values() if t.code.casefold() == folded), None)
    if found is None:
        check_templates(logbook)
        raise unknown("course", code, known, field)
    return found


def course_name(logbook: Logbook, code: str) -> str:
    """What a course is called; its code where its file is gone."""
    known = templates(logbook).get(code)
    return known.name if known else code


def own_folder(logbook: Logbook) -> Path:
    """Where the grower's own files lie, if there are any."""
    return logbook.file.path.parent / OWN_FOLDER


def copy_template(logbook: Logbook, code: str) -> Path:
    """Copy the file of a course into the grower's own folder. BadInput where one lies there."""
    found = find_template(logbook, code)
    target = own_folder(logbook) / f"{found.code}.toml"
    if target.exists():
        raise BadInput("course-copied", path=str(target), field="copy")
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(found.path.read_text(encoding="utf-8"), encoding="utf-8")
    return target


def _state_of(own: Path) -> FolderState:
    """What the files of a folder are told by to be others than before."""
    if not own.is_dir():
        return ()
    found = [(file.name, file.stat()) for file in sorted(own.glob("*.toml"))]
    return tuple((name, stat.st_mtime_ns, stat.st_size) for name, stat in found)


@lru_cache(maxsize=4)
def _read(own: Path, state: FolderState) -> tuple[dict[str, Template], tuple[BadInput, ...]]:
    shipped = sorted((FOLDER / "courses").glob("*.toml"))
    found, faults = {file.stem: _template(file, is_own=False) for file in shipped}, []
    for name, *_ in state:
        try:
            found[Path(name).stem] = _template(own / name, is_own=True)
        except BadInput as fault:
            faults.append(fault)
    return found, tuple(faults)


def _template(file: Path, *, is_own: bool) -> Template:
    try:
        table = tomllib.loads(file.read_text(encoding="utf-8"))
        forms, pests = _value(table, "forms", None), _value(table, "pests", None)
        return Template(
            code=file.stem,
            name=_name(file.stem, table),
            steps=tuple(_step(step) for step in table["steps"]),
            forms=None if forms is None else tuple(str(form) for form in forms),
            pests=None if pests is None else _pests(pests),
            needs_label=bool(_value(table, "label", False)),
            is_own=is_own,
            is_shipped_too=(FOLDER / "courses" / file.name).exists(),
            path=file,
            values=tuple(_values(table)),
        )
    except (OSError, KeyError, TypeError, ValueError, AttributeError) as fault:
        raise BadInput("course-file", file=str(file), fault=_told(fault)) from fault


def _pests(named: Any) -> tuple[str, ...]:
    """The pests a file names; ValueError for one that is not known."""
    known = known_pests()
    for pest in named:
        if pest not in known:
            raise ValueError(words.say("courses.no-pest", pest=pest, pests=", ".join(known)))
    return tuple(named)


def _values(table: Mapping[str, Any]) -> Iterator[TemplateValue]:
    yield from _values_of("", table)
    for step in table["steps"]:
        yield from _values_of(f"{step['kind']}.", step)


def _values_of(before: str, table: Mapping[str, Any]) -> Iterator[TemplateValue]:
    for key, entry in table.items():
        if isinstance(entry, dict):
            value = entry["value"]
            known = (entry.get(what) for what in ("unit", "tag", "source"))
            frozen = tuple(value) if isinstance(value, list) else value
            yield TemplateValue(f"{before}{key}", frozen, *known)


def _told(fault: Exception) -> str:
    return (
        words.say("courses.missing", key=fault.args[0])
        if isinstance(fault, KeyError)
        else str(fault)
    )


def _name(code: str, table: Mapping[str, Any]) -> str:
    own = table.get("name")
    return str(own) if own else words.section("courses.name").get(code, code)


def _step(table: Mapping[str, Any]) -> StepTemplate:
    kind = str(table["kind"])
    if kind not in KINDS:
        raise ValueError(words.say("courses.no-kind", kind=kind, kinds=", ".join(KINDS)))
    hatched = _value(table, "hatched", None)
    return StepTemplate(
        kind=kind,
        wait_days=_whole(table, "wait", 0, 0, MOST_DAYS),
        every_days=_whole(table, "every", 1, 1, MOST_DAYS),
        times=_whole(table, "times", 1, 1, MOST_TIMES),
        hatched=None if hatched is None else _whole(table, "hatched", 1, 1, MOST_TIMES),
    )


def _value(table: Mapping[str, Any], key: str, default: Any) -> Any:
    """A value, with what is known of it or without."""
    found = table.get(key, default)
    return found["value"] if isinstance(found, dict) else found


def _whole(table: Mapping[str, Any], key: str, default: int, least: int, most: int) -> int:
    found = _value(table, key, default)
    if isinstance(found, bool) or not isinstance(found, int) or not least <= found <= most:
        raise ValueError(words.say("courses.no-number", key=key, least=least, most=most))
    return found

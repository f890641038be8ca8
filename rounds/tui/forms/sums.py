"""Published sums as forms: what each is asked with, and the sum itself; nothing is saved."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from rounds import words
from rounds.service.calculate import said
from rounds.service.calculate.alarm import alarm
from rounds.service.calculate.calculated import Calculated
from rounds.service.calculate.degree_days import CUTOFFS, METHODS, degree_days
from rounds.service.calculate.efficacy import efficacy
from rounds.service.calculate.effort import effort
from rounds.service.calculate.freedom import SAMPLE_METHODS, clean_visits, freedom, sample_size
from rounds.service.calculate.removal import METHODS as REMOVAL_METHODS
from rounds.service.calculate.removal import removal
from rounds.service.logbook.book import Logbook
from rounds.tui.forms.fields import Again, Choice, Field, Form, Values
from rounds.tui.forms.values import number_of
from rounds.tui.forms.wording import fault, heading_day

Kind = Literal["number", "count", "numbers", "counts", "choice"]
Given = Mapping[str, Any]
"""What was typed, by field: numbers, lists of them, codes of choices; None where empty."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One field of a sum. `about` is the code of what is said of it, where that is another."""

    code: str
    kind: Kind
    about: str = ""
    default: str = ""
    may_be_empty: bool = False
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum: its fields, how it is calculated from them, and how its result is read."""

    asked: tuple[Asked, ...]
    calculate: Callable[[Given], Calculated]
    read: Callable[[Calculated], Iterator[str]]


def _method(codes: Sequence[str], code: str = "method", about: str = "") -> Asked:
    return Asked(code, "choice", about, codes[0], choices=tuple(codes))


def _number(code: str, about: str = "", default: str = "", *, may_be_empty: bool = False) -> Asked:
    return Asked(code, "number", about, default, may_be_empty)


SCALES = ("degC", "degF")

SUMS: Mapping[str, Sum] = {
    "removal": Sum(
        (Asked("catches", "counts"), _method(tuple(REMOVAL_METHODS))),
        lambda given: removal(given["catches"], given["method"]),
        said.removal,
    ),
    "clean-visits": Sum(
        (_number("detection"), _number("prior", "presence"), _number("target", "residual")),
        lambda given: clean_visits(given["detection"], given["prior"], given["target"]),
        said.clean_visits,
    ),
    "freedom": Sum(
        (
            _number("sensitivity"),
            _number("introduction"),
            _number("prior"),
            Asked("periods", "count"),
        ),
        lambda given: freedom(
            given["sensitivity"], given["introduction"], given["prior"], given["periods"]
        ),
        said.freedom,
    ),
    "sample-size": Sum(
        (
            Asked("units", "count", may_be_empty=True),
            _number("prevalence"),
            _number("confidence", default="0.95"),
            _number("sensitivity", default="1"),
            _method(SAMPLE_METHODS),
        ),
        lambda given: sample_size(
            given["units"], given["prevalence"], given["confidence"], given["sensitivity"],
            given["method"],
        ),
        said.sample_size,
    ),
    "degree-days": Sum(
        (
            _number("least", "min"),
            _number("greatest", "max"),
            _number("lower"),
            _number("upper", may_be_empty=True),
            _method(METHODS),
            _number("next_low", "next-min", may_be_empty=True),
            _method(CUTOFFS, "cutoff"),
            _method(SCALES, "scale"),
        ),
        lambda given: degree_days(
            given["least"], given["greatest"], given["next_low"], given["lower"], given["upper"],
            given["method"], given["cutoff"], fahrenheit=given["scale"] == SCALES[1],
        ),
        said.degree_days,
    ),
    "effort": Sum(
        (Asked("values", "numbers", "value"), Asked("rates", "numbers", "rate"), _number("total")),
        lambda given: effort(given["values"], given["rates"], given["total"]),
        said.effort,
    ),
    "alarm": Sum(
        (
            _number("mean", default="1"),
            _number("reference", default="1.8"),
            _number("limit", default="5"),
            _number("head_start", "head-start", default="0"),
        ),
        lambda given: alarm(
            given["mean"], given["reference"], given["limit"], given["head_start"]
        ),
        said.alarm,
    ),
    "efficacy": Sum(
        tuple(
            _number(code, code.replace("_", "-"))
            for code in ("before_treated", "after_treated", "before_control", "after_control")
        ),
        lambda given: efficacy(
            given["before_treated"], given["after_treated"], given["before_control"],
            given["after_control"],
        ),
        said.efficacy,
    ),
}  # fmt: skip
"""By name, as `rounds calc` has them; a dilution has a form of its own."""


def sum_form(
    logbook: Logbook, name: str, then: Callable[[Calculated], None], kept: Values | None = None
) -> Form:
    """The form of a sum.

    Args:
        logbook: for the day in the heading.
        name: of `SUMS`.
        then: told each result.
        kept: what the fields hold at first, where it is not the usual.
    """
    of, held = SUMS[name], kept or {}

    def write(values: Values) -> str:
        found = of.calculate({asked.code: _typed(asked, values[asked.code]) for asked in of.asked})
        then(found)
        return (found.no_estimate_reason or next(of.read(found))).removesuffix(".")

    return Form(
        title=words.section("sums.name")[name],
        plant=None,
        fields=tuple(_field(asked, held.get(asked.code, asked.default)) for asked in of.asked),
        write=write,
        sentence=None,
        day=heading_day(logbook),
        lead=words.section("sums.about")[name],
        again=Again(
            words.say("sums.page.another"), lambda values: sum_form(logbook, name, then, values)
        ),
    )


def answer_lines(name: str, found: Calculated) -> Iterator[tuple[str, bool]]:
    """All that is told of a result, a line each, and whether it is the result itself."""
    yield from ((line, True) for line in SUMS[name].read(found))
    if found.no_estimate_reason is not None:
        yield found.no_estimate_reason, True
    given = [
        words.say("sums.page.one-given", label=label_of(code), value=value)
        for code, value in _told_inputs(found)
    ]
    yield words.say("sums.page.given", given="; ".join(given)), False
    method = words.section("sums.method").get(found.method)
    if method is not None:
        yield words.say("sums.page.method", method=method), False
    yield from ((note.text, False) for note in found.warnings)
    yield words.say("sums.page.source", source=found.source), False


def _told_inputs(found: Calculated) -> Iterator[tuple[str, str]]:
    for code, value in found.inputs.items():
        if isinstance(value, list):
            yield code, " ".join(f"{each:g}" for each in value)
        elif value is not None:
            yield code, value if isinstance(value, str) else f"{value:g}"


def label_of(code: str) -> str:
    """What a field of a sum is called."""
    return words.section("sums.label")[code]


def _field(asked: Asked, value: str) -> Field:
    names = words.section("sums.method")
    choices = tuple(Choice(code, names.get(code, code)) for code in asked.choices)

    def check(given: str) -> str:
        _typed(asked, given)
        return given

    return Field(
        asked.code,
        label_of(asked.code),
        value,
        choices,
        words.section("sums.options")[asked.about or asked.code],
        None if choices else check,
        asked.may_be_empty,
    )


def _typed(asked: Asked, given: str) -> Any:
    """What was typed, as what it is. FieldFault where it is none."""
    if asked.kind == "choice":
        return given
    if not given and asked.may_be_empty:
        return None
    if not given:
        raise fault("needed", asked.code, label=label_of(asked.code))
    each = given.split() if asked.kind in ("numbers", "counts") else [given]
    read = _count if asked.kind in ("count", "counts") else number_of
    found = [read(text, asked.code) for text in each]
    return found if asked.kind in ("numbers", "counts") else found[0]


def _count(given: str, field: str) -> int:
    """A whole number from 0 up. FieldFault otherwise."""
    # figures of other scripts are digits too
    if not (given.isascii() and given.isdigit()):
        raise fault("no-count", field, given=given)
    return int(given)

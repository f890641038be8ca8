"""Each sentence stands once, every code that is asked for is there, and every one is asked for."""

import re
import tomllib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, get_args

import pytest

import rounds
from rounds import words
from rounds.cli.main import GROUPS
from rounds.core.collection import STOOD_NEAR, TOUCHED, Standing
from rounds.core.log.entries import Outcome, Verdict
from rounds.core.plan.claims import ClaimCode, Exposed
from rounds.core.quarantine import criteria
from rounds.service.arrival.verdict import VerdictCode
from rounds.service.collection.first_start import Start, Step
from rounds.service.collection.rejoin import Kind as Beside
from rounds.service.courses.templates import KINDS as STEP_KINDS
from rounds.service.entries.looks import KINDS, STAGES
from rounds.service.entries.walked import Until
from rounds.service.logbook.parameters import load_parameters
from rounds.service.plan.ranking import CHOICES, ORDERS
from rounds.service.plant.events import State
from rounds.service.round.reasons import SIGNS
from rounds.service.round.view import Stage
from rounds.tui.pages.help import LINES
from rounds.tui.screens.desk import LINES as DESK_LINES
from tests.contracts.word_codes import GAP, Program

HOUSE = Path(rounds.__file__).parent
FILES = {
    file.stem: tomllib.loads(file.read_text(encoding="utf-8"))
    for file in sorted((HOUSE / "words" / words.LANGUAGE).glob("*.toml"))
}


def sentences(found: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, str]]:
    """Code and text of everything under a table; a key with dots in it is no path."""
    for key, value in found.items():
        if isinstance(value, dict):
            yield from sentences(value, f"{before}{key}.")
        else:
            yield f"{before}{key.replace('.', '/')}", value


SAID = dict(sentences(FILES))
FORMS, PESTS = load_parameters().forms, load_parameters().pests
ZONES = {zone.zone for zones in FORMS.values() for zone in zones}
CRITERIA = (criteria.DAYS_APART, criteria.DEGREE_DAYS, criteria.CLEAN_LOOKS,
            criteria.MEDIUM_AND_ROOTS, criteria.COURSES, criteria.CHANCE_CLEAN)  # fmt: skip
TIMED = [code for code in CRITERIA if code not in (criteria.MEDIUM_AND_ROOTS, criteria.COURSES)]
HELD = ("roots-unseen", "short-looks", "few-looks", "few-looks-never", "few-looks-zones",
        "last-find", "last-find-today", "neighbour-here", "neighbour-quarantine",
        "neighbour-past", "neighbour-unnamed", "arrivals", "start", "start-unseen")  # fmt: skip
COMING = ("hatch", "hatch-most", "hatched", "away", "back", "release", "roots", "watch", *TIMED)
ASKED = {code: table["answers"] for code, table in FILES["round"]["ask"].items()
         if "answers" in table}  # fmt: skip
ERRORS = FILES["errors"]
HELP = FILES["screens"]["help"], FILES["screens"]["help-narrow"]
RECORDED = ("name", "botanical_name", "form", "size", "source", "arrived", "value", "dislikes",
            "pests", "touching", "note")  # fmt: skip
SETTLED = (*get_args(Verdict), "doubtful")

FORM_ANSWERS = ("write", "check", "back", "leave-typed", "again", "enough", "unwritten")
FILLED: Mapping[str, Iterable[str | tuple[str, str]]] = {
    "agenda.look-means.{}": get_args(ClaimCode),
    "agenda.look.{}": get_args(ClaimCode),
    "arrival.verdict.{}": get_args(VerdictCode),
    "away.why.{}": {*get_args(Standing), "found", "roots", "seen"} - {"collection", "gone"},
    "band.what.{}": FILES["band"]["what"],
    "bench.signs-seen.{}": SIGNS,
    "bench.signs-today.{}": SIGNS,
    "bench.signs.{}": SIGNS,
    "charts.done.{}": FILES["charts"]["done"],
    "charts.head.{}": FILES["charts"]["head"],
    "charts.sign.{}": FILES["charts"]["sign"],
    "cli.about.{}": [name for names in GROUPS.values() for name in names],
    "cli.options.{}": FILES["cli"]["options"],
    "cli.plant.outcomes.{}": get_args(Outcome),
    "courses.about.none.{}": FILES["courses"]["about"]["none"],
    "courses.about.of.{}": FILES["courses"]["about"]["of"],
    "courses.brief.{}": FILES["courses"]["brief"],
    "courses.brief-warning.{}": ("too-early", "too-many"),
    "courses.brief-mind.{}": FILES["courses"]["caution"],
    "courses.caution.{}": FILES["courses"]["caution"],
    "courses.history.{}": ("begun", "begun-once", "done", "stopped"),
    "courses.history.{}-short": ("begun", "done", "stopped"),
    "desk_forms.shelf.{}": ("place", "bench"),
    "courses.how.{}": STEP_KINDS,
    "courses.next.{}": FILES["courses"]["next"],
    "courses.step.{}": STEP_KINDS,
    "courses.why.{}": FILES["courses"]["why"],
    "courses.works.{}": ("not-used", "nothing-before", "not-looked", "nobody-without",
                         "nothing-left", "too-few"),
    "desk_forms.dislikes.{}": ("none", "wet-leaves", "alcohol", "wet-leaves alcohol"),
    "desk_forms.growth-forms.{}": FORMS,
    "desk_forms.asks.{}": FILES["desk_forms"]["asks"],
    "desk_forms.keys.{}": FORM_ANSWERS,
    "desk_forms.keys.{}-narrow": FORM_ANSWERS,
    "desk_forms.label.{}": ("from", "day"),
    "desk_forms.sizes.{}": ("small", "medium", "large"),
    "desk_forms.stages.{}": (*STAGES, "untold"),
    "errors.{}.message": ERRORS,
    "errors.{}.what_to_do": ERRORS,
    "exposure.brief.{}": get_args(Exposed),
    "exposure.near.{}": get_args(Exposed),
    "first_start.label-narrow.{}": get_args(Step)[:-1],
    "first_start.label.{}": get_args(Step)[:-1],
    "first_start.said.start-{}": get_args(Start),
    "first_start.starts.{}": get_args(Start),
    "fit.{}": ("too-many", "too-few", "too-clumped"),
    "forecast.lacking.{}": (criteria.LATELY, criteria.MEDIUM, criteria.GAP),
    "forecast.lacking.{}-none": (criteria.LATELY, criteria.MEDIUM),
    "forecast.no-date.{}": CRITERIA,
    "forecast.no-date.{}-rare": (criteria.CLEAN_LOOKS,),
    "keys_page.{}.title": FILES["keys_page"],
    "parameters.fixed.{}": FILES["parameters"]["fixed"],
    "parameters.group.{}": FILES["parameters"]["group"],
    "parameters.tag.{}": FILES["parameters"]["tag"],
    "pests.{}.name": PESTS,
    "pests.{}.swab": PESTS,
    "pests.{}.where": PESTS,
    "plant.answers.{}": FILES["plant"]["answers"],
    "plant.began.{}": FILES["plant"]["began"],
    "plant.lines.{}": FILES["plant"]["lines"],
    "plant.record-none.{}": FILES["plant"]["record-none"],
    "plant.record.{}": RECORDED,
    "plant.record.{}-{}": [
        ("clear_pot", "yes"), ("clear_pot", "no"), ("start", "insects-seen"),
        ("start", "none-seen"), ("gone", "died"), ("gone", "discarded"), ("gone", "given-away"),
    ],
    "plant.said.{}": SETTLED,
    "plant.state.{}": {*get_args(State), *get_args(Verdict), "doubt"} - {"stands"},
    "quarantine.criteria.{}": CRITERIA,
    "quarantine.short.{}": CRITERIA,
    "rejoin.beside.{}": get_args(Beside),
    "risk.parts.{}": FILES["risk"]["parts"],
    "round.ask.put-off-why.answers.1{}": (),
    "round.kinds.{}": KINDS,
    "round.put-off.{}": get_args(Until),
    "round.said.not-at-{}": get_args(Stage),
    "round.stages.{}": STAGES,
    "round.standing.{}": get_args(Standing),
    "round.standing.{}-today": ("quarantine", "watch"),
    "screens.help-narrow.{}": [code for code, _ in sentences(HELP[1])],
    "screens.help.{}": [code for code, _ in sentences(HELP[0])],
    "screens.keys.{}": ("line-or-desk", "desk"),
    "screens.plants.none-{}": list(CHOICES)[1:],
    "screens.plants.order-narrow.{}": ORDERS,
    "screens.plants.order.{}": ORDERS,
    "screens.plants.which-narrow.{}": CHOICES,
    "screens.plants.which.{}": CHOICES,
    "screens.release.lacks.{}": (criteria.LATELY, criteria.MEDIUM, criteria.GAP),
    "screens.summary.one-{}": ("plant", "zone"),
    "season.line.{}": ("arrivals", "wandering", "zones"),
    "season.about.{}": ("zones", "arrivals", "wandering"),
    "season.said.revoked-{}": ("zones", "arrivals", "wandering"),
    "season.said.taken-{}": ("zones", "arrivals", "wandering"),
    "season.why-{}": ("zones", "arrivals", "wandering"),
    "sheet.{}": ("all-clean", "all-clean-whole"),
    "sheet.column.{}": FILES["sheet"]["column"],
    "sheet.how.{}": FILES["sheet"]["how"],
    "sheet_entry.answers.{}": FILES["sheet_entry"]["answers"],
    "sheet_entry.answers.resume-{}": ("yes", "no"),
    "sheet_entry.answers.write-{}": ("yes", "no"),
    "sheet_entry.line.{}": ("hidden", "skipped"),
    "sight.coming.{}": COMING,
    "sight.coming.{}-narrow": COMING,
    "sight.coming.means.{}": FILES["sight"]["coming"]["means"],
    "today.reasons.near-{}": get_args(Exposed),
    "today.stood.{}": get_args(Exposed),
    "today.reasons.standing-{}": ("quarantine", "watch", TOUCHED, STOOD_NEAR),
    "today.reasons.standing-{}-today": ("quarantine", "watch"),
    "why.brief.{}": HELD,
    "why.holds.{}": HELD,
    "why.sooner.{}": FILES["why"]["sooner"],
    "what_if.line.{}": FILES["what_if"]["line"],
    "zones.{}.advice": ZONES,
    "zones.{}.name": ZONES,
    **{f"round.ask.{code}.answers.{GAP}": answers for code, answers in ASKED.items()},
    "round.ask.which-zone.answers.{}": (),
}  # fmt: skip
"""What stands in the gap of a code that the program puts together, by what is read of it."""

NEVER = {
    "courses.next.": "every way to go on has a code",
    "desk_forms.hint.name": "what hint it is, is given with the name of a plant and of a place",
    "first_start.before.end": "the end of the first start is no line",
    "round.stages.": "a count that was given a stage has one",
    "screens.keys.not-now": "it says 'put off'",
    "screens.keys.order": "it stands among the keys of lists",
    "zones.whole-plant.name": "the whole plant has a name of its own",
}
"""Codes that the program seems to put together and does not, and why."""


@pytest.fixture(scope="module")
def asked() -> dict[str, set[str]]:
    """Where each code is asked for, gaps and all."""
    found: dict[str, set[str]] = defaultdict(set)
    for each in Program().asked():
        if each.how == "section":
            found |= {code: {each.where} for code, _ in _below(each.code)}
        elif each.how == "say" and each.code not in NEVER:
            found[each.code].add(each.where)
    return found


def _below(code: str) -> Iterator[tuple[str, str]]:
    """The sentences straight under a code, which may have gaps."""
    begins = re.compile(".+".join(map(re.escape, code.split(GAP))) + r"\.[^.]+")
    yield from ((each, text) for each, text in SAID.items() if begins.fullmatch(each))


def _filled(code: str) -> list[str]:
    """The codes that one with gaps stands for."""
    parts = code.split(GAP)
    values = [[each] if isinstance(each, str) else each for each in FILLED[code]]
    return ["".join(map("".join, zip(parts, (*value, ""), strict=True))) for value in values]


def test_no_sentence_stands_twice() -> None:
    where: dict[str, list[str]] = defaultdict(list)
    for code, text in SAID.items():
        if not text.startswith(words.ELSEWHERE):
            where[text].append(code)
    twice = {text: codes for text, codes in where.items() if len(codes) > 1}
    assert twice == {}, 'a sentence stands once; elsewhere its code stands, as "@zones.axils.name"'


def test_what_stands_elsewhere_leads_straight_to_a_sentence() -> None:
    led = {code: text[1:] for code, text in SAID.items() if text.startswith(words.ELSEWHERE)}
    assert len(led) > 100
    assert {code for code, to in led.items() if to not in SAID or to in led} == set()
    assert {code for code in led if words.say(code) != SAID[led[code]]} == set()


def test_every_gap_in_a_code_is_known(asked: dict[str, set[str]]) -> None:
    unknown = {code: where for code, where in asked.items() if GAP in code and code not in FILLED}
    assert unknown == {}, "say in FILLED what stands in the gap, or ask for whole codes"
    assert sorted(set(FILLED) - set(asked)) == []


def test_every_sentence_that_is_asked_for_is_there(asked: dict[str, set[str]]) -> None:
    whole = {code: where for code, where in asked.items() if GAP not in code}
    assert len(whole) > 1000
    assert {code: where for code, where in whole.items() if code not in SAID} == {}
    filled = {each for code in FILLED for each in _filled(code)}
    assert sorted(filled - set(SAID)) == []


def test_every_page_has_a_title() -> None:
    lines, titles = words.section("desk.line"), words.section("screens.help-titles")
    pages = {code for code, _ in DESK_LINES if code not in lines}
    pages |= {screen for screen in LINES if screen not in titles} - {"everywhere"}
    assert sorted(page for page in pages if not words.title(page)) == []


def test_no_sentence_is_left_over(asked: dict[str, set[str]]) -> None:
    filled = {each for code in FILLED for each in _filled(code)}
    assert sorted(set(SAID) - set(asked) - filled) == []

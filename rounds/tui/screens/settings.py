"""The settings of a logbook: enter goes on to the next choice, or asks for a figure or a name."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.core.collection import Place
from rounds.errors import RoundsError
from rounds.paths import keys_path
from rounds.service.inference.day import collection_on
from rounds.service.logbook import settings
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.changed_text import bearing_on, changed_text
from rounds.service.logbook.choices import CHOICES, choose_next, chosen, display_of
from rounds.service.logbook.moment import now
from rounds.service.logbook.parameter_rows import changed_values
from rounds.service.logbook.settings import LEAST_MINUTES, MOST_MINUTES
from rounds.service.plan.pace import pace_learned
from rounds.service.plant.detail import known_eye, own_text
from rounds.service.safety.backups import folder_of, set_folder
from rounds.tui.forms.fields import EMPTIES, FieldFault
from rounds.tui.forms.values import celsius_of, number_of
from rounds.tui.keys import SETS, key_of
from rounds.tui.page import KeyHint, Page
from rounds.tui.pages.told import ListLine, Paragraph, Told
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.laid_out import LaidOut
from rounds.tui.screens.list_screen import list_bindings
from rounds.tui.theme import NAMES
from rounds.words.display import show_as
from rounds.words.forms import calendar_day, degree_days, in_100, number, temperature

OWN = "own"
"""Stands for the keys of the grower's own file."""


@dataclass(frozen=True, slots=True)
class Setting:
    """A line of the page. Without `keep` enter goes on to the next choice."""

    code: str
    text: str
    short_text: str
    value: Callable[[], str]
    about: Callable[[], str]
    ask: Callable[[], str] = lambda: ""
    keep: Callable[[str], None] | None = None
    among: tuple[str, ...] = ()
    """the choices, where only the screens know them"""
    choices: tuple[str, ...] = ()
    """the words of all choices, in the order enter goes through them"""


@dataclass(frozen=True, slots=True)
class SettingLine:
    """One setting as it is read: its name, what holds, and what it changes."""

    text: str
    short_text: str
    """the same for a narrow page"""
    value: str
    about: str
    is_typed: bool
    """a figure or a name is asked for; else enter goes on to the next choice"""
    choices: tuple[str, ...] = ()
    """all that it may be, where enter goes on from one to the next"""


MOST_SAID = 7
"""Rows for what a line changes."""


class SettingsScreen(LaidOut, sheet="settings"):
    """What is changed is kept at once, and holds on every screen."""

    BINDINGS: ClassVar[list[BindingType]] = list_bindings("settings", [("help", "help")])
    HELP = "settings"
    COLUMNS = ("setting", "short", "value")

    def __init__(self, logbook: Logbook, who: str | None, at: str | None = None) -> None:
        """`who` was given at the start; `at` is the code of a line to be asked for at once."""
        super().__init__()
        self.logbook = logbook
        self._who_given = who
        self.lines: list[SettingLine] = []
        self.asks: list[str] = []
        """what is asked for on each line"""
        self.read()
        if at is not None:
            self.mark = [setting.code for setting in self.settings()].index(at)
            self.begin_line()

    def read(self) -> None:
        """All lines as they are now."""
        found = self.settings()
        self.lines = [
            SettingLine(s.text, s.short_text, s.value(), s.about(), s.keep is not None, s.choices)
            for s in found
        ]
        self.asks = [setting.ask() for setting in found]

    def reload(self) -> None:
        """Others have set something."""
        self.read()
        self.paint()

    def settings(self) -> list[Setting]:
        """The lines, as they are now."""
        places = self.logbook.collection().places.values()
        return [
            self._choice("rules", self._about_rules),
            self._minutes(),
            self._keeper(),
            self._choice("second-looks"),
            self._choice("own-eye", self._about_own_eye),
            self._choice("own-pace", self._about_pace),
            self._choice("hygiene"),
            self._choice("backups", self._about_backups),
            self._backup_folder(),
            *(self._choice(code) for code in ("degrees", "volumes", "dates")),
            self._choice("keys", among=key_choices()),
            self._choice("colours", among=NAMES),
            *(self._usual(place) for place in places),
        ]

    def told(self) -> Told:
        """The lines, what the marked one changes, and what it may be."""
        today = self.logbook.clock.today()
        marked = self.lines[self.mark]
        enter = words.say("settings.form" if marked.is_typed else "settings.change")
        return Told(
            title=words.say("settings.title"),
            clock=calendar_day(today, today),
            above=[Paragraph(words.say("settings.lead"), may_go=True)],
            lines=[
                ListLine({"setting": of.text, "short": of.short_text, "value": of.value})
                for of in self.lines
            ],
            message=self.said,
            otherwise=[marked.about],
            most=MOST_SAID,
            asks=self.asks[self.mark] if self.line else None,
            opens=KeyHint(key_of("begin"), enter),
        )

    def put_beside(self, page: Page) -> int:
        """What the marked line may be; enter goes on down the list."""
        marked = self.lines[self.mark]
        if self.line is not None or not marked.choices:
            return 0
        page.put(0, 2, words.say("sight.settings.choices"), "quiet")
        for row, choice in enumerate(marked.choices, 1):
            holds = choice == marked.value
            page.put(row, 0, ">" if holds else "", "here")
            page.put(row, 2, choice, "here" if holds else "ink")
        return 1 + len(marked.choices)

    def lines_count(self) -> int:
        """As many as there are settings."""
        return len(self.lines)

    def open_line(self, index: int) -> None:
        """Go on to the next choice, or ask."""
        setting = self.settings()[index]
        if setting.keep is not None:
            self.begin_line()
            return
        try:
            choose_next(self.logbook, setting.code, setting.among)
        except RoundsError as fault:
            self.message = sentence_of(fault)
            return
        show_as(display_of(self.logbook))
        self._say_changed(index)

    def line_taken(self, given: str) -> None:
        """Keep what was typed."""
        self.end_line()
        self._keep(given)
        self.paint()

    def _keep(self, given: str) -> None:
        """Keep what was typed; an empty line leaves all as it was."""
        setting = self.settings()[self.mark]
        if not given or setting.keep is None:
            return
        try:
            setting.keep(given)
        except (FieldFault, RoundsError) as fault:
            self.message = sentence_of(fault)
        else:
            self._say_changed(self.mark)

    def _say_changed(self, index: int) -> None:
        self.read()
        setting = self.settings()[index]
        if setting.code == "who" and self._who_given:
            given = self._who_given
            self.message = words.say("settings.said.kept-for-later", name=given)
            return
        said = {"line": setting.text, "value": setting.value()}
        self.message = words.say("settings.said.changed", **said)

    # the lines

    def _choice(
        self, code: str, about: Callable[[], str] | None = None, among: tuple[str, ...] = ()
    ) -> Setting:
        said = words.section(f"settings.value.{code}")

        def value() -> str:
            return said[chosen(self.logbook, code, among)]

        says = about or (lambda: _about(code))
        choices = tuple(said[choice] for choice in among or CHOICES[code])
        return Setting(code, *_texts(code), value, says, among=among, choices=choices)

    def _about_rules(self) -> str:
        today = self.logbook.clock.today()
        rules = self.logbook.rules(self.logbook.parameters.default_pest, today)
        about = words.say(
            "settings.about.rules",
            days_apart=number(rules.days_apart),
            degree_days=degree_days(rules.degree_days),
            unit=words.section("settings.value.degrees")[chosen(self.logbook, "degrees")],
            clean_looks=number(rules.clean_looks),
            roots=_roots_asked(rules.root_looks),
            chance=in_100(rules.chance_clean),
        )
        changed = self._changed_text(today, rules.name)
        return f"{about.rstrip('.')}; {changed}." if changed else about

    def _changed_text(self, today: date, rules: str) -> str:
        """That what the rules ask is not what it usually is."""
        changed = bearing_on(changed_values(self.logbook, today), [], rules)
        asked = tuple(value for value in changed if value.code.startswith("quarantine."))
        return changed_text(asked)

    def _about_own_eye(self) -> str:
        own = known_eye(collection_on(self.logbook, self.logbook.clock.today()))
        if own is not None and not own.is_used:
            return _about("own-eye")
        learned = own_text(own) or _about("own-eye-unknown" if own is None else "own-eye-not-yet")
        return f"{_about('own-eye')} {learned[0].upper()}{learned[1:]}"

    def _about_backups(self) -> str:
        folder = folder_of(self.logbook)
        return words.say("settings.about.backups", folder=folder)

    def _about_pace(self) -> str:
        return " ".join([_about("own-pace"), self._pace_text, _about("own-pace-which")])

    @cached_property
    def _pace_text(self) -> str:
        """How the own pace came about; read once, as it changes with a round only."""
        pace = pace_learned(self.logbook, self.logbook.clock.today())
        needed = self.logbook.parameters.planning.pace_from_looks
        code = "own-pace-not-yet" if pace.looks < needed else "own-pace-learned"
        times = number(round(pace.times, 1))
        said = {"times": times, "looks": number(pace.looks), "needed": number(needed)}
        return words.say(f"settings.about.{code}", **said)

    def _minutes(self) -> Setting:
        def value() -> str:
            minutes = number(self.logbook.minutes())
            return words.say("settings.value.minutes", minutes=minutes)

        def keep(given: str) -> None:
            minutes = number_of(given, "minutes")
            if not LEAST_MINUTES <= minutes <= MOST_MINUTES:
                raise FieldFault(words.say("settings.said.no-minutes", given=given))
            self.logbook.keep_minutes(minutes)

        def ask() -> str:
            return words.say("settings.ask.minutes", value=number(self.logbook.minutes()))

        return Setting("minutes", *_texts("minutes"), value, lambda: _about("minutes"), ask, keep)

    def _keeper(self) -> Setting:
        def value() -> str:
            if self._who_given:
                return words.say("settings.value.given", name=self._who_given)
            return settings.keeper(self.logbook, None) or words.say("settings.value.nobody")

        def keep(given: str) -> None:
            settings.keep_keeper(self.logbook, "" if given == EMPTIES else given)

        def ask() -> str:
            return words.say("settings.ask.who", value=value())

        return Setting("who", *_texts("who"), value, lambda: _about("who"), ask, keep)

    def _backup_folder(self) -> Setting:
        code, logbook = "backup-folder", self.logbook

        def value() -> str:
            folder = folder_of(logbook)
            is_usual = folder.parent == logbook.file.path.parent
            return words.say("settings.value.beside") if is_usual else str(folder)

        def keep(given: str) -> None:
            set_folder(logbook, "" if given == EMPTIES else given)

        def ask() -> str:
            return words.say(f"settings.ask.{code}", value=value())

        return Setting(code, *_texts(code), value, lambda: _about(code), ask, keep)

    def _usual(self, place: Place) -> Setting:
        logbook = self.logbook

        def value() -> str:
            usual_c = place.usual_c(logbook.clock.today())
            if usual_c is not None:
                return temperature(usual_c)
            assumed = temperature(logbook.parameters.usual_c)
            return words.say("settings.value.assumed", usual=assumed)

        def keep(given: str) -> None:
            usual_c = celsius_of(given, "usual_c")
            settings.keep_usual(logbook, now(logbook.clock), place.name, usual_c)

        def ask() -> str:
            return words.say("settings.ask.usual", place=place.name, value=value())

        texts = _texts("usual", place=place.name)
        return Setting("usual", *texts, value, lambda: _about("usual"), ask, keep)


def key_choices() -> tuple[str, ...]:
    """The sets of keys there are; a grower's own where its file is."""
    return (*SETS, *([OWN] if keys_path().exists() else []))


def _texts(code: str, **values: str) -> tuple[str, str]:
    """The name of a line, and the same for a narrow page."""
    sections = words.section("settings.line"), words.section("settings.line-narrow")
    whole, short = (section[code].format(**values) for section in sections)
    return whole, short


def _roots_asked(looks: int | None) -> str:
    """How often the roots are checked out of the pot."""
    code = "none" if not looks else "one" if looks == 1 else "many"
    return words.say(f"settings.roots.{code}", looks=looks)


def _about(code: str) -> str:
    return words.section("settings.about")[code]

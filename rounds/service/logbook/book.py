"""The opened logbook: what use cases read from it, kept until somebody writes."""

from bisect import bisect_right
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Any, TypeVar

from rounds.clock import Clock
from rounds.core.away import Away
from rounds.core.body import Body, make_body
from rounds.core.changes import ValueChange, in_force
from rounds.core.collection import Place, Plant, WeatherDay
from rounds.core.log.entries import PlantEntries
from rounds.core.parameters import Biology, Parameters, QuarantineRules
from rounds.errors import LogbookUnusable, RoundsError
from rounds.service.logbook.parameters import load_parameters, parameters_with
from rounds.service.logbook.temperatures import Temperatures
from rounds.store import (
    LogbookFile,
    away,
    changes,
    codes,
    desk,
    log,
    places,
    plants,
    walks,
    weather,
)

Made = TypeVar("Made")

DEFAULT_MINUTES = 10.0
CLEAN_FIRST, BY_RISK = "clean-first", "by-risk"
DEFAULT_FORM = "leafy-plant"
DEFAULT_SIZE = "medium"
OF_BODY = ("form", "size", "clear_pot")
"""The facts of a plant that determine its body."""


@dataclass(frozen=True, slots=True)
class Collection:
    """Plants and places, temperatures, days away, changed values, as the log has them now."""

    plants: dict[int, Plant]
    places: dict[int, Place]
    weather: dict[int, dict[date, WeatherDay]]
    away: tuple[Away, ...] = ()
    changes: tuple[ValueChange, ...] = ()
    """of values of the parameter files"""

    def plant(self, code: str) -> Plant | None:
        """A plant by code, compared without case."""
        folded = code.casefold()
        return next((p for p in self.plants.values() if p.code.casefold() == folded), None)

    def place(self, name: str) -> Place | None:
        """A place by name, compared without case."""
        folded = name.casefold()
        return next((p for p in self.places.values() if p.name.casefold() == folded), None)

    def here(self, on: date) -> list[Plant]:
        """The plants that had come by the end of `on` and are not gone."""
        return [
            plant
            for plant in self.plants.values()
            if plant.first_day <= on and plant.gone(on) is None
        ]


@dataclass(frozen=True, slots=True)
class Written:
    """The state of the file, without derived results; compared to notice changes."""

    entries: int
    """number of entries so far"""
    under_way: tuple[tuple[int, str | None], ...]
    """rounds that nobody has ended, each with the program that walks it"""
    settings: tuple[tuple[str, str], ...]
    on: date
    """the local day"""


@dataclass(frozen=True, slots=True)
class Stamp:
    """Differs from an earlier one once anybody wrote anything but results, or a day has come."""

    written: Written
    rollbacks: int
    """number of transactions that this logbook rolled back"""


@dataclass(frozen=True, slots=True)
class Worked:
    """A result worked out, and what it is kept as."""

    plant_id: int
    what: str
    key: str
    result: str
    before_as: str | None
    """the name under which the result before it stays, if it does"""


class Logbook:
    """One logbook, opened; closes with `with`."""

    def __init__(
        self, path: Path, clock: Clock | None = None, *, day_is_over: bool = False
    ) -> None:
        self.clock = clock or Clock()
        self.day_is_over = day_is_over
        """whether today is spoken of as at its end: nothing that is due is still done on it"""
        self._usual: Parameters = load_parameters()
        self.file = LogbookFile(path)
        self.keeps_results = True
        self.works_out = True
        """whether results not kept are worked out; else NotKept is raised for them"""
        self.results_to_keep: list[Worked] | None = None
        """results to be kept together in one write; None where each is kept at once"""
        self._collection: tuple[tuple[int, int, int], int, Collection] | None = None
        self._settings: tuple[tuple[int, int, int], dict[str, str]] | None = None
        self._made: dict[Hashable, tuple[Stamp, Any]] = {}
        try:
            self._check_codes()
        except RoundsError:
            self.close()
            raise

    def __enter__(self) -> "Logbook":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self.file.close()

    def keep(self, write: Callable[[], object]) -> None:
        """Keep derived results if possible: after one LogbookUnusable no more are written."""
        if not self.keeps_results:
            return
        try:
            write()
        except LogbookUnusable:
            # each further try would wait for the lock as long
            self.keeps_results = False

    def is_open_day(self, on: date) -> bool:
        """Whether a day is today, and something may still be done on it."""
        return not self.day_is_over and on == self.clock.today()

    def collection(self) -> Collection:
        """Plants, places and temperatures; read again only after something was said of them."""
        stamp = self.file.records_stamp()
        if self._collection is None or self._collection[0] != stamp:
            entries = self.file.last_number()
            found = self._still_holds(stamp, entries) or self._read_collection()
            self._collection = stamp, entries, found
        return self._collection[2]

    def _still_holds(self, stamp: tuple[int, int, int], entries: int) -> Collection | None:
        """The collection as read before, where others wrote only results or settings since."""
        if self._collection is None:
            return None
        before, entries_then, found = self._collection
        return found if (before[:2], entries_then) == (stamp[:2], entries) else None

    def _read_collection(self) -> Collection:
        return Collection(
            plants.all_plants(self.file),
            places.all_places(self.file),
            weather.weather_by_place(self.file),
            away.days_away(self.file),
            changes.value_changes(self.file),
        )

    @property
    def parameters(self) -> Parameters:
        """The values the sums of today run on; setting them replaces the usual ones."""
        return self.parameters_on(self.clock.today())

    @parameters.setter
    def parameters(self, usual: Parameters) -> None:
        self._usual = usual

    def parameters_on(self, on: date) -> Parameters:
        """The values the sums of a day run on: the usual ones, and what was changed by then."""
        entered = self.collection().changes
        if not entered:
            return self._usual
        changed = in_force(entered, on)
        values = tuple((code, float(c.value or 0.0)) for code, c in changed.items())
        return parameters_with(values) if values else self._usual

    def stamp(self) -> Stamp:
        """The stamp of the file as it is now."""
        written = Written(
            self.file.last_number(),
            tuple(walks.walkers(self.file)),
            tuple(desk.settings(self.file)),
            self.clock.today(),
        )
        return Stamp(written, self.file.rollbacks)

    def made_at_stamp(self, what: Hashable, make: Callable[[], Made]) -> Made:
        """The memoised result of `make`, made again only where the stamp has changed."""
        if self.made(what) is None:
            stamp = self.stamp()
            self.keep_made(what, stamp, make())
        found: Made = self._made[what][1]
        return found

    def made(self, what: Hashable) -> object | None:
        """The memoised value of a name; None where there is none, or the stamp has changed."""
        known = self._made.get(what)
        return known[1] if known is not None and known[0] == self.stamp() else None

    def keep_made(self, what: Hashable, stamp: Stamp, made: object) -> None:
        """Memoise a value made at a stamp, and drop those of other stamps."""
        self._made = {key: kept for key, kept in self._made.items() if kept[0] == stamp}
        self._made[what] = stamp, made

    def temperatures(self, on: date) -> Temperatures:
        """The warmth of every place, from what was entered and what is usual there on a day."""
        found = self.collection()
        return Temperatures(found.places, found.weather, self.parameters_on(on).usual_c)

    def entries(self, plant: Plant, first: date, on: date) -> PlantEntries:
        """Everything entered about a plant on the days from `first` to `on`."""
        return log.entries_of(self.file, plant.id, first, on)

    def all_entries(self, first: date, on: date) -> dict[int, PlantEntries]:
        """Everything entered about every plant on the days from `first` to `on`."""
        return log.entries_by_plant(self.file, first, on)

    def body_on(self, plant: Plant, on: date | None = None) -> Callable[[date], Body]:
        """A function from a day to the body a plant had; memoised between changes.

        The values are those of the day spoken about, today if none is named.
        """
        table = self.parameters if on is None else self.parameters_on(on)
        changes = sorted(fact.from_day for fact in plant.facts if fact.what in OF_BODY)
        known: dict[int, Body] = {}

        def body(day: date) -> Body:
            since = bisect_right(changes, day)
            if since not in known:
                known[since] = make_body(
                    self._form(plant.fact("form", day) or DEFAULT_FORM),
                    plant.fact("size", day) or DEFAULT_SIZE,
                    plant.fact("clear_pot", day) == "yes",
                    table,
                )
            return known[since]

        return body

    def _check_codes(self) -> None:
        """LogbookUnusable where the file names a zone or pest that this version does not know."""
        # which zones and pests there are no value changes
        zones = {share.zone for form in self._usual.forms.values() for share in form}
        for kind, code in codes.codes_used(self.file):
            if kind == "zone" and code not in zones:
                raise LogbookUnusable("logbook-zone-unknown", code=code)
            if kind == "pest":
                _biology(self._usual, code)

    def _form(self, form: str) -> str:
        if form not in self._usual.forms:
            raise LogbookUnusable("logbook-form-unknown", code=form)
        return form

    def biology(self, pest: str, on: date) -> Biology:
        """What a pest is on a day. LogbookUnusable where this program does not know it."""
        return _biology(self.parameters_on(on), pest)

    def rules(self, pest: str, on: date) -> QuarantineRules:
        """The criteria for leaving quarantine that this grower chose, as they are for a pest."""
        rules = self.biology(pest, on).rules
        return rules.get(self.setting("rules") or "default", rules["default"])

    def setting(self, name: str) -> str | None:
        """What was kept of a setting; None where nothing was."""
        stamp = self.file.settings_stamp()
        if self._settings is None or self._settings[0] != stamp:
            # few, and each plant asks for some of them
            self._settings = stamp, dict(desk.settings(self.file))
        return self._settings[1].get(name)

    def put_setting(self, name: str, value: str) -> None:
        """Keep a setting."""
        desk.put_setting(self.file, name, value)

    def minutes(self) -> float:
        """The minutes a grower has for a round."""
        return float(self.setting("minutes") or DEFAULT_MINUTES)

    def walks_by_risk(self) -> bool:
        """Whether a round goes strictly by risk, not from the clean side to the infested."""
        return desk.setting(self.file, "order") == BY_RISK

    def walk_by_risk(self, by_risk: bool) -> None:
        """Remember which way a round goes."""
        desk.put_setting(self.file, "order", BY_RISK if by_risk else CLEAN_FIRST)

    def keep_minutes(self, minutes: float) -> None:
        """Remember the minutes a grower has for a round."""
        self.put_setting("minutes", str(minutes))


def _biology(table: Parameters, pest: str) -> Biology:
    if pest not in table.pests:
        raise LogbookUnusable("logbook-pest-unknown", code=pest)
    return table.pests[pest]

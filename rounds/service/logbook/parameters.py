"""Reads the parameter files once: the values the sums run on."""

import tomllib
from collections.abc import Callable
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from rounds.core.body import shares_of
from rounds.core.parameters import (
    Advice,
    AlarmRules,
    ClaimRules,
    Deliveries,
    EmptySpots,
    Infestation,
    Inspection,
    Kills,
    Parameters,
    Planning,
    Risk,
    Season,
    SecondLooks,
    Supposed,
    ZoneShare,
)
from rounds.errors import RoundsError
from rounds.service.logbook.pest_files import Pests, Table, biology_of

FOLDER = Path(__file__).parents[2] / "parameters"
PESTS = "pests"
TREATMENTS, ADVICE, QUARANTINE, ALARM = "treatments", "advice", "quarantine", "alarm"
FILES = (
    "infestation", "inspection", QUARANTINE, "risk", "plan", "places", "forms", "spots",
    "deliveries", TREATMENTS, ADVICE, ALARM, PESTS,
)  # fmt: skip

Tables = Callable[[str], Table]
"""the content of a file by its name"""

MOST_TABLES = 16
"""Most sets of changed values that are memoised; each day spoken about has one."""


@lru_cache(maxsize=1)
def load_parameters() -> Parameters:
    """All values the sums run on."""
    return _parameters(_file)


@lru_cache(maxsize=MOST_TABLES)
def parameters_with(changes: tuple[tuple[str, float], ...]) -> Parameters:
    """All values with some changed, by code in the order of codes."""
    from rounds.service.logbook.changed_values import with_values

    # what shares one whole stands in one file, so that each is changed by itself
    return _parameters(cache(lambda name: with_values({name: _file(name)}, dict(changes))[name]))


def _parameters(tables: Tables) -> Parameters:
    return Parameters(
        pests=_pests(tables),
        usual_c=tables("places")["usual"]["temperature"]["value"],
        infestation=_infestation(tables("infestation")),
        inspection=_inspection(tables("inspection")),
        risk=_risk(tables("risk")),
        planning=_planning(tables("plan")),
        forms=MappingProxyType(_forms(tables("forms"))),
        weights=MappingProxyType(_values(tables("forms")["weight"])),
        donors=MappingProxyType(_values(tables("forms")["draws_on"])),
        second_looks=_second_looks(tables("inspection")["second_looks"]),
        season=Season(**_values(tables("inspection")["season"])),
        treatments=MappingProxyType(
            {kind: Kills(**_values(row)) for kind, row in tables(TREATMENTS).items()}
        ),
        advice=_advice(tables(ADVICE)),
        empty_spots=EmptySpots(**_values(tables("spots")["empty"])),
        deliveries=Deliveries(
            **_values(tables("deliveries")["opened"]), **_values(tables("deliveries")["verdict"])
        ),
        alarm=AlarmRules(**_values(tables(ALARM)["chart"]), **_values(tables(ALARM)["rise"])),
    )


@lru_cache(maxsize=1)
def parameter_files() -> dict[str, Table]:
    """The content of the parameter files by name; that of a pest is prefixed by its folder."""
    return {name: _file(name) for name in (*FILES, *(f"{PESTS}.{pest}" for pest in known_pests()))}


@cache
def _file(name: str) -> Table:
    """The content of one parameter file."""
    file = FOLDER.joinpath(*name.split(".")).with_suffix(".toml")
    return tomllib.loads(file.read_text(encoding="utf-8"))


@cache
def known_pests() -> tuple[str, ...]:
    """The codes of all pests that have a file."""
    return tuple(sorted(file.stem for file in (FOLDER / PESTS).glob("*.toml")))


def _pests(tables: Tables) -> Pests:
    """Each pest that has a file, the usual one first."""
    usual, known = tables(PESTS)["followed"]["usual"]["value"], known_pests()
    if usual not in known:
        raise RoundsError("pest-without-file", pest=usual)
    return Pests(
        (usual, *(pest for pest in known if pest != usual)),
        lambda pest: biology_of(pest, tables(f"{PESTS}.{pest}"), tables(QUARANTINE)),
    )


def _infestation(table: Table) -> Infestation:
    mates, arrivals, handling = table["mates"], table["arrivals"], table["handling"]
    reading, band, fit = table["reading"], table["band"], table["fit"]
    before = {
        kind: Supposed(**{key: entry["value"] for key, entry in row.items()})
        for kind, row in table["before"].items()
    }
    return Infestation(
        priors=MappingProxyType(before),
        mates_plants=mates["plants"]["value"],
        arrivals_apart=arrivals["apart"]["value"],
        arrivals_collection=arrivals["collection"]["value"],
        killed=handling["killed"]["value"],
        sac_gone=handling["sac_gone"]["value"],
        reading_days=reading["days"]["value"],
        reading_before_finds=reading["before_finds"]["value"],
        run_ends_days=reading["run_ends"]["value"],
        band_low=band["low"]["value"],
        band_high=band["high"]["value"],
        band_tucked=band["tucked"]["value"],
        band_start_likelier=band["start_likelier"]["value"],
        band_start_rarer=band["start_rarer"]["value"],
        band_arrivals=band["arrivals"]["value"],
        fit_plant=fit["plant"]["value"],
        fit_plant_alone=fit["plant_alone"]["value"],
        fit_tail=fit["tail"]["value"],
        fit_all=fit["all"]["value"],
        fit_days=fit["days"]["value"],
    )


def _inspection(table: Table) -> Inspection:
    seconds = {size: row["value"] for size, row in table["reference_seconds"].items()}
    roots = seconds.pop("roots")
    credit, attention, doubts = table["credit"], table["attention"], table["doubts"]
    away = table["away"]
    return Inspection(
        reference_seconds=MappingProxyType(seconds),
        roots_reference_seconds=roots,
        seconds_per_find=credit["seconds_per_find"]["value"],
        handled_once=tuple(credit["handled_once"]["value"]),
        seconds_with_find=credit["with_find"]["value"],
        credited_at_most=credit["at_most"]["value"],
        searched_least=credit["searched_least"]["value"],
        seen_from=credit["seen_from"]["value"],
        complete_from=credit["complete_from"]["value"],
        idle_seconds=credit["idle"]["value"],
        recent_find_days=attention["recent_find"]["value"],
        infested_days=attention["infested"]["value"],
        signs_days=attention["signs"]["value"],
        bodies_days=attention["bodies"]["value"],
        doubts_live_at=doubts["live_at"]["value"],
        doubts_within_days=doubts["within"]["value"],
        away_twice_days=away["twice_after"]["value"],
        away_at_most=away["at_most"]["value"],
    )


def _second_looks(table: Table) -> SecondLooks:
    return SecondLooks(**_values(table))


def _values(table: Table) -> dict[str, Any]:
    return {key: row["value"] for key, row in table.items()}


def _advice(table: Table) -> Advice:
    works = table["works"]
    return Advice(
        **_values(table["next"]),
        works_days=works["days"]["value"],
        works_looked=works["looked"]["value"],
        most_times=table["cold"]["most_times"]["value"],
    )


def _risk(table: Table) -> Risk:
    words, share = table["words"], table["share_reached"]
    return Risk(
        days_ahead=table["ahead"]["days"]["value"],
        look_first_from=words["look_first_from"]["value"],
        today_from=words["today_from"]["value"],
        touching=share["touching"]["value"],
        same_bench=share["same_bench"]["value"],
        same_room=share["same_room"]["value"],
        most_reached=table["most_reached"]["crawlers_a_day"]["value"],
    )


def _planning(table: Table) -> Planning:
    walk, pace, steps = table["walk"], table["pace"], table["steps"]
    return Planning(
        claims=ClaimRules(**{key: row["value"] for key, row in table["claims"].items()}),
        walk_seconds=walk["to_next"]["value"],
        hygiene_seconds=walk["hygiene"]["value"],
        handling_at_most=table["handling"]["at_most"]["value"],
        whole_plant_below=table["whole_plant"]["below"]["value"],
        step_together_seconds=steps["together_below"]["value"],
        step_least_seconds=steps["least"]["value"],
        pace_looks=pace["looks"]["value"],
        pace_from_looks=pace["from_looks"]["value"],
        pace_least=pace["least"]["value"],
        pace_most=pace["most"]["value"],
    )


def _forms(table: Table) -> dict[str, tuple[ZoneShare, ...]]:
    weight = {zone: row["value"] for zone, row in table["weight"].items()}
    tucked = {zone: row["value"] for zone, row in table["tucked_share"].items()}
    donors = {zone: row["value"] for zone, row in table["draws_on"].items()}
    try:
        return {
            form: shares_of(row["value"], weight, tucked, donors)
            for form, row in table["zones"].items()
        }
    except KeyError as fault:
        raise RoundsError("zone-without-weight", zone=fault.args[0]) from fault

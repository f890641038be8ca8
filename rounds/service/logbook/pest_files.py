"""From the data file of one pest to its biology; what is missing there is told, never borrowed."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Any

from rounds.core.biology.stages import CRAWLER, EGG, KNOWN, LAYING, STAGES_OF
from rounds.core.parameters import (
    Biology,
    DayOfLife,
    PestZones,
    QuarantineRules,
    StageParameters,
    Warmth,
    Watch,
)
from rounds.errors import RoundsError

# An entry of the files: value, unit, range, tag and source; a table is anything above it.
Table = Mapping[str, Any]


class Pests(Mapping[str, Biology]):
    """Each pest that has a file. A file is read when its pest is asked for first: most are not."""

    def __init__(self, codes: tuple[str, ...], read: Callable[[str], Biology]) -> None:
        """
        Args:
            codes: of the pests; the one first that is followed unless another is named.
            read: gives the biology of one.
        """
        self._codes = codes
        self._read = read
        self._known = {codes[0]: read(codes[0])}

    def __getitem__(self, pest: str) -> Biology:
        known = self._known.get(pest)
        if known is None:
            if pest not in self._codes:
                raise KeyError(pest)
            known = self._known[pest] = self._read(pest)
        return known

    def __iter__(self) -> Iterator[str]:
        return iter(self._codes)

    def __len__(self) -> int:
        return len(self._codes)


def biology_of(pest: str, file: Table, quarantine: Table) -> Biology:
    """The biology of one pest from its file.

    Args:
        pest: its code.
        file: of the pest.
        quarantine: the criteria, which ask of each pest its own warmth.

    Raises:
        RoundsError: the file lacks a value, or its stages are no life from egg to laying adult.
    """
    try:
        found = _biology(file, quarantine)
    except KeyError as fault:
        raise RoundsError("pest-without-biology", pest=pest, missing=fault.args[0]) from fault
    if not _is_a_life(found.stages):
        stages = " ".join(stage.code for stage in found.stages)
        raise RoundsError("pest-stages", pest=pest, stages=stages)
    return found


def _biology(file: Table, quarantine: Table) -> Biology:
    asked, watch = file["generation"], quarantine["watch"]
    own = file.get("settings", {})
    rules = {
        name: _rules(name, {**row, **own.get(name, {})}, asked[name]["value"])
        for name, row in quarantine["settings"].items()
    }
    egg = file["stages"][EGG]["degree_days"]
    return Biology(
        stages=tuple(_stage(code, row) for code, row in file["stages"].items()),
        egg_degree_days=(egg["low"], egg["high"]),
        warmth=_warmth(file["warmth"]),
        day=_day_of_life(file["day"]),
        rules=MappingProxyType(rules),
        watch=Watch(days=watch["days"]["value"], degree_days=asked["watch"]["value"]),
        recorded=_recorded(file),
        counted_from=tuple(row["value"] for row in file.get("counts", {}).values()),
        zones=_zones(file["zones"]) if "zones" in file else None,
        courses=tuple(_asked(file["courses"], "usual")),
        spray_least_days=_asked(file["courses"], "spray_least"),
        spared=tuple(_asked(file["courses"], "spared") or ()),
    )


def _recorded(file: Table) -> Mapping[str, tuple[str, ...]]:
    """Stages of the pest by the recorded stage of a find; those of a mealybug where none are told.

    A pest that tells them has no others: one that bears live young has no egg mass.
    """
    told = {name: tuple(row["value"]) for name, row in file.get("recorded", {}).items()}
    return MappingProxyType(told or STAGES_OF)


def _zones(table: Table) -> PestZones:
    by_zone = {
        what: MappingProxyType({zone: row["value"] for zone, row in table[what].items()})
        for what in ("weight", "tucked_share")
    }
    return PestZones(**by_zone)


def _is_a_life(stages: tuple[StageParameters, ...]) -> bool:
    """Whether stages run from egg and crawler to the laying adult, the only one without an end."""
    codes = [stage.code for stage in stages]
    endless = [stage.code for stage in stages if stage.degree_days is None]
    return codes[:2] == [EGG, CRAWLER] and endless == codes[-1:] == [LAYING] and set(codes) <= KNOWN


def _stage(code: str, row: Table) -> StageParameters:
    return StageParameters(
        code=code,
        degree_days=_asked(row, "degree_days"),
        sub_stages=row["sub_stages"]["value"],
        daily_survival=row["daily_survival"]["value"],
        daily_exchange=row["daily_exchange"]["value"],
        found_in_reach=row["found_in_reach"]["value"],
        found_out_of_pot=row["found_out_of_pot"]["value"],
        make_up=row["make_up"]["value"],
    )


def _warmth(table: Table) -> Warmth:
    return Warmth(
        lower_threshold_c=table["lower_threshold"]["value"],
        upper_cutoff_c=table["upper_cutoff"]["value"],
        known_up_to_c=table["known_up_to"]["value"],
    )


def _day_of_life(table: Table) -> DayOfLife:
    return DayOfLife(**{name: table[name]["value"] for name in DayOfLife.__slots__})


def _rules(name: str, row: Table, degree_days: float) -> QuarantineRules:
    return QuarantineRules(
        name=name,
        days_apart=row["days_apart"]["value"],
        degree_days=degree_days,
        clean_looks=row["clean_looks"]["value"],
        recent_looks=row["recent_looks"]["value"],
        recent_look_days=row["recent_look_days"]["value"],
        root_looks=_asked(row, "root_looks") or None,
        roots_after_days=row["roots_after"]["value"],
        roots_apart_days=row["roots_apart"]["value"],
        chance_clean=row["chance_clean"]["value"],
        chance_low=_asked(row, "chance_low"),
        gap_days=row["gap_days"]["value"],
        gap_holds_back=row["gap_holds_back"]["value"],
        degree_days_waived_from=row["degree_days_waived_from"]["value"],
    )


def _asked(table: Table, key: str) -> Any:
    """The value under a key; None where the file leaves the key out."""
    return table[key]["value"] if key in table else None

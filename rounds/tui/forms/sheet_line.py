"""One line of a sheet as it is typed: seconds, counts with their letters, or one letter alone."""

import re
from collections.abc import Sequence

from rounds import words
from rounds.service.entries.looks import WHOLE
from rounds.service.exchange.sheet_entry import Counted, ZoneLine
from rounds.service.plant.zones import PlannedZone
from rounds.tui.forms.fields import FieldFault
from rounds.tui.forms.values import seconds_of
from rounds.tui.keys import key_of
from rounds.words.forms import minutes_seconds

KINDS = ("removed", "killed", "left", "doubtful")
"""Roles of the counting keys, and what they are in the log."""

STAGES = {"adult": "adult", "young": "young", "eggs": "eggs"}
"""Roles of the keys of the stages, and what they are in the log."""

SKIPPED = "-"
CODE_MARK = "."
"""Stands before the code of a plant that reads as counts, as seconds or as a letter alone."""
MOST_FIGURES = 6


def read_line(typed: str, zone: PlannedZone) -> ZoneLine:
    """What was typed for a zone; nothing at all is a look of the time planned, nothing found.

    FieldFault where it cannot be read.
    """
    folded = typed.strip().casefold()
    if folded == key_of("hidden"):
        return ZoneLine(zone.zone, 0.0, outcome="hidden")
    if folded == SKIPPED:
        return ZoneLine(zone.zone, 0.0, outcome="skipped")
    seconds: float | None = None
    counted: list[Counted] = []
    for part in folded.replace(",", " ").split():
        if _take_counts(part, counted):
            continue
        if seconds is not None or not (part.isascii() and part[0].isdigit()):
            raise FieldFault(words.say("sheet_entry.faults.unread", given=part))
        seconds = seconds_of(part)
    return ZoneLine(zone.zone, zone.planned_seconds if seconds is None else seconds, tuple(counted))


def read_counts(typed: str) -> list[Counted] | None:
    """Counts with their letters alone, as in 2fa 1wt; None where they cannot be read."""
    counted: list[Counted] = []
    parts = typed.strip().casefold().replace(",", " ").split()
    return counted if all(_take_counts(part, counted) for part in parts) else None


def _take_counts(part: str, counted: list[Counted]) -> bool:
    """Add what a part says to what was counted before it; False where it is about no count."""
    counts = _counts(part)
    if not counts and part in _letters(STAGES) and counted:
        last = counted.pop()
        counts = [Counted(last.kind, last.count, _letters(STAGES)[part])]
    counted += counts
    return bool(counts)


def _counts(part: str) -> list[Counted]:
    """Read counts such as 2f, 1wa, 2f1w, f for one; empty for no count. FieldFault for 0."""
    kinds, stages = _letters({kind: kind for kind in KINDS}), _letters(STAGES)
    one = rf"([0-9]{{1,{MOST_FIGURES}}})([{''.join(kinds)}])([{''.join(stages)}]?)"
    if re.fullmatch(f"[{''.join(kinds)}][{''.join(stages)}]?", part):
        part = f"1{part}"
    if not re.fullmatch(f"({one})+", part):
        return []
    found = [
        Counted(kinds[letter], int(figures), stages.get(stage))
        for figures, letter, stage in re.findall(one, part)
    ]
    if any(counted.count == 0 for counted in found):
        raise FieldFault(words.say("sheet_entry.faults.none-of", given=part))
    return found


def _letters(roles: dict[str, str]) -> dict[str, str]:
    """By letter what it stands for."""
    return {key_of(role): code for role, code in roles.items()}


def line_text(line: ZoneLine) -> str:
    """A line in words: 0:40, 2 off adult, 1 doubtful."""
    if line.outcome != "looked":
        return words.say(f"sheet_entry.line.{line.outcome}")
    parts = [minutes_seconds(line.seconds), *map(_counted_text, line.counted)]
    if not line.counted:
        parts.append(words.say("sheet_entry.line.nothing"))
    return ", ".join(parts)


def line_letters(line: ZoneLine) -> str:
    """A line in letters, where there is no room for words: 0:40 2fa 1w."""
    if line.outcome != "looked" or not line.counted:
        return line_text(line)
    kinds = {kind: key_of(kind) for kind in KINDS}
    stages = {stage: key_of(role) for role, stage in STAGES.items()}
    parts = [
        f"{counted.count}{kinds[counted.kind]}{stages.get(counted.stage or '', '')}"
        for counted in line.counted
    ]
    return " ".join([minutes_seconds(line.seconds), *parts])


def zone_name(zone: str) -> str:
    """The name of a zone, or of the whole plant."""
    return words.say("bench.whole-plant" if zone == WHOLE else f"zones.{zone}.name")


def found_text(line: ZoneLine) -> str:
    """Counts of a line in words, without its seconds: 2 off adult, 1 doubtful."""
    return ", ".join(map(_counted_text, line.counted))


def found_letters(line: ZoneLine) -> str:
    """Counts of a line in letters, where there is no room for words: 2fa 1w."""
    return line_letters(line).partition(" ")[2]


def read_zone(typed: str, zones: Sequence[PlannedZone]) -> str:
    """The zone of a number, counted from the top, or of how its name begins. FieldFault else."""
    folded = typed.strip().casefold()
    if folded.isascii() and folded.isdigit() and 1 <= int(folded) <= len(zones):
        return zones[int(folded) - 1].zone
    named = [z.zone for z in zones if folded and zone_name(z.zone).casefold().startswith(folded)]
    if len(named) != 1:
        raise FieldFault(words.say("sheet_entry.faults.no-zone", given=typed, most=len(zones)))
    return named[0]


def _counted_text(counted: Counted) -> str:
    kind = words.say(f"round.kinds.{counted.kind}")
    stage = words.say(f"round.stages.{counted.stage}") if counted.stage else ""
    return words.say(
        "sheet_entry.line.counted", count=counted.count, kind=kind, stage=stage
    ).strip()


def lines_text(lines: tuple[ZoneLine, ...]) -> str:
    """Lines summed up in words: 7 zones, 1:29, 2 off, 1 doubtful; 1 not looked at."""
    looked = [line for line in lines if line.outcome == "looked"]
    seconds = sum(line.seconds for line in looked)
    zones = "zone" if len(looked) == 1 else "zones"
    over = words.say(f"sheet_entry.sum.{zones}", count=len(looked))
    if any(line.zone == WHOLE for line in looked):
        over = words.say("bench.whole-plant")
    parts = [over, minutes_seconds(seconds)]
    for kind in KINDS:
        count = sum(c.count for line in looked for c in line.counted if c.kind == kind)
        if count:
            name = words.say(f"round.kinds.{kind}")
            parts.append(
                words.say("sheet_entry.line.counted", count=count, kind=name, stage="").strip()
            )
    if not any(line.counted for line in looked):
        parts.append(words.say("sheet_entry.line.nothing"))
    for outcome in ("hidden", "skipped"):
        count = sum(1 for line in lines if line.outcome == outcome)
        if count:
            parts.append(words.say(f"sheet_entry.sum.{outcome}", count=count))
    return ", ".join(parts)

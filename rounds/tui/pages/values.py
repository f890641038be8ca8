"""What is known of one of the values the sums run on."""

from datetime import date

from rounds import words
from rounds.service.logbook.parameter_rows import ValueRow
from rounds.words.forms import day_month
from rounds.words.parameters import moves_of_value, unit_of_value, written_value


def about_value(row: ValueRow, on: date) -> str:
    """All that is known of a value, in sentences: what it is, what it moves, why it is fixed."""
    fixed = [] if row.fixed is None else [words.say(f"parameters.fixed.{row.fixed}")]
    return " ".join([known_of_value(row, on), moves_of_value(row.code), *fixed])


def known_of_value(row: ValueRow, on: date) -> str:
    """What it is, what it usually is, who changed it, its range, and where it comes from."""
    value, unit = written_value(row.value), unit_of_value(row.unit)
    default = written_value(row.default)
    change = row.change
    if row.value == row.default:
        told = [words.say("parameters.said.holds-usual", value=value, unit=unit)]
    else:
        told = [words.say("parameters.said.holds", value=value, unit=unit, default=default)]
    if change is not None:
        by = {"day": day_month(change.day, on), "why": change.why or "", "who": change.who or ""}
        told.append(words.say(f"parameters.said.{'by-whom' if change.who else 'by-you'}", **by))
    elif row.gave_way:
        told.append(words.say("parameters.said.gave-way"))
    if row.fixed is None and row.low is not None and row.high is not None:
        low, high = written_value(row.low), written_value(row.high)
        told.append(words.say("parameters.said.range", low=low, high=high))
    tag = words.say(f"parameters.tag.{row.tag}")
    if row.tag in ("read", "derived"):
        tag = f"{tag}: {row.source}"
    return f"{'; '.join([*told, tag])}."

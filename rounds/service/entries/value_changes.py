"""A grower changes a value of the table, takes it back to the usual one, or takes that back."""

from collections.abc import Iterable

from rounds import words
from rounds.core.changes import ValueChange, in_force
from rounds.core.log.entries import Withdrawal
from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.changed_values import entries_of, given_way, sharing, whole_where_usual
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.parameter_rows import ValueRow, value_row
from rounds.service.logbook.parameters import parameter_files
from rounds.store import changes, log
from rounds.words.parameters import name_of_value

KIND = "value"
TAKEN_BACK = "taken-back"
AS_GOOD_AS_NONE = 1e-9


def change_value(
    logbook: Logbook, moment: Moment, code: str, value: float, why: str | None
) -> tuple[EntryName, ValueRow]:
    """Write that a value is another from that day on, and why.

    Raises:
        BadInput: there is no such value, it is fixed or holds already, the new one lies outside
            its range or would push others out of theirs, or no reason is given.
    """
    with logbook.file.writing():
        row = check_change(logbook, moment, code, value)
        reason = (why or "").strip()
        if not reason:
            raise BadInput("value-needs-why", field="why", name=name_of_value(row.code))
        kept = whole_where_usual(value, row.default)
        return _write(logbook, moment, row, None if kept == row.default else kept, reason)


def check_change(logbook: Logbook, moment: Moment, code: str, value: float) -> ValueRow:
    """The value as it holds. BadInput where it cannot become another."""
    row = value_row(logbook, code, moment.day)
    _check_range(row, value)
    if value == row.value and row.change is not None:
        raise BadInput(
            "value-the-same", field="value", name=name_of_value(row.code), given=f"{value:g}"
        )
    if value == row.default and row.change is None and not row.gave_way:
        raise BadInput(
            "value-the-same", field="value", name=name_of_value(row.code), given=f"{value:g}"
        )
    _check_wholes([*logbook.collection().changes, _entry(logbook, moment, row, value, None)])
    return row


def reset_value(
    logbook: Logbook, moment: Moment, code: str, why: str | None = None
) -> tuple[EntryName, ValueRow]:
    """Write that a value is the usual one again from that day on. BadInput where it is."""
    with logbook.file.writing():
        row = value_row(logbook, code, moment.day)
        if row.change is None:
            raise BadInput("value-is-usual", field="code", name=name_of_value(row.code))
        _check_wholes([*logbook.collection().changes, _entry(logbook, moment, row, None, None)])
        return _write(logbook, moment, row, None, why)


def withdraw_change(
    logbook: Logbook, moment: Moment, name: EntryName, why: str | None = None
) -> list[str]:
    """Take a change back, or that a value went back to the usual one."""
    standing = logbook.collection().changes
    if not any(str(name_of(change)) == str(name) for change in standing):
        raise BadInput("unknown-entry", field="entry", given=str(name))
    _check_wholes(change for change in standing if change.id != name.entry_id)
    with logbook.file.writing():
        log.append_withdrawal(
            logbook.file,
            Withdrawal(
                id=logbook.file.next_id(),
                day=name.day,
                plant_id=log.OF_A_PLACE,
                target_id=name.entry_id,
                at_ms=moment.at_ms,
                why=TAKEN_BACK,
                note=why,
            ),
        )
    return [str(name)]


def name_of(change: ValueChange) -> EntryName:
    """The entry's name."""
    return EntryName(KIND, change.day, log.OF_A_PLACE, change.id)


def _write(
    logbook: Logbook, moment: Moment, row: ValueRow, value: float | None, why: str | None
) -> tuple[EntryName, ValueRow]:
    entered = _entry(logbook, moment, row, value, why, logbook.file.next_id())
    changes.append_change(logbook.file, entered)
    return name_of(entered), value_row(logbook, row.code, moment.day)


def _entry(
    logbook: Logbook,
    moment: Moment,
    row: ValueRow,
    value: float | None,
    why: str | None,
    entry_id: int | None = None,
) -> ValueChange:
    """The entry, or as it would be: the newest of its day."""
    last = max((change.id for change in logbook.collection().changes), default=0)
    number = last + 1 if entry_id is None else entry_id
    return ValueChange(number, moment.day, moment.at_ms, row.code, value, why, moment.who)


def _check_range(row: ValueRow, value: float) -> None:
    """BadInput where a value may not be chosen."""
    if row.fixed is not None or row.low is None or row.high is None:
        raise BadInput(
            "value-fixed", field="value", name=name_of_value(row.code), why=_why_fixed(row)
        )
    if isinstance(row.default, int) and value != round(value):
        raise BadInput(
            "value-not-whole", field="value", name=name_of_value(row.code), given=f"{value:g}"
        )
    if not row.low <= value <= row.high:
        raise BadInput(
            "value-out-of-range",
            field="value",
            name=name_of_value(row.code),
            given=f"{value:g}",
            low=f"{row.low:g}",
            high=f"{row.high:g}",
        )


def _why_fixed(row: ValueRow) -> str:
    return words.say(f"parameters.fixed.{row.fixed}") if row.fixed else ""


def _check_wholes(entered: Iterable[ValueChange]) -> None:
    """BadInput where on some day values that share one whole would not fit into it."""
    standing = list(entered)
    usual = dict(entries_of(parameter_files()))
    for day in sorted({change.day for change in standing}):
        changed = {
            code: change.value
            for code, change in in_force(standing, day).items()
            if change.value is not None and sharing(usual, code)
        }
        for code in changed:
            whole = sharing(usual, code)
            if all(other in changed for other in whole):
                _check_sum(sum(changed[other] for other in whole))
        for other, value in given_way(usual, changed).items():
            low, high = usual[other]["low"], usual[other]["high"]
            if not low <= value <= high:
                raise BadInput(
                    "value-crowds-out",
                    field="value",
                    other=name_of_value(other),
                    given=f"{value:.3g}",
                    low=f"{low:g}",
                    high=f"{high:g}",
                )


def _check_sum(total: float) -> None:
    if abs(total - 1) > AS_GOOD_AS_NONE:
        raise BadInput("value-sum", field="value", given=f"{total:.3g}")

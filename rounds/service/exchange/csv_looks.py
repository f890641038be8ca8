"""Looks from a file: each row one look at one zone, or at a whole plant."""

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import ClassVar

from rounds.errors import BadInput
from rounds.service.entries.looks import WHOLE, LookWritten
from rounds.service.exchange.csv_file import CsvFile, Record
from rounds.service.exchange.look_rows import LookReader, LookRow, one_look
from rounds.service.exchange.rows import RowsOfFile
from rounds.service.exchange.trouble import LOOK_COLUMNS, Troubles
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.once import digest_of
from rounds.store import LogbookFile, desk
from rounds.store.held import LookContent, held_looks
from rounds.store.waiting import Compared, WaitingLooks, WrittenRow


class LooksOfFile(RowsOfFile):
    """The looks of a file; checked as they are taken, they wait beside the logbook.

    Rows of one key that follow each other may tell of one look, each of another stage.
    """

    columns: ClassVar[Mapping[str, str]] = LOOK_COLUMNS

    def __init__(self, logbook: Logbook, moment: Moment, file: CsvFile) -> None:
        self._file = logbook.file
        self._reader = LookReader(logbook, moment.who, file)
        self._waiting = WaitingLooks(logbook.file)
        self._rows = self._known = self._entries_before = 0
        self._above: _KeyedRows | None = None

    def take(self, record: Record) -> None:
        """Check a row and put it with the others. BadInput or Refused for its faults."""
        line, told = record
        above = self._above
        row_above = above.row if above else None
        row = self._reader.read_fast(told) or self._reader.read(record, row_above)
        self._rows += 1
        if not row[-1]:
            self._put_above()
            self._put(_KeyedRows(line, row))
            return
        joined = above and one_look(above.row, row)
        if above and joined:
            above.row, above.rows = joined, above.rows + 1
            return
        self._put_above()
        self._above = _KeyedRows(line, row)

    def _put_above(self) -> None:
        """Put the rows of one key with the others, once no further one can belong to them."""
        if self._above is not None:
            self._put(self._above)
            self._above = None

    def _put(self, rows: "_KeyedRows") -> None:
        line, row = rows.line, rows.row
        plant_id, day, instant, seconds, checked, note, key = row
        waiting = self._waiting
        in_round = waiting.round_number(day, checked.who)
        looks = []
        for zone, part in checked.zones:
            # the same arithmetic as `share_seconds`
            share = seconds * part / checked.whole_seconds
            look = waiting.add_look(
                in_round,
                line,
                plant_id,
                zone,
                int(instant),
                round(share * 1000),
                checked.outcome,
                checked.unpotted,
            )
            looks.append(look)
        for tally in checked.tallies:
            waiting.add_tally(looks[0], round(instant * 1000), *tally)
        if note:
            waiting.add_notes(looks, note)
        if key:
            waiting.add_key(line, key, _asked(row), rows.rows)

    def all_taken(self) -> None:
        """Mark the rows that the logbook holds already."""
        self._put_above()
        self._waiting.flush()
        self._entries_before = self._file.last_number()
        self._known = mark_known(self._file, self._waiting)

    def write(self, troubles: Troubles) -> int:
        """Write the looks the logbook does not hold yet; how many rows. InFile for faults."""
        if self._file.last_number() != self._entries_before:
            # somebody made an entry meanwhile, so that rows may now be known
            self.all_taken()
        for line, key in self._waiting.reused_keys():
            troubles.add(line, BadInput("key-reused", field="key", key=key))
            if troubles.enough:
                break
        troubles.raise_any()
        if self._known < self._rows:
            self._waiting.write()
        desk.keep_answers(self._file, map(_answer, self._waiting.written_with_keys()))
        return self._rows - self._known

    def close(self) -> None:
        """Let go of the looks that wait."""
        self._waiting.close()


@dataclass(slots=True)
class _KeyedRows:
    """Rows that tell of one look, from `line` on."""

    line: int
    row: LookRow
    rows: int = 1


def _asked(row: LookRow) -> str:
    """The digest of what a row says: two rows of one key are to say the same."""
    plant_id, day, instant, seconds, checked, note, _ = row
    counts = sorted((kind, stage or "", *rest) for kind, stage, *rest in checked.tallies)
    look = {
        "plant_id": plant_id,
        "zone": WHOLE if checked.whole_plant else checked.zones[0][0],
        "day": day.isoformat(),
        "at_seconds": int(instant),
        "looked_ms": round(seconds * 1000),
        "counts": counts,
        "unpotted": checked.unpotted,
        "outcome": checked.outcome,
        "who": checked.who,
        "note": note or None,
    }
    return digest_of({"command": "import", "look": look})


def _answer(row: WrittenRow) -> tuple[str, str, str]:
    """What is kept under the key of a row, as for a look that is entered."""
    written = LookWritten(
        tuple(str(EntryName("look", row.day, row.plant_id, look)) for look in row.look_ids),
        tuple(str(EntryName("tally", row.day, row.plant_id, tally)) for tally in row.tally_ids),
        row.found,
    )
    return row.key, row.asked, json.dumps(asdict(written))


def mark_known(file: LogbookFile, waiting: WaitingLooks) -> int:
    """Mark the rows the logbook holds, instead of what was marked before; how many those are.

    A row without key is known when as many identical ones are held as were met above it, less
    those that rows with a known key stand for. Identical looks are of one person and day, so that
    one day's looks are in memory at a time.
    """
    waiting.forget_known()
    known = 0
    for of in waiting.rounds_to_compare():
        held = Counter(held_looks(file, of.day, of.who))
        if held:
            for row in waiting.rows_of_held_keys(of):
                held.subtract(row.looks)
            rows = list(_known(waiting.rows_without_key(of), held))
            waiting.mark_known(rows)
            known += len(rows)
    return known + waiting.mark_known_keys()


def _known(rows: Iterable[Compared], held: Counter[LookContent]) -> Iterator[tuple[int, ...]]:
    """The numbers of the looks of each row that is held; `held` is counted down."""
    for numbers, looks in rows:
        if all(held[look] > 0 for look in looks):
            held.subtract(looks)
            yield numbers

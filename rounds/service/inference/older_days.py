"""The past of each plant: the kept one, brought up to a day by the looks since.

Only the days since are read. A plant of which something older was corrected goes on from a past
kept before that, and is read alone.
"""

from collections.abc import Callable, Generator, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from rounds.core.body import Body
from rounds.core.collection import Plant
from rounds.core.lineage import lived
from rounds.core.log.entries import PlantEntries
from rounds.core.log.lived import ancestors, lived_log, own_ids
from rounds.core.quarantine.past import Past, Reader, gone_on, nothing_before
from rounds.service.inference.kept import NotKept, digest, plain
from rounds.service.inference.past_text import PAST_VERSION, past_of, text_of
from rounds.service.logbook.book import OF_BODY, Logbook
from rounds.store import log
from rounds.store.pasts import PastRow, keep_pasts, pasts_before

DAY = timedelta(days=1)
DAYS_AT_ONCE = 14
PLANT_DAYS_AT_ONCE = 7000
"""most days whose entries are held in memory together, and most times plants"""

AT_A_KEY = 3000
"""most days to be read, times plants, where somebody waits who may not work anything out"""

KEPT_AFTER_DAYS = 180
KEPT_AFTER_PLANT_DAYS = 40_000
"""days read of all plants after which what was read is kept, so that who leaves goes on there; and
days times plants, which are some ten seconds of a core, measured"""

LATELY_DAYS = 14
FEW = 4
"""most plants far behind that are read one by one; more are read with all others"""

AGAIN_AFTER_DAYS = 7
"""days after which a past is kept anew though nothing was entered, to shorten later reading"""

Plants = Mapping[int, Plant]
Steps = Generator[None, None, dict[int, Past]]


@dataclass(frozen=True, slots=True)
class _Behind:
    """A plant whose past ends before the day wanted."""

    plant: Plant
    lived: Plant
    reader: Reader
    key: str
    past: Past
    row: PastRow | None
    """the kept past it goes on from, if any"""


class OlderDays:
    """The past of plants before one day."""

    def __init__(self, logbook: Logbook, plants: Plants, on: date) -> None:
        """
        Args:
            logbook: the opened one.
            plants: all plants by id; those of a division lead to their parents.
            on: the day; everything before it is past.
        """
        self._logbook = logbook
        self._plants = plants
        self._until = on - DAY
        parameters = logbook.parameters_on(on)
        share = parameters.planning.claims.gone_over_share
        # how complete a day was rests on the weights of zones too
        read_with = plain(parameters.inspection), share, plain(parameters.forms)
        self._inspection_key = digest(PAST_VERSION, read_with)
        self._read_at = logbook.file.changes()

    def of(self, wanted: Sequence[Plant]) -> Steps:
        """The past of some plants, by id, yielding often enough that no key press waits.

        Raises:
            NotKept: so much is to be read that it takes a while, and nothing may be worked out.
        """
        self._read_at = self._logbook.file.changes()
        one = wanted[0].id if len(wanted) == 1 else None
        rows = pasts_before(self._logbook.file, self._until + DAY, one)
        found = [self._known(plant, rows) for plant in wanted]
        behind = [known for known in found if known.past.until < self._until]
        if not self._logbook.works_out and sum(map(self._days_behind, behind)) > AT_A_KEY:
            raise NotKept("past")
        far = [known for known in behind if self._days_behind(known) > LATELY_DAYS]
        alone = far if len(far) <= FEW else []
        brought = {known.plant.id: self._read_alone(known) for known in alone}
        together = [known for known in behind if known.plant.id not in brought]
        brought |= yield from self._read_together(together)
        self._keep(behind, brought)
        return {known.plant.id: brought.get(known.plant.id, known.past) for known in found}

    def _days_behind(self, known: _Behind) -> int:
        return (self._until - known.past.until).days

    def _known(self, plant: Plant, rows: Mapping[int, Sequence[PastRow]]) -> _Behind:
        whole = lived(plant, self._plants)
        reader = reader_of(self._logbook, plant, whole, self._until + DAY)
        key = self._key(plant, whole, reader)
        for row in rows.get(plant.id, ()):
            if row.key == key:
                past = past_of(row.result, row.until)
                return _Behind(plant, whole, reader, key, past, row)
        first = min(whole.first_day, self._until + DAY)
        return _Behind(plant, whole, reader, key, nothing_before(first), None)

    def _key(self, plant: Plant, whole: Plant, reader: Reader) -> str:
        """Digest of all that a past is made with besides the looks."""
        changes = {f.from_day for f in whole.facts if f.what in OF_BODY}
        days = sorted({whole.first_day, *(day for day in changes if day <= self._until)})
        bodies = [(day, _said_of_body(reader.body_on, day)) for day in days]
        parents = [parent.id for parent in ancestors(plant, self._plants)]
        later = {pest: day for pest, day in reader.pests.items() if day > whole.first_day}
        pests = *reader.pests, *later.items()
        return digest(self._inspection_key, bodies, pests, parents, whole.first_day)

    def _read_alone(self, known: _Behind) -> Past:
        first = known.past.until + DAY
        kin = (known.plant, *ancestors(known.plant, self._plants))
        file = self._logbook.file
        entries = {k.id: log.entries_of(file, k.id, first, self._until) for k in kin}
        return self._gone_on(known, known.past, entries, self._until)

    def _read_together(self, behind: Sequence[_Behind]) -> Steps:
        pasts = {known.plant.id: known.past for known in behind}
        if not behind:
            return pasts
        first = kept_to = min(past.until for past in pasts.values()) + DAY
        at_once = min(DAYS_AT_ONCE, max(1, PLANT_DAYS_AT_ONCE // len(behind)))
        # of many plants keeping takes a while too: not after each few days
        kept_after = max(DAYS_AT_ONCE, KEPT_AFTER_PLANT_DAYS // len(behind))
        kept_after = min(KEPT_AFTER_DAYS, kept_after)
        while first <= self._until:
            last = min(self._until, first + (at_once - 1) * DAY)
            entries = log.entries_by_plant(self._logbook.file, first, last)
            for known in behind:
                past = pasts[known.plant.id]
                if past.until < last:
                    pasts[known.plant.id] = self._gone_on(known, past, entries, last)
            first = last + DAY
            if (first - kept_to).days >= kept_after:
                kept_to = first
                self._keep(behind, pasts)
            yield
        return pasts

    def _gone_on(
        self, known: _Behind, past: Past, entries: Mapping[int, PlantEntries], until: date
    ) -> Past:
        looks = lived_log(known.plant, self._plants, entries, until)
        new = [look for look in looks if look.day > past.until]
        return gone_on(past, new, until, telling_own(known.reader, known.plant, entries))

    def _keep(self, behind: Iterable[_Behind], brought: Mapping[int, Past]) -> None:
        if not self._logbook.works_out:
            return
        rows = []
        for known in behind:
            past, row = brought[known.plant.id], known.row
            is_old = row is None or (past.until - row.until).days >= AGAIN_AFTER_DAYS
            is_newer = past is not known.past
            if is_newer and (is_old or past.key != known.past.key):
                kin = (known.plant, *ancestors(known.plant, self._plants))
                sources = tuple(plant.id for plant in kin)
                rows.append(PastRow(known.plant.id, past.until, known.key, text_of(past), sources))
        if rows:
            self._logbook.keep(lambda: self._write(rows))

    def _write(self, rows: Sequence[PastRow]) -> None:
        file = self._logbook.file
        if keep_pasts(file, rows, self._read_at):
            # what others wrote meanwhile still counts against what is kept next
            self._read_at = file.changes()[0], self._read_at[1]


def reader_of(logbook: Logbook, plant: Plant, whole: Plant, on: date) -> Reader:
    """What the looks of a plant are read with; `whole` is the plant with its ancestors' life."""
    parameters = logbook.parameters_on(on)
    return Reader(
        logbook.body_on(whole, on), whole.pests_followed(on, parameters.default_pest),
        parameters.inspection, parameters.planning.claims.gone_over_share,
    )  # fmt: skip


def telling_own(reader: Reader, plant: Plant, entries: Mapping[int, PlantEntries]) -> Reader:
    """The reader with `is_own` set by the ids of the looks entered at the plant itself."""
    own = own_ids(entries.get(plant.id, PlantEntries()))
    return replace(reader, is_own=lambda look: look.id in own)


def _said_of_body(body_on: Callable[[date], Body], day: date) -> tuple[str, str, bool]:
    body = body_on(day)
    return body.form, body.size, body.clear_pot

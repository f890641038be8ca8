"""A course of things that happen to a few plants, drawn from a seed: for what is kept of them."""

from collections.abc import Callable, Iterable
from datetime import date, timedelta
from pathlib import Path
from random import Random

from rounds.clock import SetClock
from rounds.core.log.effective import EffectiveLook
from rounds.errors import BadInput, Refused
from rounds.service.collection.apart import put_apart
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    move_plant,
    plant_gone,
    put_place,
    put_weather,
)
from rounds.service.collection.release import end_quarantine
from rounds.service.entries.corrections import (
    reopen_doubt,
    replace_look,
    replace_tally,
    settle,
    withdraw,
)
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import records
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment, now
from rounds.service.plant.record import PlantRecord
from rounds.store import desk

ZONES = ("axils", "undersides", "sheaths", "medium", "roots")
PLACES = ("porch shelf", "seedling bench", "stair foot")


class Course:
    """A logbook in which one thing after another happens; days go by on its clock."""

    def __init__(self, path: Path, clock: SetClock, seed: int) -> None:
        self.path = path
        self.clock = clock
        self.draw = Random(seed)
        self.logbook = self._opened()
        self.happened: list[str] = []
        room = PlaceDetails(room="lamp room", bench="south")
        put_place(self.logbook, self._now, PLACES[0], room)
        put_place(self.logbook, self._now, PLACES[1], PlaceDetails(room="lamp room"))
        put_place(self.logbook, self._now, PLACES[2], PlaceDetails(apart=True, usual_c=20))
        self._add("G02", already_here=True)
        self._add("G05", already_here=True, touches=("G02",))
        self._add("S03", place=PLACES[2], arrived=self._now.day, source="fair")

    @property
    def _now(self) -> Moment:
        return now(self.clock)

    @property
    def today(self) -> date:
        return self.clock.today()

    def _add(self, code: str, **said: object) -> None:
        details: dict[str, object] = {"name": code, "size": "small", "place": PLACES[0], **said}
        add_plant(self.logbook, self._now, code, PlantDetails(**details))  # type: ignore[arg-type]

    def step(self) -> None:
        """One more thing happens; what the service refuses does not."""
        happens = self.draw.choice(HAPPENINGS)
        try:
            happens(self)
        except (BadInput, Refused):
            self.happened.append(f"{happens.__name__} refused")
        else:
            self.happened.append(happens.__name__)

    def restart(self) -> None:
        """The program is left and started again."""
        self.logbook.close()
        self.logbook = self._opened()

    def _opened(self) -> Logbook:
        opened = Logbook(self.path, self.clock)
        # no power fails in here: hundreds of small writes need not wait for the disk
        opened.file.connection.execute("PRAGMA synchronous = OFF")
        return opened

    # what may happen

    def a_day_goes_by(self) -> None:
        self.clock.instant += timedelta(self.draw.randint(1, 2))

    def a_look(self) -> None:
        zones = self.draw.sample(ZONES[:4], self.draw.randint(0, 2))
        self._look(zones, self.draw.uniform(5, 80))

    def a_find(self) -> None:
        kind = self.draw.choice(["removed", "removed", "killed", "left"])
        self._look([self.draw.choice(ZONES[:3])], 30, {kind: self.draw.randint(1, 2)})

    def a_doubt(self) -> None:
        self._look([self.draw.choice(ZONES[:2])], 30, {"doubtful": 1})

    def a_look_at_the_roots(self) -> None:
        entered = LookEntered(("roots",), 120, unpotted=True)
        enter_look(self.logbook, self._now, self._code(), entered)

    def _look(
        self, zones: Iterable[str], seconds: float, counts: dict[str, int] | None = None
    ) -> None:
        stage = self.draw.choice([None, None, "young", "adult", "egg-mass"]) if counts else None
        entered = LookEntered(tuple(zones), seconds, counts or {}, stage)
        day = self.today - timedelta(self.draw.choice([0, 0, 0, 1, 3]))
        moment = Moment(day, self.clock.now())
        enter_look(self.logbook, moment, self._code(), entered)

    def a_withdrawal(self) -> None:
        plant_id, look = self._a_standing_look()
        withdraw(self.logbook, self._now, str(EntryName("look", look.day, plant_id, look.id)))

    def a_replacement(self) -> None:
        plant_id, look = self._a_standing_look()
        name = str(EntryName("look", look.day, plant_id, look.id))
        zone, seconds = self.draw.choice(ZONES), self.draw.uniform(0, 50)
        replace_look(self.logbook, self._now, name, zone=zone, seconds=seconds)

    def another_count(self) -> None:
        name = self._a_tally()
        kind = self.draw.choice(["removed", "killed", "left", "doubtful"])
        count, stage = self.draw.randint(1, 2), self.draw.choice([None, "young"])
        replace_tally(self.logbook, self._now, name, kind=kind, count=count, stage=stage)

    def a_count_withdrawn(self) -> None:
        withdraw(self.logbook, self._now, self._a_tally())

    def a_verdict(self) -> None:
        verdict = self.draw.choice(["alive", "remains", "not-an-insect"])
        settle(self.logbook, self._now, self._a_tally(doubtful=True), verdict)

    def a_doubt_reopened(self) -> None:
        reopen_doubt(self.logbook, self._now, self._a_tally(doubtful=True))

    def a_move(self) -> None:
        apart = self.draw.random() < 0.2
        move_plant(self.logbook, self._now, self._code(), self.draw.choice(PLACES), apart=apart)

    def put_apart(self) -> None:
        put_apart(self.logbook, self._now, self._code(), cannot_move=self.draw.random() < 0.5)

    def released(self) -> None:
        end_quarantine(self.logbook, self._now, self._code(), "the stair is being painted")

    def weather(self) -> None:
        day = self.today - timedelta(self.draw.randint(0, 6))
        low = self.draw.uniform(8, 22)
        place, high = self.draw.choice(PLACES), low + self.draw.uniform(0, 10)
        put_weather(self.logbook, self._now, place, day, low, high, change=True)

    def first_weather(self) -> None:
        day = self.today - timedelta(self.draw.randint(0, 12))
        put_weather(self.logbook, self._now, self.draw.choice(PLACES), day, 20, 26)

    def said_of_a_place(self) -> None:
        bench = self.draw.choice(["south", "north"])
        details = PlaceDetails(usual_c=self.draw.uniform(14, 24), bench=bench)
        put_place(self.logbook, self._now, self.draw.choice(PLACES), details, change=True)

    def said_of_a_plant(self) -> None:
        size = self.draw.choice(["small", "medium"])
        others = [code for code in self._codes() if code != "G02"]
        details = PlantDetails(
            size=size, form=self.draw.choice(["leafy-plant", "fern"]),
            value=self.draw.choice([1.0, 3.0]), touches=(self.draw.choice(others),),
        )  # fmt: skip
        add_plant(self.logbook, self._now, "G02", details, change=True)

    def a_mate_arrives(self) -> None:
        code = f"S{len(self.logbook.collection().plants):02}"
        if len(self.logbook.collection().plants) < 4:
            self._add(code, place=PLACES[2], arrived=self.today, source="fair")

    def one_is_gone(self) -> None:
        if len(self._codes()) > 3:
            plant_gone(self.logbook, self._now, self._code(), "discarded")

    def other_rules(self) -> None:
        rules = self.draw.choice(["lenient", "lenient", "default", "default", "strict"])
        desk.put_setting(self.logbook.file, "rules", rules)

    # of what it happens

    def _codes(self) -> list[str]:
        return [plant.code for plant in self.logbook.collection().here(self.today)]

    def _code(self) -> str:
        return self.draw.choice(self._codes())

    def _looks(self) -> list[tuple[int, EffectiveLook]]:
        return [(r.plant.id, k) for r in records(self.logbook, self.today) for k in r.log]

    def _a_standing_look(self) -> tuple[int, EffectiveLook]:
        looks = self._looks()
        if not looks:
            raise Refused("nothing-planned")
        return self.draw.choice(looks)

    def _a_tally(self, *, doubtful: bool = False) -> str:
        found = [
            str(EntryName("tally", look.day, plant_id, tally.id))
            for plant_id, look in self._looks()
            for tally in look.tallies
            if tally.kind == "doubtful" or not doubtful
        ]
        if not found:
            raise Refused("nothing-planned")
        return self.draw.choice(found)


HAPPENINGS: tuple[Callable[[Course], None], ...] = (
    Course.a_day_goes_by, Course.a_day_goes_by, Course.a_day_goes_by,
    Course.a_look, Course.a_look, Course.a_look, Course.a_find, Course.a_find,
    Course.a_doubt, Course.a_look_at_the_roots, Course.a_withdrawal, Course.a_replacement,
    Course.another_count, Course.a_count_withdrawn, Course.a_verdict, Course.a_doubt_reopened,
    Course.a_move, Course.put_apart, Course.released, Course.weather, Course.first_weather,
    Course.said_of_a_place, Course.said_of_a_plant, Course.a_mate_arrives, Course.one_is_gone,
    Course.other_rules,
)  # fmt: skip


def answers(logbook: Logbook, on: date) -> dict[str, object]:
    """All that is worked out of every plant: what is kept, and what rests on it."""
    return {r.plant.code: answer(r) for r in records(logbook, on)}


def answer(found: PlantRecord) -> tuple[object, ...]:
    """The same of one plant."""
    likely = found.likely
    return (
        likely.chance_clean, likely.method, likely.mean.tolist(), likely.band, likely.left,
        likely.risk, found.forecast,
    )  # fmt: skip

"""The first start: seven lines, the one being typed with what was entered under its label."""

from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.collection import Plant
from rounds.service.collection.first_start import STEPS, FirstStart, Step, start_of
from rounds.service.entries.removal_line import Removal
from rounds.service.logbook.book import DEFAULT_FORM, DEFAULT_SIZE
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, MIDDLE, THIRD, KeyHint, Page
from rounds.tui.pages.parts import MESSAGE_ROWS, hint
from rounds.tui.pages.told import ListLine, Paragraph, Said, Told
from rounds.words.forms import codes_text, number, temperature, time_of_day

NARROW_KEY = 19
MOST_SAID = 6
"""Rows for what is said and what may be typed, on a page with room."""


@dataclass(frozen=True, slots=True)
class FirstStartView:
    """What the page knows. `usual_c` is what is assumed where nothing was entered, degC."""

    start: FirstStart
    usual_c: float
    message: str
    asks_place_apart: bool
    """a quarantine place is asked for, for plants just named"""
    is_wide: bool
    is_roomy: bool
    room: int
    """rows for the lines"""

    @property
    def asks_start_of(self) -> Plant | None:
        """The plant in quarantine of which it is asked whether it is new, or has insects."""
        asks = self.start.step == "apart" and not self.asks_place_apart
        return self.start.unsaid if asks else None

    @property
    def lines(self) -> list[ListLine]:
        """Every line with its value; of the one being typed the entries, and last what is typed."""
        labels = "label" if self.is_wide else "label-narrow"
        found: list[ListLine] = []
        for step in STEPS[:-1]:
            found += _lines_of(self, step, words.say(f"first_start.{labels}.{step}"))
        return found

    @property
    def at(self) -> int | None:
        """The line that is typed into."""
        past = STEPS.index(self.start.step)
        return None if self.start.step == "end" else past + len(_shown(self))


def _word(view: FirstStartView, code: str, /, **values: object) -> str:
    """A word, or its short one where room is short and there is one."""
    return words.say(f"first_start.{code}{'' if view.is_wide else '-narrow'}", **values)


def first_start_told(view: FirstStartView) -> Told:
    """What the first start says."""
    is_asked = view.asks_place_apart or view.asks_start_of is not None
    lead = (words.say("first_start.lead"), words.say("first_start.lead-more"))
    return Told(
        title=_word(view, "title"),
        clock=words.say("first_start.saved"),
        above=[Paragraph(text, may_go=True) for text in lead],
        lines=view.lines,
        # where there is no room for both, a question comes before what was said
        message=view.message if view.is_roomy or not is_asked else "",
        otherwise=[_hint(view)],
        otherwise_role="ask" if is_asked else "quiet",
        most=MOST_SAID if view.is_roomy else MESSAGE_ROWS,
    )


def _lines_of(view: FirstStartView, step: Step, label: str) -> list[ListLine]:
    if step != view.start.step:
        return [ListLine({"label": label, "value": _summary(view, step)})]
    first: Said = (label, "strong")
    return [
        ListLine({"label": "" if row else first, "value": value})
        for row, value in enumerate([*_shown(view), ""])
    ]


def _shown(view: FirstStartView) -> list[str]:
    """The newest entries of the line being typed, and how many stand above them."""
    entered = _entered(view, view.start.step)
    room = view.room - (len(STEPS) - 1)
    if len(entered) <= room:
        return entered
    if room < 1:
        return []
    above = len(entered) - room + 1
    return [words.say("first_start.value.above", count=above), *entered[above:]]


def _entered(view: FirstStartView, step: Step) -> list[str]:
    """What was entered under a line that takes several."""
    start = view.start
    if step == "place":
        return [place.name for place in start.places if place != start.place_apart]
    if step == "plants":
        return [_with_body(plant) for plant in start.plants]
    if step == "apart":
        return [_with_start(plant) for plant in start.apart]
    return [_removed(view, of) for of in start.removals] if step == "removed" else []


def _summary(view: FirstStartView, step: Step) -> Said:
    """A line that is not being typed: what it holds, or what belongs there."""
    start = view.start
    is_past = STEPS.index(step) < STEPS.index(start.step)
    if step == "minutes":
        return words.say("first_start.before.minutes", minutes=number(start.minutes)), "ink"
    if step == "warmth":
        if start.usual_c is not None:
            return temperature(start.usual_c), "ink"
        return words.say("first_start.before.warmth", usual=temperature(view.usual_c)), "ink"
    if step == "size" and start.plants:
        size = start.size
        code = f"desk_forms.sizes.{size}" if size else "first_start.value.sizes"
        return words.say(code), "ink"
    if step == "plants" and start.plants:
        names = ", ".join(_name(plant) for plant in start.plants)
        return words.say("first_start.value.plants", count=len(start.plants), names=names), "ink"
    if step == "apart" and start.apart:
        return _apart(start), "ink"
    entered = _entered(view, step)
    if entered:
        return ", ".join(entered), "ink"
    if is_past:
        return words.say("first_start.value.none"), "quiet"
    short = None if view.is_wide else words.section("first_start.before-narrow").get(step)
    return short or words.say(f"first_start.before.{step}"), "quiet"


def _apart(start: FirstStart) -> str:
    codes = codes_text(plant.code for plant in start.apart)
    if start.place_apart is None:
        return codes
    return words.say("first_start.value.apart-at", codes=codes, place=start.place_apart.name)


def _removed(view: FirstStartView, removal: Removal) -> str:
    zone = words.say(f"zones.{removal.zone}.name")
    said = {"count": removal.count, "zone": zone, "code": removal.plant.code}
    return _word(view, "value.removed", **said, time=time_of_day(removal.at))


def _with_body(plant: Plant) -> str:
    """Code and name, and what is not as it is supposed of a plant: its form, its size."""
    form, size = plant.fact("form", date.max), plant.fact("size", date.max)
    detail = [words.say(f"desk_forms.growth-forms.{form}")] if form != DEFAULT_FORM else []
    detail += [words.say(f"desk_forms.sizes.{size}")] if size != DEFAULT_SIZE else []
    return ", ".join([f"{plant.code}  {_name(plant)}", *detail])


def _with_start(plant: Plant) -> str:
    """Code and name, and whether it is new or has insects."""
    start = start_of(plant)
    if start is None:
        return f"{plant.code}  {_name(plant)}"
    said = {"code": plant.code, "name": _name(plant)}
    return words.say(
        "first_start.value.start", start=words.say(f"first_start.starts.{start}"), **said
    )


def _name(plant: Plant) -> str:
    return plant.fact("name", date.max) or plant.code


def _hint(view: FirstStartView) -> str:
    """What may be typed into the line at hand."""
    step = view.start.step
    if step == "end":
        return _word(view, "said.end")
    asked = view.asks_start_of
    # removals give a code as an example, and they come after the plants
    plants = [asked] if asked else view.start.plants
    what = "place-apart" if view.asks_place_apart else "start" if asked else step
    text = words.section(f"first_start.hint{'' if view.is_wide else '-narrow'}")[what]
    return text.format(
        code="".join(plant.code for plant in plants[:1]),
        name="".join(_name(plant) for plant in plants[:1]),
        place=view.start.place.name if view.start.place else "",
        usual=temperature(view.usual_c),
        minutes=number(view.start.minutes),
    )


def put_first_start_keys(page: Page, view: FirstStartView) -> None:
    """The keys, on the last two rows."""
    columns = (FIRST, MIDDLE, THIRD) if view.is_wide else (1, NARROW_KEY)
    out = KeyHint("ctrl+q", words.say("screens.keys.leave"))
    if view.start.step == "end":
        page.put_keys(page.height - 2, [hint("leave", "next-today")], columns)
        begin = KeyHint(key_of("begin"), _word(view, "keys.begin"))
        page.put_keys(page.height - 1, [begin], columns)
        return
    back = KeyHint(words.say("first_start.keys.arrow"), _word(view, "keys.line-back"), ("up",))
    page.put_keys(page.height - 2, [out, back], columns)
    take = KeyHint(key_of("begin"), _word(view, "keys.take"))
    # an empty line is no key: it stands as plain text beside the key it goes with
    page.put_keys(page.height - 1, [take], columns)
    if view.asks_start_of is None:
        page.put(page.height - 1, columns[1], words.say("first_start.keys.go-on"))

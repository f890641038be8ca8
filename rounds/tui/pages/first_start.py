"""The first start: seven lines, the one being typed with what was entered under its label."""

from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.collection import Plant
from rounds.service.collection.first_start import STEPS, FirstStart, Step, start_of
from rounds.service.entries.removal_line import Removal
from rounds.service.logbook.book import DEFAULT_FORM, DEFAULT_SIZE
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, LEAST_HEIGHT, MIDDLE, THIRD, KeyHint, Page, Role, wrap
from rounds.tui.pages.asked import sides
from rounds.tui.pages.parts import ROOMY, desk_row, heading, hint
from rounds.words.forms import codes_text, number, temperature, time_of_day

NARROW_VALUE = 17
NARROW_KEY = 19
LEAST_FOOT, MOST_FOOT = 2, 6
"""Rows for what is said and what may be typed, on a low page and on one with room."""


@dataclass(frozen=True, slots=True)
class FirstStartView:
    """What the page knows. `usual_c` is what is assumed where nothing was entered, degC."""

    start: FirstStart
    usual_c: float
    typed: str
    message: str
    asks_place_apart: bool
    """a quarantine place is asked for, for plants just named"""

    @property
    def asks_start_of(self) -> Plant | None:
        """The plant in quarantine of which it is asked whether it is new, or has insects."""
        asks = self.start.step == "apart" and not self.asks_place_apart
        return self.start.unsaid if asks else None


def first_start_page(view: FirstStartView, width: int, height: int) -> Page:
    """The lines in the room there is; the one being typed is always in sight."""
    page = Page(width, height)
    heading(page, _word(page, "title"), "", words.say("first_start.saved"))
    top = _lead(page)
    end = _foot(page, view, top + len(STEPS) - 1)
    _lines(page, view, top, end)
    _keys(page, view)
    return page


def _word(page: Page, code: str) -> str:
    """A word, or its short one where room is short and there is one."""
    return words.say(f"first_start.{code}{'' if page.is_wide else '-narrow'}")


def _lead(page: Page) -> int:
    """What this is; the row of the first line."""
    if page.height < ROOMY:
        # on the lowest page the lines and what is said under them need every row
        return 1 if page.height < LEAST_HEIGHT + 2 else 2
    edge, until = sides(page)
    row = 2 + page.put_wrapped(2, edge, words.say("first_start.lead"), until=until)
    row += page.put_wrapped(row, edge, words.say("first_start.lead-more"), until=until)
    return row + 1


def _lines(page: Page, view: FirstStartView, top: int, end: int) -> None:
    """Every line with its value; under the one being typed as many entries as there is room for."""
    mark = FIRST if page.is_wide else 1
    value_at = MIDDLE if page.is_wide else NARROW_VALUE
    until = sides(page)[1]
    labels = "label" if page.is_wide else "label-narrow"
    room = end - top - (1 if page.height >= ROOMY else 0) - (len(STEPS) - 1)
    row = top
    for step in STEPS[:-1]:
        is_here = step == view.start.step
        label = words.say(f"first_start.{labels}.{step}")
        page.put(row, mark + 2, label, "strong" if is_here else "ink", until=value_at - 3)
        if not is_here:
            text, role = _summary(view, step, is_narrow=not page.is_wide)
            page.put(row, value_at, text, role, until=until)
            row += 1
            continue
        for text in _in_room(_entered(view.start, step), room):
            page.put(row, value_at, text, until=until)
            row += 1
        page.put(row, value_at - 2, ">", "here")
        page.put_typed(row, value_at, view.typed, until=until)
        row += 1


def _in_room(entered: list[str], room: int) -> list[str]:
    """The newest entries, and how many stand above them."""
    if len(entered) <= room:
        return entered
    if room < 1:
        return []
    above = len(entered) - room + 1
    return [words.say("first_start.value.above", count=above), *entered[above:]]


def _entered(start: FirstStart, step: Step) -> list[str]:
    """What was entered under a line that takes several."""
    if step == "place":
        return [place.name for place in start.places if place != start.place_apart]
    if step == "plants":
        return [_with_body(plant) for plant in start.plants]
    if step == "apart":
        return [_with_start(plant) for plant in start.apart]
    return [_removed(removal) for removal in start.removals] if step == "removed" else []


def _summary(view: FirstStartView, step: Step, *, is_narrow: bool) -> tuple[str, Role]:
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
    entered = _entered(start, step)
    if entered:
        return ", ".join(entered), "ink"
    if is_past:
        return words.say("first_start.value.none"), "quiet"
    short = words.section("first_start.before-narrow").get(step) if is_narrow else None
    return short or words.say(f"first_start.before.{step}"), "quiet"


def _apart(start: FirstStart) -> str:
    codes = codes_text(plant.code for plant in start.apart)
    if start.place_apart is None:
        return codes
    return words.say("first_start.value.apart-at", codes=codes, place=start.place_apart.name)


def _removed(removal: Removal) -> str:
    zone = words.say(f"zones.{removal.zone}.name")
    said = {"count": removal.count, "zone": zone, "code": removal.plant.code}
    return words.say("first_start.value.removed", **said, time=time_of_day(removal.at))


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


def _foot(page: Page, view: FirstStartView, free_from: int) -> int:
    """What just happened, and what may be typed now; the row they begin on, below the lines."""
    edge, until = sides(page)
    said: list[tuple[str, Role]] = [(line, "ink") for line in wrap(view.message, until - edge)]
    roomy = page.height >= ROOMY
    is_asked = view.asks_place_apart or view.asks_start_of is not None
    if roomy or is_asked or not view.message:
        role: Role = "ask" if is_asked else "quiet"
        hints: list[tuple[str, Role]] = [(t, role) for t in wrap(_hint(page, view), until - edge)]
        # where there is no room for both, a question comes before what was said
        said = [*hints, *said] if is_asked and not roomy else [*said, *hints]
    bottom = page.height - (4 if roomy else 3)
    most = LEAST_FOOT if not roomy else min(MOST_FOOT, bottom + 1 - free_from)
    shown = said[:most]
    top = min(desk_row(page), bottom + 1 - len(shown))
    for row, (text, role) in enumerate(shown, top):
        page.put(row, edge, text, role, until=until)
    return top


def _hint(page: Page, view: FirstStartView) -> str:
    """What may be typed into the line at hand."""
    step = view.start.step
    if step == "end":
        return _word(page, "said.end")
    asked = view.asks_start_of
    # removals give a code as an example, and they come after the plants
    plants = [asked] if asked else view.start.plants
    what = "place-apart" if view.asks_place_apart else "start" if asked else step
    is_short = not page.is_wide
    text = words.section("first_start.hint-narrow" if is_short else "first_start.hint")[what]
    return text.format(
        code="".join(plant.code for plant in plants[:1]),
        name="".join(_name(plant) for plant in plants[:1]),
        place=view.start.place.name if view.start.place else "",
        usual=temperature(view.usual_c),
        minutes=number(view.start.minutes),
    )


def _keys(page: Page, view: FirstStartView) -> None:
    columns = (FIRST, MIDDLE, THIRD) if page.is_wide else (1, NARROW_KEY)
    out = KeyHint("ctrl+q", words.say("screens.keys.leave"))
    if view.start.step == "end":
        page.put_keys(page.height - 2, [hint("leave", "next-today")], columns)
        begin = KeyHint(key_of("begin"), _word(page, "keys.begin"))
        page.put_keys(page.height - 1, [begin], columns)
        return
    back = KeyHint(words.say("first_start.keys.arrow"), _word(page, "keys.line-back"), ("up",))
    page.put_keys(page.height - 2, [out, back], columns)
    take = KeyHint(key_of("begin"), _word(page, "keys.take"))
    # an empty line is no key: it stands as plain text beside the key it goes with
    page.put_keys(page.height - 1, [take], columns)
    if view.asks_start_of is None:
        page.put(page.height - 1, columns[1], words.say("first_start.keys.go-on"))

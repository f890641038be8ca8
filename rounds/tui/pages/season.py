"""What the grower's own finds say: numbered lines, each beside what is assumed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.service.learned.season import (
    ARRIVALS,
    ZONES,
    LearnedSource,
    LearnedValue,
    Season,
    group_of,
    is_learned,
)
from rounds.service.learned.text import (
    about_season,
    beside_learned,
    finds_text,
    name_of_learned,
    said_of_100,
)
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Page
from rounds.tui.pages.asked import put_foot, put_list_keys, sides
from rounds.tui.pages.history import put_numbers
from rounds.tui.pages.parts import ROOMY, heading
from rounds.words.forms import calendar_day, day_month

SAID, ASSUMED = 34, 58
"""Where what was learned and what is assumed begin on a wide page."""
MOST_SAID = 5


@dataclass(frozen=True, slots=True)
class SeasonView:
    """What the page knows; no `season` where it is still worked out."""

    season: Season | None
    mark: int
    message: str
    on: date

    @property
    def lines(self) -> Sequence[LearnedValue | LearnedSource]:
        """The values that can be used, then the sources that are told only."""
        if self.season is None:
            return ()
        return (*self.season.of(ZONES), *self.season.of(ARRIVALS), *self.season.sources)


def season_page(view: SeasonView, width: int, height: int) -> Page:
    """The lines around the mark, and what the marked one means."""
    page = Page(width, height)
    heading(page, words.say("season.title"), "", calendar_day(view.on, view.on))
    edge, until = sides(page)
    roomy = page.height >= ROOMY
    if roomy:
        lead = "lead" if page.is_wide else "lead-narrow"
        page.put(2, edge, words.say(f"season.{lead}"), until=until)
    lines = view.lines
    if not lines:
        put_list_keys(page, None)
        put_foot(page, view.message, None)
        top = 4 if roomy else 2
        nothing = view.season and about_season(view.season)
        text = nothing or words.say("season.calculating")
        page.put_wrapped(top, edge, text, until=until, rows=6)
        return page
    marked = lines[view.mark]
    put_list_keys(page, _undo(marked), opens=_use(marked))
    end = put_foot(page, view.message, None, _about(view, marked), most=MOST_SAID)
    room = put_numbers(page, view.mark, len(lines), 4 if roomy else 2, end)
    for row, line in enumerate(lines[room.first : room.first + room.rows], room.top):
        _line(page, row, room.edge, line)
    return page


def _line(page: Page, row: int, edge: int, line: LearnedValue | LearnedSource) -> None:
    if page.is_wide:
        said = said_of_100(line)
        page.put(row, edge, name_of_learned(line), until=SAID - 1)
        page.put(row, SAID, said, "strong", until=ASSUMED - 1)
        page.put(row, ASSUMED, beside_learned(line), "quiet", until=page.width)
        return
    said = said_of_100(line, "brief")
    page.put_right(row, page.width - 1, said, "strong")
    page.put(row, edge, name_of_learned(line), until=page.width - 2 - len(said))


def _about(view: SeasonView, line: LearnedValue | LearnedSource) -> str:
    if isinstance(line, LearnedSource):
        return words.say("season.about.source", infested=line.infested, plants=line.plants)
    season = view.season
    about = words.say(f"season.about.{group_of(line.row)}", plants=season.arrived if season else 0)
    change = line.row.change
    told = [f"{name_of_learned(line)}, {beside_learned(line)}.", about]
    if change is not None and is_learned(line.row):
        told.append(words.say("season.about.taken", day=day_month(change.day, view.on)))
    elif season is not None:
        told.insert(0, f"{finds_text(season)}.")
    return " ".join(told)


def _use(line: LearnedValue | LearnedSource) -> KeyHint | None:
    if isinstance(line, LearnedSource):
        return None
    return KeyHint(key_of("begin"), words.say("season.keys.take"))


def _undo(line: LearnedValue | LearnedSource) -> KeyHint | None:
    if isinstance(line, LearnedSource) or not is_learned(line.row):
        return None
    return KeyHint(key_of("take-back"), words.say("season.keys.revoke"))

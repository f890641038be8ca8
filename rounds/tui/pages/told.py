"""All that a list says, as one value; the stylesheet says where it stands."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar, overload

from rounds.service.plant.status import PlantStatus
from rounds.tui.forms.fields import Header
from rounds.tui.page import KeyHint, Role
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.parts import MESSAGE_ROWS

Said = tuple[str, Role]
"""A text, and its role."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Fitting:
    """What is said in so many columns as there are: whole, in fewer words, or not at all."""

    say: Callable[[int], str]
    role: Role = "ink"


@dataclass(frozen=True, slots=True)
class ListLine:
    """A line: the sign before it, and what it says in each column, by the column's name."""

    cells: Mapping[str, str | Said | Fitting]
    mark: Said = ("", "ink")
    number: str = ""
    """where it has one of its own: `ListSections` shows it, and none where it is empty"""


@dataclass(frozen=True, slots=True)
class Row:
    """Texts column by column, the last of which runs on below itself, so that it is said whole."""

    texts: tuple[str | Said, ...]
    mark: Said = ("", "ink")
    press: tuple[str, ...] = ()
    """keys that the first text names: a click on one presses it"""


BLANK = Row(())


class MadeLines(Sequence[ListLine], Generic[T]):
    """Lines that are made when they are seen: of ten thousand, those in sight."""

    def __init__(self, items: Sequence[T], make: Callable[[T], ListLine]) -> None:
        self._items, self._make = items, make

    def __len__(self) -> int:
        return len(self._items)

    @overload
    def __getitem__(self, index: int) -> ListLine: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[ListLine]: ...
    def __getitem__(self, index: int | slice) -> ListLine | Sequence[ListLine]:
        if isinstance(index, slice):
            return [self._make(item) for item in self._items[index]]
        return self._make(self._items[index])

    def __iter__(self) -> Iterator[ListLine]:
        return (self._make(item) for item in self._items)


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A text in one role, on as many as `rows` rows."""

    text: str
    role: Role = "ink"
    rows: int = 3
    may_go: bool = False
    """it gives way to the list on a page with few rows"""


@dataclass(frozen=True, slots=True)
class Figures:
    """The figures of the plant a list is about, side by side."""

    clean: str
    streak: str
    risk: str
    brief_risk: str
    """the same where room is short, beside the chance clean alone"""


@dataclass(frozen=True, slots=True)
class Told:
    """What a list says. What is empty takes no room.

    At the foot stands what is asked, else the message, and `otherwise` where there is room for it.
    """

    title: str
    clock: str
    lines: Sequence[ListLine] = ()
    rows_above: int = 0
    """least rows above the list, where it must not move as another line is marked"""
    middle: str = ""
    narrow_title: str = ""
    """title and middle in one, where they share the room of one"""
    status: PlantStatus | None = None
    """the plant it is about"""
    plant: Header | None = None
    """the same, of a form or a sheet"""
    above: Sequence[Paragraph] = ()
    """what stands above the list"""
    figures: Figures | None = None
    """below that, where there are rows for it"""
    below: Sequence[Paragraph] = ()
    """below these"""
    heads: Mapping[str, str] = field(default_factory=dict)
    """what stands over its columns"""
    is_numbered: bool = True
    most_numbered: int | None = None
    """how many lines have a number, where not all of them do"""
    message: str = ""
    asked: Asked | None = None
    asks: str | None = None
    """what a line that is typed answers"""
    otherwise: Sequence[str] = ()
    otherwise_role: Role = "quiet"
    most: int = MESSAGE_ROWS + 1
    """rows of what is said at the foot"""
    second: KeyHint | None = None
    third: KeyHint | None = None
    fourth: KeyHint | None = None
    """on a wide page alone"""
    opens: KeyHint | None = None

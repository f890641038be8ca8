"""docs/screens, made from the captures: `python -m tests.tui.screens_page` writes it anew.

One page a screen, each in the three sizes most terminals have. What the captures show is held by
their own test; this one holds the pages to them.
"""

from pathlib import Path

from tests.tui.reading import CAPTURES

FOLDER = Path(__file__).parents[2] / "docs" / "screens"
SHOWN_SIZES = ((80, 24), (120, 40), (40, 24))

SHOWN: dict[str, tuple[str, ...]] = {
    "first-start": ("first-plants", "first-end"),
    "today": ("today", "today-by-risk"),
    "next-days": ("coming",),
    "round": ("round", "live-find", "doubt", "whole-plant", "signs", "second-look"),
    "hygiene": ("hygiene",),
    "summary": ("summary",),
    "plants": ("plants", "plants-since"),
    "plant": ("plant", "plant-part"),
    "history": ("history", "visit", "history-part"),
    "treatments": ("courses-running", "begin-course", "steps"),
    "who-stood-near": ("exposure",),
    "delivery": ("delivery", "delivery-found"),
    "doubts": ("doubts",),
    "end-quarantine": ("release-not-yet", "release"),
    "forms": ("new-plant-form", "divide", "repot", "look-ask", "dilution"),
    "desk": ("desk",),
    "settings": ("settings",),
    "away": ("away-ask", "leaving", "back-today"),
    "from-sheet": ("from-sheet-zone", "from-sheet-write", "from-sheet-where"),
    "help": ("round-help", "today-help"),
}
"""The captures on each page, by its name."""


def captured(name: str) -> tuple[tuple[int, int], ...]:
    """The sizes at which a page is captured: where it shows something of its own.

    All that are shown in docs, the first of each page in a small window besides; the others say at
    other sizes what those do, and hold together there all the same.
    """
    firsts = {names[0] for names in SHOWN.values()}
    if name in firsts:
        return (*SHOWN_SIZES, (60, 20))
    return SHOWN_SIZES if any(name in names for names in SHOWN.values()) else SHOWN_SIZES[:1]


def page_of(name: str) -> str:
    """One page, in Markdown."""
    parts = [f"# {name.replace('-', ' ').capitalize()}", "The collection is invented."]
    for capture in SHOWN[name]:
        parts.append(f"## {capture.replace('-', ' ').capitalize()}")
        for width, height in SHOWN_SIZES:
            file = CAPTURES / f"{capture}-{width}x{height}.txt"
            shown = file.read_text(encoding="utf-8").rstrip()
            parts.append(f"{width}x{height}:\n\n```\n{shown}\n```")
    return "\n\n".join(parts) + "\n"


def main() -> None:
    """Write every page."""
    FOLDER.mkdir(exist_ok=True)
    for name in SHOWN:
        (FOLDER / f"{name}.md").write_text(page_of(name), encoding="utf-8")


if __name__ == "__main__":
    main()

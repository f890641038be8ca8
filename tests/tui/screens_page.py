"""docs/screens, made from the captures: `python -m tests.tui.screens_page` writes it anew.

One page a screen, each in the three sizes most terminals have. What the captures show is held by
their own test; this one holds the pages to them.
"""

from pathlib import Path

from tests.tui.reading import CAPTURES

FOLDER = Path(__file__).parents[2] / "docs" / "screens"
SIZES = ("80x24", "120x40", "40x24")

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


def page_of(name: str) -> str:
    """One page, in Markdown."""
    parts = [f"# {name.replace('-', ' ').capitalize()}", "The collection is invented."]
    for capture in SHOWN[name]:
        parts.append(f"## {capture.replace('-', ' ').capitalize()}")
        for size in SIZES:
            shown = (CAPTURES / f"{capture}-{size}.txt").read_text(encoding="utf-8").rstrip()
            parts.append(f"{size}:\n\n```\n{shown}\n```")
    return "\n\n".join(parts) + "\n"


def main() -> None:
    """Write every page."""
    FOLDER.mkdir(exist_ok=True)
    for name in SHOWN:
        (FOLDER / f"{name}.md").write_text(page_of(name), encoding="utf-8")


if __name__ == "__main__":
    main()

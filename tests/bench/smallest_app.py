"""The smallest program Textual can run."""

from textual.app import App, ComposeResult
from textual.widgets import Static


class SmallestApp(App[None]):
    """One line of text."""

    def compose(self) -> ComposeResult:
        """One widget."""
        yield Static("ready")


if __name__ == "__main__":
    SmallestApp().run()

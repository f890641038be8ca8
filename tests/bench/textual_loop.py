"""The least a Textual program can do with a key: what the bare loop does, painted by Textual."""

import gc
import sys
from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Static

from tests.bench.raw_loop import Rows


class CountingApp(App[None]):
    """One key, one row, one line of text."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("f", "count", show=False)]

    def __init__(self, path: str) -> None:
        super().__init__()
        self._rows = Rows(path)
        self._shown = Static("off 0")

    def compose(self) -> ComposeResult:
        """One widget."""
        yield self._shown

    def on_mount(self) -> None:
        """As ours does: what lives as long as the program is not searched for waste."""
        self.call_after_refresh(_freeze)

    def action_count(self) -> None:
        """Write, then paint."""
        self._shown.update(f"off {self._rows.add()}")


def _freeze() -> None:
    gc.collect()
    gc.freeze()


if __name__ == "__main__":
    CountingApp(sys.argv[1]).run()

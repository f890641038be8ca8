"""One typed line at the bottom of a screen: letters are text, enter takes it, empty leaves it."""

from textual import events


class TypedLine:
    """What was typed so far. `key` answers the finished text, or None while it goes on."""

    def __init__(self, most: int = 200) -> None:
        self.text = ""
        self._most = most

    def key(self, event: events.Key) -> str | None:
        """Take one key."""
        if event.key == "enter":
            return self.text.strip()
        if event.key == "backspace":
            self.text = self.text[:-1]
        elif event.is_printable and event.character and len(self.text) < self._most:
            self.text += event.character
        return None

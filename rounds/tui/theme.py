"""The colours of the roles."""

from textual.theme import Theme

NIGHT = Theme(
    name="rounds-night",
    background="#14161b",
    surface="#14161b",
    panel="#14161b",
    foreground="#d9d6cf",
    primary="#e3c98a",
    secondary="#8f9399",
    warning="#9fb8d8",
    error="#f0946c",
    accent="#c7a6d9",
    success="#d9d6cf",
    dark=True,
)

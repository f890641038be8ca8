"""rounds: inspection rounds of a plant collection, at the keyboard."""

__version__ = "0.1.0"

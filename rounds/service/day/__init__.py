"""One day of the logbook: read once, frozen, and the same for every screen and command."""

"""Where to look: who is due, who fits into the minutes, in which order to walk."""

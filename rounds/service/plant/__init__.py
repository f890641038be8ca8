"""One plant at the end of a day: its record, its status, its history, in words."""

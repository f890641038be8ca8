"""Nothing is lost: copies of the logbook, a copy put back, and whether the file is sound."""

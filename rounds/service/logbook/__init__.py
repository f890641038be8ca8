"""The opened logbook: its file, its day, how things in it are named, what the grower chose."""

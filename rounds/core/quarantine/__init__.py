"""May a plant leave quarantine: streak, criteria, forecast."""

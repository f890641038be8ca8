"""Use cases, shared by screens and commands."""

"""The version of the sums, in a file of its own: who asks for it alone loads nothing besides."""

SUMS_VERSION = 10
"""Increased whenever the same facts may give other results."""

"""The pests of one plant: which are followed and since when, and which of them binds."""

"""Harvest records for a small mushroom farm."""

__version__ = "0.1.0"

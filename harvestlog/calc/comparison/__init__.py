"""Comparing suppliers: blocks, what they gave, how sure that is, and what can be said of it."""

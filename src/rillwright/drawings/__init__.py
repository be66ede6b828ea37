"""Neutral display list; writers only write."""

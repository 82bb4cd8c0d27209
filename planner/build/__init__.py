"""Needs, drills and a gym in; a timed practice plan with its reasons out."""

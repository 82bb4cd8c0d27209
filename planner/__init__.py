"""stopsheet: film notes in, tomorrow's timed practice out, and the season's minutes counted."""

__version__ = "0.1.0"

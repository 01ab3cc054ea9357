"""bodymap: the map of a vehicle skin, from the survey to the hand-over file."""

__version__ = "0.1.0"

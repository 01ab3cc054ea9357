"""The commands. Thin: each joins rooms, prints, and exits.

Exit codes: 0 it did its job; 1 the record has something the user must look at; 2 bad input or usage (a message on
standard error, nothing written).
"""

from bodymap.cli.program import main

__all__ = ["main"]

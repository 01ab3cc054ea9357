"""The command that tells the working figures: those of the program, or those in force for a record."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path

from bodymap.cli.common import OK, load, print_json
from bodymap.settings import DEFAULTS, Figure, in_force

_HEADS = ("setting", "value", "unit", "from – to", "basis", "source", "what it is")


def settings_arguments(sub: argparse.ArgumentParser) -> None:
    """What the command is asked."""
    sub.add_argument(
        "record", type=Path, nargs="?", metavar="RECORD", help="a record file or an open folder (default: the program's own)"
    )
    how = sub.add_mutually_exclusive_group()
    how.add_argument("--json", action="store_true", help="one JSON object, each figure with unit, basis, source and range")
    how.add_argument("--markdown", action="store_true", help="as a table in Markdown")


def settings_command(arguments: argparse.Namespace) -> int:
    """Tell every working figure with unit, basis, source and sensible range."""
    figures = in_force(load(arguments.record)[0].settings).figures if arguments.record else DEFAULTS
    if arguments.json:
        print_json({key: asdict(figure) for key, figure in figures.items()})
    elif arguments.markdown:
        print("\n".join(settings_markdown(figures)))
    else:
        print("\n".join(_lines(figures)))
    return OK


def settings_markdown(figures: Mapping[str, Figure]) -> Iterator[str]:
    """The figures as the lines of a Markdown table."""
    yield f"| {' | '.join(_HEADS)} |"
    yield "|" + " --- |" * len(_HEADS)
    for figure in figures.values():
        cells = (f"`{figure.key}`", f"{figure.value:.12g}", figure.unit, _range(figure), figure.basis, figure.source,
                 figure.meaning)  # fmt: skip
        # an own figure's source is a user's text
        yield f"| {' | '.join(cell.replace('|', '/').replace(chr(10), ' ') for cell in cells)} |"


def _range(figure: Figure) -> str:
    return f"{figure.low:.12g} – {figure.high:.12g}" + (", whole" if figure.whole else "")


def _lines(figures: Mapping[str, Figure]) -> Iterator[str]:
    for figure in figures.values():
        own = "" if figure == DEFAULTS[figure.key] else f" (own; the program's: {DEFAULTS[figure.key].value:.12g})"
        yield f"{figure.key} = {figure.value:.12g} {figure.unit}{own}: {figure.meaning}"
        yield f"    {figure.basis}; {figure.source or 'source not stated'}; {_range(figure)}"

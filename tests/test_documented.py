"""Every command, option, setting and environment variable is documented, and what the documents show runs."""

from __future__ import annotations

import argparse
import ast
import doctest
import importlib
import json
import re
import shlex
from pathlib import Path

import pytest

from bodymap.cli import main
from bodymap.cli.of_settings import settings_markdown
from bodymap.cli.program import parser
from bodymap.settings import DEFAULTS
from dashboard.access import VARIABLE

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
COMMANDS: dict[str, argparse.ArgumentParser] = next(
    action.choices for action in parser()._actions if isinstance(action, argparse._SubParsersAction)
)
ROWS = {row.split("`")[1].split()[1]: row for row in README.splitlines() if row.startswith("| `bodymap ")}
ASKED = [
    (name, action)
    for name, sub in COMMANDS.items()
    for action in sub._actions
    if not isinstance(action, argparse._HelpAction)
]
# Numbers without a dimension, by the words of their help.
NO_UNIT = {"port": "the first free one", "delta_e": "colour difference"}


def shown(text: str) -> list[str]:
    """Commands of this program that a document shows in a code block."""
    blocks = re.findall(r"^```sh\n(.*?)^```", text, flags=re.DOTALL | re.MULTILINE)
    commands = (part.strip() for block in blocks for line in block.splitlines() for part in line.split("&&"))
    return [command for command in commands if re.match(r"(\S*/)?bodymap ", command)]


def named(asked: tuple[str, argparse.Action]) -> str:
    return f"{asked[0]} {asked[1].option_strings[0] if asked[1].option_strings else asked[1].dest}"


def test_the_readme_has_a_row_for_each_command_and_for_no_other():
    assert set(ROWS) == set(COMMANDS)


@pytest.mark.parametrize("asked", ASKED, ids=named)
def test_what_a_command_asks_is_told_by_its_help_and_by_the_readme(asked):
    command, action = asked
    assert action.help, "no help"
    if action.option_strings:
        name = action.option_strings[0]
        told = ROWS[command] + (README if name == "--by" else "")  # in one sentence below the table
        assert re.search(rf"(?<![\w-]){name}(?![\w-])", told), "not in its row of the README"
    else:
        assert re.search(rf"\b{re.escape(action.metavar)}\b", ROWS[command].split("|")[1]), "not in its row of the README"


@pytest.mark.parametrize("asked", [one for one in ASKED if one[1].type in (int, float)], ids=named)
def test_a_number_says_its_unit(asked):
    _, action = asked
    unit = action.dest.rpartition("_")[2]
    if action.dest in NO_UNIT:
        assert NO_UNIT[action.dest] in action.help
    else:
        assert unit in {"mm", "um"}
        assert action.metavar == unit.upper()


@pytest.mark.parametrize("command", ROWS)
def test_a_row_of_the_readme_names_no_option_that_is_not_there(command):
    there = {name for action in COMMANDS[command]._actions for name in action.option_strings}
    assert set(re.findall(r"`(--[a-z-]+)", ROWS[command])) <= there


def test_the_readme_shows_each_command_once_or_more():
    assert {shlex.split(line)[1] for line in shown(README)} == set(COMMANDS)


def test_what_the_documents_show_runs_as_it_stands(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "demo").symlink_to(ROOT / "demo")
    for line in [*shown(README), *shown(DEVELOPERS)]:
        words = shlex.split(line)[1:]
        asked = parser().parse_args(words)
        if words[0] == "open" or (words[0] == "demo" and not asked.no_open):
            continue  # a server: its tests are in tests/dashboard/test_serve.py
        code = main(words)
        out, err = capsys.readouterr()
        assert code in (0, 1), f"{line}: {err}"
        assert out, line
        made = [value for key, value in vars(asked).items() if key in {"out", "copy", "folder"}]
        assert all(path.exists() for path in made), line


def test_every_setting_is_documented_as_the_code_has_it():
    """The table is `bodymap settings --markdown`."""
    table = "\n".join(settings_markdown(DEFAULTS)) + "\n"
    text = (ROOT / "bodymap" / "settings.md").read_text(encoding="utf-8")
    assert text[text.index("| setting |") :] == table
    assert table.count("\n") == len(DEFAULTS) + 2
    assert "bodymap/settings.md" in README


def test_every_setting_is_read_by_the_program():
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "bodymap").rglob("*.py") if path.name != "settings.py"]
    named_in_pieces = re.compile(r"transfer_\w+_pct")  # finish/materials.py, by the kind of gun
    idle = [key for key in DEFAULTS if not named_in_pieces.fullmatch(key) and not any(f'"{key}"' in text for text in texts)]
    assert idle == []


def test_the_settings_of_a_record_are_told_with_the_programs_own_beside_them(capsys):
    assert main(["settings", str(ROOT / "demo" / "vehicle")]) == 0
    told = capsys.readouterr().out
    assert "gauge_u_rel_pct = 3 % (own; the program's: 10): " in told
    assert "own trial; gun A at 2 bar on a flat coupon" in told
    assert "tape_lap_pct = 10 %: " in told
    assert main(["settings", str(ROOT / "demo" / "vehicle"), "--json"]) == 0
    figures = json.loads(capsys.readouterr().out)
    assert list(figures) == list(DEFAULTS)
    assert (figures["gauge_u_rel_pct"]["value"], figures["gauge_u_rel_pct"]["unit"]) == (3, "%")


WITH_EXAMPLES = [
    path.relative_to(ROOT)
    for top in ("dashboard", "demo")
    for path in sorted((ROOT / top).rglob("*.py"))
    if ">>> " in path.read_text(encoding="utf-8")
]


@pytest.mark.parametrize("path", WITH_EXAMPLES, ids=str)
def test_examples_in_the_docstrings_of_the_dashboard_hold(path):
    """Those of the library are collected by themselves; a screen cannot be imported for it."""
    result = doctest.testmod(importlib.import_module(".".join(path.with_suffix("").parts)))
    assert result.failed == 0 < result.attempted


def environment_names(tree: ast.Module, module: str) -> set[str]:
    """Names of environment variables a module reads: `os.environ[NAME]`, `.get(NAME)`, `NAME in`, `os.getenv(NAME)`."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Subscript) and ast.unparse(node.value) in {"os.environ", "environment"}:
            found.append(node.slice)
        elif isinstance(node, ast.Call) and re.fullmatch(
            r"(os\.environ|environment)\.get|os\.getenv", ast.unparse(node.func)
        ):
            found.append(node.args[0])
        elif isinstance(node, ast.Compare) and ast.unparse(node.comparators[0]) == "os.environ":
            found.append(node.left)
    return {
        node.value if isinstance(node, ast.Constant) else getattr(importlib.import_module(module), ast.unparse(node))
        for node in found
    }


def test_every_environment_variable_the_program_reads_is_documented():
    read = set()
    for path in [*(ROOT / "bodymap").rglob("*.py"), *(ROOT / "dashboard").rglob("*.py"), *(ROOT / "demo").rglob("*.py")]:
        text = path.read_text(encoding="utf-8")
        module = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        read |= environment_names(ast.parse(text), module)
        read |= set(re.findall(r"[\"'](BODYMAP_[A-Z_]+)[\"']", text))
    assert read == {VARIABLE}
    assert f"`{VARIABLE}`" in README


def test_every_environment_variable_of_the_tests_is_documented():
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("*.py")]
    read = {name for text in texts for name in re.findall(r"[\"'](BODYMAP_[A-Z_]+)[\"']", text)}
    assert read
    assert {name for name in read if f"`{name}`" not in DEVELOPERS + README} == set()


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "bodymap/exchange/open_folder.md", "bodymap/settings.md",
                                  "bodymap/exchange/hand_over.md"])  # fmt: skip
def test_links_and_paths_in_the_documents_lead_to_files(name):
    text = (ROOT / name).read_text(encoding="utf-8")
    links = [target for target in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in target]
    assert [target for target in links if not ((ROOT / name).parent / target).exists()] == []
    paths = re.findall(r"`((?:bodymap|dashboard|tests|demo|\.ci)/[\w./-]*)`", text)
    assert [path for path in paths if not (ROOT / path).exists()] == []


@pytest.mark.parametrize("line", sorted({line.strip() for line in re.findall(r"python -m (tests\.[\w. -]+)", DEVELOPERS)}))
def test_a_module_the_developers_are_told_to_run_is_there_and_knows_the_options_shown(line):
    module, *words = line.split()
    place = ROOT.joinpath(*module.split("."))
    source = (place / "__main__.py" if place.is_dir() else place.with_suffix(".py")).read_text(encoding="utf-8")
    assert "__main__" in source or place.is_dir()
    assert [word for word in words if word.startswith("--") and f'"{word}"' not in source] == []

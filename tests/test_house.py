"""The rooms of the house: imports go one way, nothing runs in a circle, the library stays pure."""

from __future__ import annotations

import ast
import graphlib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ROOMS = [
    "errors",
    "units",
    "progress",
    "settings",
    "model",
    "geometry",
    "history",
    "film",
    "finish",
    "release",
    "views",
    "exchange",
    "store",
    "briefs",
    "cli",
]
APART = {"exchange", "store", "briefs"}
MODULES = {
    ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): path
    for top in ("bodymap", "dashboard")
    for path in (ROOT / top).rglob("*.py")
}


def imports(path: Path, *, at_run_time: bool = False) -> set[str]:
    """Names of the modules a file imports; `at_run_time` leaves out imports inside functions."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    nodes = tree.body if at_run_time else ast.walk(tree)
    found = set()
    for node in nodes:
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            found |= {f"{node.module}.{alias.name}" for alias in node.names if f"{node.module}.{alias.name}" in MODULES}
    return found


def room(module: str) -> str | None:
    """The room a module of the library is in."""
    parts = module.split(".")
    return parts[1] if parts[0] == "bodymap" and len(parts) > 1 else None


def upward(module: str, imported: str) -> bool:
    """Whether an import goes up the list of rooms, or between rooms that stay apart."""
    here, there = room(module), room(imported)
    if here is None or there is None or here == there or here == "__main__":
        return False
    if here in APART and there in APART:
        return True
    return ROOMS.index(there) > ROOMS.index(here)


def test_every_module_of_the_library_is_in_a_room():
    assert {room(m) for m in MODULES if room(m)} - {"__main__"} <= set(ROOMS)


def test_imports_go_one_way():
    wrong = [(module, other) for module, path in MODULES.items() for other in imports(path) if upward(module, other)]
    assert not wrong


def test_no_module_imports_in_a_circle():
    graph = {
        module: {
            other
            for other in imports(path, at_run_time=True)
            if other in MODULES
            and other != module
            # a package's own __init__ gathers its modules
            and not module.startswith(f"{other}.")
            and MODULES[module].name != "__init__.py"
        }
        for module, path in MODULES.items()
    }
    tuple(graphlib.TopologicalSorter(graph).static_order())


def test_the_check_itself_sees_an_upward_import():
    assert upward("bodymap.model.zone", "bodymap.geometry.areas")
    assert upward("bodymap.store.schema", "bodymap.exchange.cells")
    assert not upward("bodymap.store.schema", "bodymap.model.zone")


@pytest.mark.parametrize("module", sorted(m for m in MODULES if room(m)))
def test_the_library_knows_no_screen(module):
    tops = {name.split(".")[0] for name in imports(MODULES[module])}
    assert not tops & {"streamlit", "plotly", "dashboard"} or room(module) == "cli"


@pytest.mark.parametrize("module", sorted(m for m in MODULES if room(m) and room(m) != "cli"))
def test_the_library_has_no_clock_and_no_chance(module):
    for node in ast.walk(ast.parse(MODULES[module].read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute):
            assert node.attr not in {"now", "utcnow", "today", "perf_counter"}, f"line {node.lineno}"
    assert not {name.split(".")[0] for name in imports(MODULES[module])} & {"random", "time"}


@pytest.mark.parametrize("module", sorted(m for m in MODULES if m.startswith("dashboard.screens")))
def test_screens_hold_no_sql_and_no_shapely(module):
    tops = {name.split(".")[0] for name in imports(MODULES[module])}
    assert not tops & {"sqlite3", "shapely", "numpy", "pandas"}

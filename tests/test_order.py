"""The order of the house: small modules and functions, docstrings that say units and errors, one word for one thing."""

from __future__ import annotations

import ast
import functools
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

from bodymap.history import explain, rules, states
from bodymap.model import KINDS, area, drawing, part, plan, reading, stack, zone
from tests.test_house import ROOMS

ROOT = Path(__file__).parents[1]
LIBRARY, PROGRAM, WHOLE = ("bodymap",), ("bodymap", "dashboard", "demo"), ("bodymap", "dashboard", "demo", "tests")
MODULE_LINES, FUNCTION_LINES = 400, 40

# Each with what makes it longer than others.
LONG_MODULES = {
    "tests/exchange/test_faults.py": "one row for every fault of every column",
    "tests/campaigns/hostile.py": "the bad files, each in a line or two",
    "tests/strategies.py": "random records: one strategy for each kind of the model, which draw on one another",
    "tests/briefs/test_mask_brief.py": "one print, looked at from all sides on one specimen",
    "tests/dashboard/test_survey.py": "one screen with seven forms",
    "tests/dashboard/test_drawings.py": "one screen with six ways in",
}
LONG_FUNCTIONS = {
    "bodymap/briefs/mask_pages.py _area": "one mapping: all that the template of an area's page is given",
    "demo/marks.py findings": "a table of findings",
    "demo/marks.py areas": "a table of areas",
    "demo/drawing/front.py _trim": "a drawing, line by line",
    "demo/drawing/hidden.py _rear_faces": "a drawing, face by face",
    "demo/drawing/roof.py _outlines": "a drawing, line by line",
}
# The tests hold published figures against these, or look at pages through them.
FOR_TESTS_ONLY = {"um_to_mil", "transmittance", "template_png", "mask_brief_png"}
FIGURES = ("geometry", "film", "finish", "history")

Function = ast.FunctionDef | ast.AsyncFunctionDef


@functools.cache
def trees(tops: tuple[str, ...]) -> dict[str, ast.Module]:
    """Every module below some folders, parsed, by its path."""
    return {
        str(path.relative_to(ROOT)): ast.parse(path.read_text(encoding="utf-8"))
        for top in tops
        for path in sorted((ROOT / top).rglob("*.py"))
    }


def functions(tree: ast.AST) -> Iterator[Function]:
    yield from (node for node in ast.walk(tree) if isinstance(node, Function))


def lines_of(function: Function) -> int:
    """Lines from `def` to its end, the docstring left out: it is asked for."""
    first = function.body[0]
    told = first.end_lineno - first.lineno + 1 if ast.get_docstring(function) is not None else 0
    return function.end_lineno - function.lineno + 1 - told


def test_no_module_is_long():
    long = {name for name in trees(WHOLE) if len((ROOT / name).read_text(encoding="utf-8").splitlines()) > MODULE_LINES}
    assert long - set(LONG_MODULES) == set()
    assert set(LONG_MODULES) - long == set(), "no longer long"


def test_no_function_is_long():
    long = {
        f"{name} {function.name}": lines_of(function)
        for name, tree in trees(PROGRAM).items()
        for function in functions(tree)
        if lines_of(function) > FUNCTION_LINES
    }
    assert {name: lines for name, lines in long.items() if name not in LONG_FUNCTIONS} == {}
    assert set(LONG_FUNCTIONS) - set(long) == set(), "no longer long"


def public(body: list[ast.stmt], said: str = "") -> Iterator[tuple[Function, str]]:
    """Public functions and methods, each with all docstrings that speak of it."""
    for node in body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from public(node.body, f"{said} {ast.get_docstring(node) or ''}")
        elif isinstance(node, Function) and not node.name.startswith("_"):
            yield node, f"{said} {ast.get_docstring(node) or ''}"


def offered(rooms: tuple[str, ...] = ()) -> Iterator[tuple[str, Function, str]]:
    """What the library offers, or some of its rooms: where it stands, the function, what its docstrings say."""
    for name, tree in trees(LIBRARY).items():
        if not rooms or name.split("/")[1] in rooms:
            for function, said in public(tree.body, ast.get_docstring(tree) or ""):
                yield f"{name} {function.name}", function, said


def test_what_is_public_has_a_docstring():
    bare = [where for where, function, _ in offered() if not ast.get_docstring(function) and not of_protocol(function)]
    assert bare == []


def of_protocol(function: Function) -> bool:
    """A member of a protocol: its class tells what it is for."""
    return len(function.body) == 1 and ast.unparse(function.body[0]) == "..."


NUMBERS = re.compile(r"\b(float|Floats|NDArray|ArrayLike|Array|Positions?)\b")
IN_NAME = re.compile(r"_(mm|mm2|m2?|um|rad|deg|pct|c|l|mil|ratio|share|factor|px|ppi|litres?|e)(_|$)|^(mm|um|litres)(_|$)")
IN_WORDS = re.compile(
    r"\b(mm|rad|mil|litres?|ratio|share|factor|cost|truth values|bare number)\b|mm²|µm|m²|%|°|ΔE|\[L\]|CIELAB|\bunit\b"
)


def takes_figures(function: Function) -> list[str]:
    """The names that hold figures: arguments, and the function's own where it returns some."""
    arguments = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    names = [one.arg for one in arguments if one.annotation and NUMBERS.search(ast.unparse(one.annotation))]
    returns = function.returns is not None and NUMBERS.search(ast.unparse(function.returns))
    return [*names, function.name] if returns else names


def test_a_figure_says_its_unit():
    found = [one for one in offered(FIGURES) if takes_figures(one[1])]
    assert len(found) > 100
    silent = [
        f"{where}: {', '.join(bare)}"
        for where, function, said in found
        if (bare := [name for name in takes_figures(function) if not IN_NAME.search(name)]) and not IN_WORDS.search(said)
    ]
    assert silent == []


def refuses(function: Function, own: dict[str, Function], asked: frozenset[str] = frozenset()) -> bool:
    """Whether it raises, itself or in a private function of its module, anything but an assertion."""
    for node in ast.walk(function):
        if isinstance(node, ast.Raise) and node.exc is not None and "AssertionError" not in ast.unparse(node.exc):
            return True
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            called = node.func.id
            again = called.startswith("_") and called in own and called not in asked
            if again and refuses(own[called], own, asked | {called}):
                return True
    return False


def test_what_refuses_says_so():
    silent = []
    for name, tree in trees(LIBRARY).items():
        if name.split("/")[1] in (*FIGURES, "release"):
            own = {function.name: function for function in functions(tree)}
            silent += [
                f"{name} {one.name}"
                for one, _ in public(tree.body)
                if refuses(one, own) and "aises" not in (ast.get_docstring(one) or "")
            ]
    assert silent == []


def test_nothing_is_left_that_nobody_uses():
    """A function or class whose name stands nowhere else in the program is dead."""
    used: Counter[str] = Counter()
    for tree in trees(PROGRAM).values():
        for node in ast.walk(tree):
            if isinstance(node, ast.Name):
                used[node.id] += 1
            elif isinstance(node, ast.Attribute):
                used[node.attr] += 1
            elif isinstance(node, ast.alias):
                used[node.name.split(".")[-1]] += 1
            elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.isidentifier():
                used[node.value] += 1
    idle = {
        f"{name} {node.name}"
        for name, tree in trees(PROGRAM).items()
        for node in ast.walk(tree)
        if isinstance(node, (*Function.__args__, ast.ClassDef))
        and not node.decorator_list
        and not node.name.startswith("__")
        and not used[node.name]
        and node.name not in FOR_TESTS_ONLY
    }
    assert idle == set()


def glossary() -> dict[str, tuple[str, str]]:
    """What DEVELOPERS.md says under "Words": what each word is, and in which module."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text[text.index("\n## Words\n") :].partition("\n## Checks\n")[0]
    rows = [line.strip("| ").split(" | ") for line in section.splitlines() if line.startswith("| ")]
    return {word: (told, place.strip("`")) for word, told, place in rows[2:]}


CHOICES = {
    "drawing": (*get_args(drawing.DrawingKind), *get_args(drawing.Scale)),
    "substrate": get_args(part.Substrate),
    "face": get_args(zone.Face),
    "intent": get_args(zone.Intent),
    "method": get_args(stack.Method),
    "extent": get_args(stack.Extent),
    "interface": get_args(stack.Interface),
    "principle": get_args(reading.Principle),
    "area": get_args(area.Purpose),
    "edge": get_args(area.Edge),
    "origin": get_args(area.Origin),
    "step": get_args(plan.Action),
    "state": get_args(states.State),
    "grade": get_args(explain.Grade),
}
NEVER = {"thickness", "color", "colors", "defect", "defects", "operation", "operations", "author", "authors"}


def test_the_glossary_has_every_noun_of_the_model():
    assert set(KINDS) - set(glossary()) == set()


def test_the_glossary_says_every_choice_and_no_other():
    for word, (told, _) in glossary().items():
        assert tuple(re.findall(r"`([^`]+)`", told)) == tuple(CHOICES.get(word, ())), word
    assert ", ".join(rules.PART_STATES) in glossary()


def test_a_word_of_the_glossary_is_a_word_of_the_module_it_names():
    for word, (_, place) in glossary().items():
        text = (ROOT / "bodymap" / place).read_text(encoding="utf-8")
        for noun in word.split(", "):
            assert re.search(rf"\b{noun}\b", text, flags=re.IGNORECASE), (noun, place)


def test_no_name_of_the_library_says_what_the_glossary_forbids():
    said = {
        (name, one)
        for name, tree in trees(LIBRARY).items()
        for node in ast.walk(tree)
        for one in (
            [node.name] if isinstance(node, (*Function.__args__, ast.ClassDef)) else []
        ) + ([node.arg] if isinstance(node, ast.arg) else []) + (
            [node.id] if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store) else []
        )
        if NEVER & {word.lower() for word in re.findall(r"[A-Z]?[a-z]+|[A-Z]+", one)}
    }  # fmt: skip
    assert said == set()


def test_the_developers_are_told_every_room_in_the_order_of_imports():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert re.findall(r"^\| `bodymap/(\w+)(?:\.py|/)` \|", text, flags=re.MULTILINE) == ROOMS

"""Signatures, docstrings and the list of names say the same, and every example in a docstring runs."""

import doctest
import importlib
import inspect
import pkgutil
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from types import FunctionType, ModuleType

import pytest

import simulator

NAMES = tomllib.loads((Path(simulator.__file__).parent / "nomenclature.toml").read_text(encoding="utf-8"))
LAWS = ["simulator.air", "simulator.flow", "simulator.heat", "simulator.electric"]
UNIT = re.compile(r"\[([^\[\]]+)\]")


def modules() -> Iterator[ModuleType]:
    """Laws and components: what a reader takes a formula from."""
    components = importlib.import_module("simulator.components")
    parts = [f"{components.__name__}.{part.name}" for part in pkgutil.iter_modules(components.__path__)]
    return (importlib.import_module(name) for name in [*LAWS, *parts])


def functions() -> Iterator[tuple[ModuleType, FunctionType]]:
    """Compiled public functions, as the plain Python that numba keeps inside."""
    for module in modules():
        for name, value in vars(module).items():
            function = getattr(value, "py_func", None)
            if function and function.__module__ == module.__name__ and not name.startswith("_"):
                yield module, function


PUBLIC = list(functions())
NAMED = pytest.mark.parametrize(
    ("module", "function"),
    PUBLIC,
    ids=[f"{module.__name__}.{function.__name__}" for module, function in PUBLIC],
)


def section(function: FunctionType, title: str) -> str:
    """Text of one numpydoc section, empty when the docstring lacks it."""
    lines = (inspect.getdoc(function) or "").splitlines()
    heads = [place for place, line in enumerate(lines) if set(line) == {"-"} and line]
    starts = {lines[place - 1]: place + 1 for place in heads}
    if title not in starts:
        return ""
    ends = [place - 1 for place in heads if place > starts[title]]
    return "\n".join(lines[starts[title] : min(ends, default=len(lines))])


def described(function: FunctionType) -> dict[str, tuple[str, str]]:
    """Parameter -> (type, unit) as the docstring tells them."""
    entries = re.findall(
        r"^(\w+) : (.+)\n((?: +.*\n?|\n)*)", section(function, "Parameters") + "\n", re.MULTILINE
    )
    return {name: (kind, (UNIT.findall(text) or [""])[-1]) for name, kind, text in entries}


def test_every_law_is_looked_at():
    assert {module.__name__ for module, _ in PUBLIC} >= set(LAWS)


@NAMED
def test_docstring_names_the_parameters_of_the_signature(module, function):
    assert list(described(function)) == list(inspect.signature(function).parameters)


@NAMED
def test_every_float_has_a_unit_and_a_name_of_the_list(module, function):
    units = {name: unit for name, (kind, unit) in described(function).items() if kind == "float"}

    assert units == {name: NAMES[name]["unit"] if name in NAMES else "in the list" for name in units}


@NAMED
def test_result_has_a_unit(module, function):
    answer = section(function, "Returns")

    if "float" in answer:
        assert UNIT.search(answer)
    assert answer


@NAMED
def test_source_is_named(module, function):
    assert section(function, "References")


@NAMED
def test_example_runs(module, function):
    """A law shows one; a part's function, which takes the whole part, may leave it to the laws it uses."""
    tests = doctest.DocTestFinder(recurse=False).find(
        function, function.__name__, module=module, globs=dict(vars(module))
    )
    results = [doctest.DocTestRunner().run(test) for test in tests]

    assert sum(result.attempted for result in results) > 0 or module.__name__ not in LAWS
    assert sum(result.failed for result in results) == 0


def test_list_holds_no_name_that_nothing_uses():
    used = {
        name for _, function in PUBLIC for name, (kind, _) in described(function).items() if kind == "float"
    }

    assert set(NAMES) <= used


def test_entries_of_the_list_say_what_they_mean():
    assert all({"meaning", "unit"} <= set(entry) <= {"meaning", "unit", "trade"} for entry in NAMES.values())

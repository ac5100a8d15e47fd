"""The calculators' laws say what they take, in which unit and from which source, and their examples run."""

import doctest
import importlib
import inspect
import re

import pytest

from tests.simulator.test_nomenclature import NAMES, UNIT, described, section

ROOMS = ["pumping", "storing", "leaking", "turning", "powering", "weather"]
FUNCTIONS = [
    (module, value)
    for module in (importlib.import_module(f"simulator.calculators.{room}") for room in ROOMS)
    for name, value in vars(module).items()
    if inspect.isfunction(value) and value.__module__ == module.__name__ and not name.startswith("_")
]
LAWS = pytest.mark.parametrize(
    ("module", "function"), FUNCTIONS, ids=[function.__name__ for _, function in FUNCTIONS]
)


@LAWS
def test_parameters_have_units_that_agree_with_the_list_of_names(module, function):
    told = described(function)

    assert list(told) == list(inspect.signature(function).parameters)
    for name, (kind, unit) in told.items():
        assert unit == NAMES[name]["unit"] if name in NAMES and kind == "float" else unit or kind == "int"


@LAWS
def test_result_has_a_unit_and_the_source_is_named(module, function):
    assert UNIT.search(section(function, "Returns"))
    assert section(function, "References")


@LAWS
def test_example_runs(module, function):
    tests = doctest.DocTestFinder(recurse=False).find(
        function, function.__name__, module=module, globs=dict(vars(module))
    )
    results = [doctest.DocTestRunner().run(test) for test in tests]

    assert sum(result.attempted for result in results) > 0
    assert sum(result.failed for result in results) == 0


def test_every_room_has_laws():
    assert {re.sub(r".*\.", "", module.__name__) for module, _ in FUNCTIONS} == set(ROOMS)

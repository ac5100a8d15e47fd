"""What the tests of the question makers share."""

import tomllib
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from simulator import units
from tests import reference

FOLDER = Path(reference.__file__).parent
SEEDS = st.integers(0, 2**31 - 1).map(str)
SYSTEMS = st.sampled_from(["us", "metric"])


def over_seeds(examples=8):
    """Run a test over drawn seeds in both unit systems."""
    return lambda test: settings(max_examples=examples)(given(seed=SEEDS, system=SYSTEMS)(test))


def table(name):
    """One file of printed tables."""
    return tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def si(text, quantity):
    return units.read(text, quantity)


def right_ones(question):
    return {option["text"] for option in question["options"] if option["right"]}

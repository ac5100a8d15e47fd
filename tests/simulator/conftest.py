"""The rig and the fault catalogue that the simulator's tests share."""

import pytest

from simulator.faults import load_faults
from simulator.rig import load_rigs


@pytest.fixture(scope="session")
def rig():
    return load_rigs()["twin-60"]


@pytest.fixture(scope="session")
def faults():
    return load_faults()

"""What the simulator's tests share: a rig, the fault catalogue, the command line."""

import json

import pytest

from simulator.cli import main
from simulator.faults import load_faults
from simulator.rig import load_rigs


@pytest.fixture(scope="session")
def rig():
    return load_rigs()["twin-60"]


@pytest.fixture(scope="session")
def faults():
    return load_faults()


@pytest.fixture
def ask(capsys):
    """Run one command line: exit status, standard output, standard error."""

    def ask(*arguments):
        try:
            status = main(arguments)
        except SystemExit as leaving:
            status = leaving.code
        said = capsys.readouterr()
        return status, said.out, said.err

    return ask


@pytest.fixture
def answer(ask):
    """Run one command line that must succeed, and read its JSON."""

    def answer(*arguments):
        status, out, err = ask(*arguments, "--json")
        assert (status, err) == (0, "")
        return json.loads(out)

    return answer

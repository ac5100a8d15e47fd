"""Named parameters as the engine's figures: what every part of a machine reads its values through."""

from simulator.adjustable import Values
from simulator.flow import LEAK_COEFFICIENT, disc_area
from simulator.units import convert

# Flow coefficient of a valve's throat (check valve, regulator); sharp openings use LEAK_COEFFICIENT.
# Common practice, no source.
THROAT_COEFFICIENT = 0.65
# A pressure no machine reaches: for valves that never open and switches that never act. [Pa]
NEVER = 1e12


class Reader:
    """Values by name, as floats in the unit of the name or as leak areas."""

    def __init__(self, values: Values) -> None:
        self.values = values

    def __call__(self, name: str) -> float:
        """Value of a parameter that is a number, in the unit of its name."""
        return float(self.values[name])

    def state(self, name: str) -> str:
        """Value of a parameter that is one of several states."""
        return str(self.values[name])

    def flag(self, name: str, state: str = "yes") -> float:
        """1 when the parameter stands at a state, else 0."""
        return float(self.values[name] == state)

    def leak(self, name: str) -> float:
        """Flow area of a leak given by the diameter of an equal sharp hole."""
        return float(LEAK_COEFFICIENT * disc_area(self(name) / 1000))


def psi(value: float) -> float:
    """Pressure given in pounds a square inch. [Pa]"""
    return convert(value, "psi", "Pa")

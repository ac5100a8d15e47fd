"""Unloader on the pressure switch: vents the head line while the contacts are open."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.compiled import law
from simulator.components.spec import check_positive, measured


@dataclass(frozen=True)
class UnloaderSpec:
    """Valve and vent."""

    kind: str
    vent_diameter: float = measured("vent_diameter_mm", "mm", "m")

    def __post_init__(self) -> None:
        check_positive(vent_diameter=self.vent_diameter)
        if self.kind != "switch-mounted":
            raise ValueError(f"unloader kind '{self.kind}' is not known; known: switch-mounted")


class UnloaderParameters(NamedTuple):
    """The unloader, faults included."""

    open_area: float  # flow area while it vents [m²]
    running_leak_area: float  # flow area while it should be shut [m²]


@law
def vent_area(unloader: UnloaderParameters, contacts_closed: float) -> float:
    """Flow area from the head line to the room at this moment.

    Parameters
    ----------
    unloader : UnloaderParameters
        The unloader, faults included.
    contacts_closed : float
        1 while the switch holds its contacts closed. [-]

    Returns
    -------
    float
        [m²]

    References
    ----------
    The unloader is tied to the contacts mechanically; common practice.
    """
    if contacts_closed > 0.5:
        return unloader.running_leak_area
    return max(unloader.open_area, unloader.running_leak_area)

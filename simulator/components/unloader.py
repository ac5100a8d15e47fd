"""Unloader: vents the pump's delivery side so that the motor starts against no pressure."""

from dataclasses import dataclass
from typing import NamedTuple

from simulator.compiled import law
from simulator.components.spec import check_positive, measured

KINDS = ("switch-mounted", "hydraulic", "centrifugal", "pilot")
SWITCH_MOUNTED, HYDRAULIC, CENTRIFUGAL, PILOT = (float(i) for i in range(4))


@dataclass(frozen=True)
class UnloaderSpec:
    """Valve, vent and what moves it.

    ``switch-mounted`` opens while the pressure switch stands at off, ``hydraulic`` while oil pressure is down,
    ``centrifugal`` while the crank turns slowly, ``pilot`` while the receiver is satisfied and the engine idles.
    """

    kind: str
    tube: str
    vent_diameter: float = measured("vent_diameter_mm", "mm", "m")
    # What shuts and opens it: oil pressure [psi] of a hydraulic one, crank speed [rpm] of a centrifugal one.
    shuts_at: float = 0.0
    opens_at: float = 0.0
    # Port through which the intercooler reaches the vent, over the vent's area.
    interstage_share: float = 0.0

    def __post_init__(self) -> None:
        check_positive(vent_diameter=self.vent_diameter)
        if self.kind not in KINDS:
            raise ValueError(f"unloader kind '{self.kind}' is not known; known: {', '.join(KINDS)}")
        if self.kind in ("hydraulic", "centrifugal") and not 0.0 < self.opens_at < self.shuts_at:
            raise ValueError(
                f"a {self.kind} unloader must open ({self.opens_at:g}) below where it shuts ({self.shuts_at:g})"
            )

    @property
    def at_pump(self) -> bool:
        """Whether it sits at the pump and vents there, not at the end of the head line."""
        return self.kind in ("hydraulic", "centrifugal")

    @property
    def has_tube(self) -> bool:
        """Whether a small tube leads to it from the check valve's side port."""
        return self.kind in ("switch-mounted", "centrifugal")


class UnloaderParameters(NamedTuple):
    """The unloader, faults included."""

    kind: float  # SWITCH_MOUNTED and so on
    open_area: float  # flow area while it vents [m²]
    running_leak_area: float  # flow area while it should be shut [m²]
    tube_leak_area: float  # flow area of the small tube's leaks [m²]
    interstage_area: float  # flow area from the intercooler while it vents [m²]
    from_receiver: float  # 1 when the tube was run to the receiver's side [-]
    always_open: float  # 1 when it never shuts [-]
    behind_bore: float  # 1 when the head line's bore lies between pump and vent [-]
    shuts_at: float  # oil pressure [Pa], crank speed [rad/s] or receiver pressure [Pa] by kind, gauge
    opens_at: float  # likewise


@law
def vent_area(unloader: UnloaderParameters, venting: float) -> float:
    """Flow area of the vent at this moment.

    Parameters
    ----------
    unloader : UnloaderParameters
        The unloader, faults included.
    venting : float
        1 while whatever moves the valve asks it to be open. [-]

    Returns
    -------
    float
        [m²]

    References
    ----------
    A valve moved mechanically, by oil, by weights or by a pilot; common practice.
    """
    if venting > 0.5 or unloader.always_open > 0.5:
        return max(unloader.open_area, unloader.running_leak_area)
    return unloader.running_leak_area

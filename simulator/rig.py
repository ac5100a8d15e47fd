"""A rig: the frozen Specs of all its parts, as read from the fixtures."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from simulator.components.check_valve import CheckValveSpec
from simulator.components.drive import DriveSpec
from simulator.components.head_line import HeadLineSpec
from simulator.components.intake import IntakeSpec
from simulator.components.motor import MotorSpec
from simulator.components.outlet import OutletSpec
from simulator.components.petrol_engine import EngineSpec
from simulator.components.pressure_switch import PressureSwitchSpec
from simulator.components.pump import CylinderSpec, PumpSpec
from simulator.components.receiver import ReceiverSpec
from simulator.components.relief_valve import ReliefValveSpec
from simulator.components.spec import BadSpec, build, nearest, tables
from simulator.components.supply import SupplySpec
from simulator.components.unloader import UnloaderSpec

FIXTURES = Path(__file__).parent.parent / "fixtures"


class UnknownRig(ValueError):
    """No rig of that name; names the nearest."""


CONTROLS = ("breaks-motor", "pilots-starter", "pilot-valve")


@dataclass(frozen=True)
class Rig:
    """A machine configuration."""

    slug: str
    title: str
    use: str
    display_units: str
    control: (
        str  # what ends pumping: a switch in the motor's line, one in the starter's coil, or a pilot valve
    )
    plates: Mapping[str, str]
    pump: PumpSpec
    drive: DriveSpec
    motor: MotorSpec | EngineSpec
    switch: PressureSwitchSpec
    unloader: UnloaderSpec
    head_line: HeadLineSpec
    check_valve: CheckValveSpec
    receiver: ReceiverSpec
    relief: ReliefValveSpec
    outlet: OutletSpec
    intake: IntakeSpec
    supply: SupplySpec
    interstage_relief: ReliefValveSpec | None = None
    head_relief: ReliefValveSpec | None = None
    fittings: Mapping[str, str] = field(default_factory=dict)
    reference: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.display_units not in ("us", "metric"):
            raise ValueError(f"display_units '{self.display_units}' is not us or metric")
        if self.control not in CONTROLS:
            raise ValueError(f"control '{self.control}' is not one of {', '.join(CONTROLS)}")
        if self.relief.set_pressure > self.receiver.maximum_pressure * (1 + 1e-9):
            raise ValueError("the relief is set above the receiver's MAWP; set it at or below the MAWP")
        if self.switch.cut_out >= self.relief.set_pressure:
            raise ValueError("cut-out must lie below the relief's set pressure")
        if self.stages == 2 and self.interstage_relief is None:
            raise ValueError("a two-stage pump needs an interstage_relief")
        if (self.control == "pilot-valve") != (self.unloader.kind == "pilot") or self.has_engine != (
            self.unloader.kind == "pilot"
        ):
            raise ValueError(
                "an engine goes with a pilot valve and a pilot unloader, and they with an engine"
            )
        if self.unloader.kind == "hydraulic" and not self.pump.oil_pressure > 0:
            raise ValueError("a hydraulic unloader needs a pump with oil_pressure_psig")
        if not self.has_engine and self.supply.feed == "none":
            raise ValueError("a motor needs a supply; feed is none")

    @property
    def stages(self) -> int:
        """1 or 2."""
        return max(cylinder.stage for cylinder in self.pump.cylinders)

    @property
    def has_engine(self) -> bool:
        """Whether an engine drives the pump."""
        return isinstance(self.motor, EngineSpec)

    @property
    def electric_motor(self) -> MotorSpec:
        """The motor of a rig that has one.

        Raises
        ------
        TypeError
            On a rig with an engine.
        """
        if isinstance(self.motor, EngineSpec):
            raise TypeError(f"{self.slug} is driven by an engine")
        return self.motor

    @property
    def swept_volume(self) -> float:
        """Swept by the first stage in one turn: the pump's displacement. [m³]"""
        return sum(cylinder.swept_volume for cylinder in self.first_stage)

    @property
    def first_stage(self) -> tuple[CylinderSpec, ...]:
        """Cylinders that draw from the filter."""
        return self.pump.of_stage(1)

    @property
    def second_stage(self) -> tuple[CylinderSpec, ...]:
        """Cylinders that draw from the interstage; none on a single-stage pump."""
        return self.pump.of_stage(2)


_PARTS: dict[str, type] = {
    "drive": DriveSpec,
    "switch": PressureSwitchSpec,
    "unloader": UnloaderSpec,
    "head_line": HeadLineSpec,
    "check_valve": CheckValveSpec,
    "receiver": ReceiverSpec,
    "relief": ReliefValveSpec,
    "outlet": OutletSpec,
    "intake": IntakeSpec,
    "supply": SupplySpec,
}
_OPTIONAL: dict[str, type] = {"interstage_relief": ReliefValveSpec, "head_relief": ReliefValveSpec}
_NOT_PARTS = {"fittings", "reference"}


def load_rigs(path: Path | None = None) -> dict[str, Rig]:
    """Read the rigs.

    Parameters
    ----------
    path : Path, optional
        Of the TOML file or of a folder of them; the project's fixtures if left out.

    Returns
    -------
    dict of str to Rig
        By slug.

    Raises
    ------
    BadSpec
        For unknown or missing keys and impossible figures, with the place and the rule.
    """
    rigs: dict[str, Rig] = {}
    for name, table in tables(path or FIXTURES / "rigs", "rig"):
        rig = _rig(table, f"{name}: rig '{table.get('slug', '?')}'")
        if rig.slug in rigs:
            raise BadSpec(f"{name}: rig '{rig.slug}' stands there twice.")
        rigs[rig.slug] = rig
    return rigs


def find_rig(rigs: Mapping[str, Rig], slug: str) -> Rig:
    """Find a rig by its slug.

    Parameters
    ----------
    rigs : mapping
        Of rigs by slug.
    slug : str
        The rig wanted.

    Returns
    -------
    Rig
        The rig.

    Raises
    ------
    UnknownRig
        Naming the nearest known slug.
    """
    if slug not in rigs:
        raise UnknownRig(f"No rig is called '{slug}'.{nearest(slug, set(rigs))}")
    return rigs[slug]


def _rig(table: dict[str, Any], where: str) -> Rig:
    known = set(Rig.__dataclass_fields__)
    for key in table:
        if key not in known:
            raise BadSpec(f"{where}: unknown key '{key}'.{nearest(key, known)}")
    parts: dict[str, Any] = {}
    for name in known - _NOT_PARTS - set(_OPTIONAL):
        if name not in table:
            raise BadSpec(f"{where}: '{name}' is missing.")
    for name, spec in {**_PARTS, **_OPTIONAL}.items():
        if name in table:
            parts[name] = build(spec, table.pop(name), f"{where}.{name}")
    motor = table.pop("motor")
    driver = EngineSpec if motor.get("kind") == "engine" else MotorSpec
    parts["motor"] = build(driver, motor, f"{where}.motor")
    pump = dict(table.pop("pump"))
    pump["cylinder"] = [
        build(CylinderSpec, cylinder, f"{where}.pump.cylinder") for cylinder in pump.get("cylinder", [])
    ]
    parts["pump"] = build(PumpSpec, pump, f"{where}.pump")
    try:
        return Rig(**table, **parts)
    except ValueError as refusal:
        raise BadSpec(f"{where}: {refusal}") from refusal

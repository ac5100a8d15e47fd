"""A rig: the frozen Specs of all its parts, as read from the fixtures."""

import tomllib
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
from simulator.components.pressure_switch import PressureSwitchSpec
from simulator.components.pump import CylinderSpec, PumpSpec
from simulator.components.receiver import ReceiverSpec
from simulator.components.relief_valve import ReliefValveSpec
from simulator.components.spec import BadSpec, build, nearest
from simulator.components.supply import SupplySpec
from simulator.components.unloader import UnloaderSpec

FIXTURES = Path(__file__).parent.parent / "fixtures"


class UnknownRig(ValueError):
    """No rig of that name; names the nearest."""


@dataclass(frozen=True)
class Rig:
    """A machine configuration."""

    slug: str
    title: str
    use: str
    display_units: str
    plates: Mapping[str, str]
    pump: PumpSpec
    drive: DriveSpec
    motor: MotorSpec
    switch: PressureSwitchSpec
    unloader: UnloaderSpec
    head_line: HeadLineSpec
    check_valve: CheckValveSpec
    receiver: ReceiverSpec
    relief: ReliefValveSpec
    outlet: OutletSpec
    intake: IntakeSpec
    supply: SupplySpec
    reference: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.display_units not in ("us", "metric"):
            raise ValueError(f"display_units '{self.display_units}' is not us or metric")
        if len(self.pump.cylinders) != 2:
            raise ValueError(f"{len(self.pump.cylinders)} cylinders; the machine is built for two in line")
        if self.relief.set_pressure > self.receiver.maximum_pressure:
            raise ValueError("the relief is set above the receiver's MAWP; set it at or below the MAWP")
        if self.switch.cut_out >= self.relief.set_pressure:
            raise ValueError("cut-out must lie below the relief's set pressure")

    @property
    def swept_volume(self) -> float:
        """Swept by all cylinders in one turn. [m³]"""
        return sum(cylinder.swept_volume for cylinder in self.pump.cylinders)


_PARTS: dict[str, type] = {
    "drive": DriveSpec,
    "motor": MotorSpec,
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


def load_rigs(path: Path | None = None) -> dict[str, Rig]:
    """Read the rigs.

    Parameters
    ----------
    path : Path, optional
        Of the TOML file; the project's fixtures if left out.

    Returns
    -------
    dict of str to Rig
        By slug.

    Raises
    ------
    BadSpec
        For unknown or missing keys and impossible figures, with the place and the rule.
    """
    path = path or FIXTURES / "rigs.toml"
    rigs: dict[str, Rig] = {}
    for table in tomllib.loads(path.read_text(encoding="utf-8")).get("rig", []):
        rig = _rig(dict(table), f"{path.name}: rig '{table.get('slug', '?')}'")
        if rig.slug in rigs:
            raise BadSpec(f"{path.name}: rig '{rig.slug}' stands there twice.")
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
    for name in known - {"reference"}:
        if name not in table:
            raise BadSpec(f"{where}: '{name}' is missing.")
    for name, spec in _PARTS.items():
        parts[name] = build(spec, table.pop(name), f"{where}.{name}")
    pump = dict(table.pop("pump"))
    pump["cylinder"] = [
        build(CylinderSpec, cylinder, f"{where}.pump.cylinder") for cylinder in pump.get("cylinder", [])
    ]
    parts["pump"] = build(PumpSpec, pump, f"{where}.pump")
    try:
        return Rig(**table, **parts)
    except ValueError as refusal:
        raise BadSpec(f"{where}: {refusal}") from refusal

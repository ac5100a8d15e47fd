"""Petrol engine with governor, throttle cylinder and electric starter."""

from dataclasses import dataclass

from simulator import electric
from simulator.compiled import law
from simulator.components.motor import MotorParameters
from simulator.components.spec import check_between, check_positive, measured

# Torque that turns an engine with its throttle shut, over rated torque (common practice, no source).
ENGINE_DRAG = 0.12


@dataclass(frozen=True)
class EngineSpec:
    """A petrol engine with a governor, a throttle cylinder that drops it to idle, and an electric starter."""

    rated_speed_rpm: float
    idle_speed_rpm: float
    firing_speed_rpm: float  # above which it runs by itself
    torque_reserve: float  # highest torque over rated torque [-]
    governor_droop: float  # fall of speed from no load to full throttle, over the speed [-]
    rated_power: float = measured("rated_power_kW", "kW", "W")
    inertia: float = measured("inertia_kgm2", "kg*m**2", "kg*m**2")
    starter_torque: float = measured("starter_torque_Nm", "N*m", "N*m")  # at the engine's shaft, standing
    starter_speed_rpm: float = 700.0  # of the engine's shaft, without load
    starter_time: float = measured(
        "starter_time_s", "s", "s", 8.0
    )  # after which a starter that stalls is let go
    shaft_diameter: float = measured("shaft_mm", "mm", "m", 25.4)
    kind: str = "engine"

    def __post_init__(self) -> None:
        check_positive(rated_power=self.rated_power, inertia=self.inertia, starter_torque=self.starter_torque)
        check_between(0.01, 0.2, governor_droop=self.governor_droop)
        check_between(1.0, 2.0, torque_reserve=self.torque_reserve)
        if not 0.0 < self.firing_speed_rpm < self.idle_speed_rpm < self.rated_speed_rpm:
            raise ValueError("firing speed, idle speed and rated speed must rise in this order")

    @property
    def full_load_torque(self) -> float:
        """Torque at rated power and speed. [N·m]"""
        return float(electric.torque(self.rated_power, self.rated_speed_rpm))


@law
def engine_torque(
    motor: MotorParameters, speed: float, running: float, cranking: float, loaded: float
) -> float:
    """Torque of a governed petrol engine, or of its starter before it fires.

    Parameters
    ----------
    motor : MotorParameters
        The engine.
    speed : float
        Of its shaft. [rad/s]
    running : float
        1 once it has fired. [-]
    cranking : float
        1 while the starter is held in. [-]
    loaded : float
        1 at full governed speed, 0 with the throttle cylinder holding it at idle. [-]

    Returns
    -------
    float
        At the shaft; drag of the closed throttle is negative. [N·m]

    References
    ----------
    Mechanical governor with droop: throttle in proportion to the fall of speed; series-wound starter with torque
    falling to nothing at its free speed. Common practice, no source.
    """
    if running > 0.5:
        target = motor.idle_speed + (motor.synchronous_speed - motor.idle_speed) * loaded
        throttle = (target * (1.0 + 0.5 * motor.governor_droop) - speed) / (target * motor.governor_droop)
        opened = min(max(throttle, 0.0), 1.0)
        return motor.full_load_torque * ((motor.torque_reserve + ENGINE_DRAG) * opened - ENGINE_DRAG)
    drag = ENGINE_DRAG * motor.full_load_torque * speed / (abs(speed) + 1.0)
    push = motor.start_torque * max(1.0 - speed / motor.starter_speed, 0.0) * cranking
    return push - drag

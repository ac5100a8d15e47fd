"""A turn of the crank, step by step: gas in cylinders and chambers, reeds, leaks, heat, work.

Every cylinder stands between the chamber it draws from and the chamber it delivers to. The chambers of a machine
lie in a row: intake chamber and discharge chamber of the first stage, then, with two stages, the intercooler and
the two chambers of the second. Room and line outside them do not change.
"""

import math
from typing import Any

import numpy as np

from simulator import air, flow
from simulator.compiled import law, stepping
from simulator.cylinder import laws
from simulator.cylinder.records import (
    BLOWN_BACK,
    CHAMBER_SUMS,
    DELIVERED,
    DISCHARGE,
    DISCHARGE_LEAK,
    DISCHARGE_LIFT,
    DISCHARGE_SPEED,
    DRAWN,
    ENERGY,
    ENTHALPY,
    FALLEN_BACK,
    GASKET,
    HEAT,
    HOT,
    INTAKE,
    INTAKE_LEAK,
    INTAKE_LIFT,
    INTAKE_SPEED,
    MASS,
    RING,
    SECOND_INTAKE,
    SUMS,
    WORK,
    Array,
    Outside,
)

CALM = 0.05  # a reed that would leave seat or stop more slowly stays there [m/s]
BOUNCE = 0.2  # share of its speed that a reed keeps at seat and stop; common practice, no source
OVERSHOOT = 0.01  # share of its full lift by which a step may carry a reed past seat or stop
HOPELESS = 1e9  # error over the tolerance at which a step says nothing about the next
SHORTEST = 1e-9  # step that is taken whatever its error [s]


@law
def _reed_pull(reed: Any, lift: float, speed: float, pressure_drop: float) -> float:
    """Acceleration of a reed; none of one that is broken or stuck. [m/s²]"""
    if reed.fixed_lift >= 0.0:
        return 0.0
    force = pressure_drop * reed.port_area - reed.preload - reed.stiffness * lift - reed.damping * speed
    if (lift <= 0.0 and speed <= 0.0 and force < 0.0) or (
        lift >= reed.stop_lift and speed >= 0.0 and force > 0.0
    ):
        return 0.0
    pull: float = force / reed.moving_mass
    return pull


@law
def _open_area(reed: Any, lift: float) -> float:
    area: float = laws.reed_flow_area(max(lift, 0.0), reed.stop_lift, reed.port_area, reed.coefficient)
    return area


@stepping
def _chamber_rates(chambers: Array, y: Array, outside: Outside, rate: Array) -> None:
    """Flows between the chambers, the room and the line, and heat from their walls."""
    last = chambers.shape[0] - 1
    room_p, room_t = outside.room_pressure, outside.room_temperature
    for n in range(chambers.shape[0]):
        p = (air.GAMMA - 1.0) * y[n, 1] / chambers[n].volume
        t = y[n, 1] / (air.CV * y[n, 0])
        lost = flow.orifice_mass_flow(chambers[n].leak_area, p, t, room_p)
        warmed = chambers[n].heat_passage * (chambers[n].wall_temperature - t)
        rate[n, 0] = -lost
        rate[n, 1] = warmed - lost * air.CP * t
        rate[n, 2] = 0.0
        rate[n, 3] = warmed
    p = (air.GAMMA - 1.0) * y[INTAKE, 1] / chambers[INTAKE].volume
    entering = laws.filter_mass_flow(outside.drop_coefficient, room_p - p)
    t = room_t if entering > 0.0 else y[INTAKE, 1] / (air.CV * y[INTAKE, 0])
    rate[INTAKE, 0] += entering
    rate[INTAKE, 1] += entering * air.CP * t
    rate[INTAKE, 2] = entering
    for n in range(DISCHARGE, last):
        p_a = (air.GAMMA - 1.0) * y[n, 1] / chambers[n].volume
        p_b = (air.GAMMA - 1.0) * y[n + 1, 1] / chambers[n + 1].volume
        t_a, t_b = y[n, 1] / (air.CV * y[n, 0]), y[n + 1, 1] / (air.CV * y[n + 1, 0])
        through = flow.two_way_mass_flow(outside.tube_area, p_a, t_a, p_b, t_b) if n < SECOND_INTAKE else 0.0
        leaving = t_a if through > 0.0 else t_b
        arriving = outside.cooled_temperature if n == DISCHARGE and through > 0.0 else leaving
        rate[n, 0] -= through
        rate[n, 1] -= through * air.CP * leaving
        rate[n + 1, 0] += through
        rate[n + 1, 1] += through * air.CP * arriving
        rate[n + 1, 2] = through
    p = (air.GAMMA - 1.0) * y[last, 1] / chambers[last].volume
    t = y[last, 1] / (air.CV * y[last, 0])
    out = flow.orifice_mass_flow(outside.line_area, p, t, outside.line_pressure)
    rate[last, 0] -= out
    rate[last, 1] -= out * air.CP * t


@stepping
def rates(
    cylinders: Array,
    reeds: Array,
    chambers: Array,
    outside: Outside,
    angle: float,
    y: Array,
    z: Array,
    y_rate: Array,
    z_rate: Array,
) -> None:
    """How fast everything changes with time at one angle of the crank.

    Parameters
    ----------
    cylinders, reeds, chambers : array
        Records, see `CYLINDER`, `REED` with shape (cylinders, 2), `CHAMBER`.
    outside : Outside
        What does not change.
    angle : float
        Of the crank. [rad]
    y, z : array
        State of the cylinders, shape (cylinders, COLUMNS), and of the chambers, (chambers, CHAMBER_COLUMNS).
    y_rate, z_rate : array
        Filled with the rates, per second.
    """
    _chamber_rates(chambers, z, outside, z_rate)
    k1 = air.GAMMA - 1.0
    for i in range(cylinders.shape[0]):
        c, intake, discharge = cylinders[i], reeds[i, 0], reeds[i, 1]
        a, b = c.intake_chamber, c.discharge_chamber
        p_a, p_b = k1 * z[a, 1] / chambers[a].volume, k1 * z[b, 1] / chambers[b].volume
        t_a, t_b = z[a, 1] / (air.CV * z[a, 0]), z[b, 1] / (air.CV * z[b, 0])
        travel, slope = laws.piston_travel(angle + c.lead, c.crank_radius, c.rod_ratio)
        disc = math.pi / 4.0 * c.bore * c.bore
        volume = c.clearance_volume + disc * travel
        p = k1 * y[i, ENERGY] / volume
        t = y[i, ENERGY] / (air.CV * y[i, MASS])

        open_in = _open_area(intake, y[i, INTAKE_LIFT])
        open_out = _open_area(discharge, y[i, DISCHARGE_LIFT])
        m_in = flow.two_way_mass_flow(open_in + intake.leak_area, p_a, t_a, p, t)
        m_out = flow.two_way_mass_flow(open_out + discharge.leak_area, p, t, p_b, t_b)
        m_ring = flow.two_way_mass_flow(
            c.ring_area, p, t, outside.crankcase_pressure, outside.room_temperature
        )
        m_gasket = flow.two_way_mass_flow(c.gasket_area, p_b, t_b, p_a, t_a)
        h_in = m_in * air.CP * (t_a if m_in > 0.0 else t)
        h_out = m_out * air.CP * (t if m_out > 0.0 else t_b)
        h_ring = m_ring * air.CP * (t if m_ring > 0.0 else outside.room_temperature)
        h_gasket = m_gasket * air.CP * (t_b if m_gasket > 0.0 else t_a)

        swept_rate = disc * slope * outside.speed
        piston_speed = 2.0 * c.crank_radius * outside.speed / math.pi
        wall = c.wall_share * (2.0 * disc + math.pi * c.bore * travel)
        heat = laws.wall_heat_coefficient(y[i, MASS] / volume, t, piston_speed, c.bore) * wall
        heat *= t - c.wall_temperature

        y_rate[i, MASS] = m_in - m_out - m_ring
        y_rate[i, ENTHALPY] = h_in - h_out - h_ring
        y_rate[i, ENERGY] = h_in - h_out - h_ring - heat - p * swept_rate
        y_rate[i, WORK] = -p * swept_rate
        y_rate[i, HEAT] = heat
        y_rate[i, INTAKE_LIFT] = y[i, INTAKE_SPEED]
        y_rate[i, DISCHARGE_LIFT] = y[i, DISCHARGE_SPEED]
        y_rate[i, INTAKE_SPEED] = _reed_pull(intake, y[i, INTAKE_LIFT], y[i, INTAKE_SPEED], p_a - p)
        y_rate[i, DISCHARGE_SPEED] = _reed_pull(
            discharge, y[i, DISCHARGE_LIFT], y[i, DISCHARGE_SPEED], p - p_b
        )
        y_rate[i, DRAWN] = max(m_in, 0.0)
        y_rate[i, BLOWN_BACK] = max(-m_in, 0.0)
        y_rate[i, DELIVERED] = max(m_out, 0.0)
        y_rate[i, FALLEN_BACK] = max(-m_out, 0.0)
        y_rate[i, RING] = m_ring
        y_rate[i, HOT] = max(m_out, 0.0) * t
        y_rate[i, INTAKE_LEAK] = max(-m_in, 0.0) * intake.leak_area / (open_in + intake.leak_area + 1e-30)
        y_rate[i, DISCHARGE_LEAK] = (
            max(-m_out, 0.0) * discharge.leak_area / (open_out + discharge.leak_area + 1e-30)
        )
        y_rate[i, GASKET] = m_gasket
        z_rate[a, 0] += m_gasket - m_in
        z_rate[a, 1] += h_gasket - h_in
        z_rate[b, 0] += m_out - m_gasket
        z_rate[b, 1] += h_out - h_gasket


@law
def _bounced(speed: float) -> float:
    """Speed after a stop that a reed reached at a speed below zero. [m/s]"""
    back = -BOUNCE * speed
    return back if back > CALM else 0.0


@stepping
def _hold(reeds: Array, y: Array) -> None:
    """Keep the reeds between seat and stop."""
    for i in range(reeds.shape[0]):
        for side in range(2):
            lift, speed = INTAKE_LIFT + 2 * side, INTAKE_SPEED + 2 * side
            fixed, stop = reeds[i, side].fixed_lift, reeds[i, side].stop_lift
            if fixed >= 0.0:
                y[i, lift], y[i, speed] = fixed, 0.0
            elif y[i, lift] < 0.0:
                y[i, lift], y[i, speed] = 0.0, _bounced(y[i, speed])
            elif y[i, lift] > stop:
                y[i, lift], y[i, speed] = stop, -_bounced(-y[i, speed])


@stepping
def _overshoot(reeds: Array, y: Array) -> float:
    """How far a step has carried reeds past seat or stop, over what it may."""
    worst = 0.0
    for i in range(reeds.shape[0]):
        for side in range(2):
            stop = reeds[i, side].stop_lift
            lift = y[i, INTAKE_LIFT + 2 * side]
            if reeds[i, side].fixed_lift < 0.0:
                worst = max(worst, max(-lift, lift - stop) / (OVERSHOOT * stop))
    return worst


@stepping
def _ahead(y: Array, z: Array, h: float, y_rate: Array, z_rate: Array, y_try: Array, z_try: Array) -> None:
    """A trial state part of a step ahead; sums are left out."""
    for i in range(y.shape[0]):
        for j in range(SUMS):
            y_try[i, j] = y[i, j] + h * y_rate[i, j]
    for i in range(z.shape[0]):
        for j in range(CHAMBER_SUMS):
            z_try[i, j] = z[i, j] + h * z_rate[i, j]


@stepping
def _step(y: Array, h: float, k: Array, y_new: Array, sums: int, tolerance: float) -> float:
    """Third-order result of a step from the four rates `k`; returns its error over the tolerance."""
    worst = 0.0
    for i in range(y.shape[0]):
        for j in range(y.shape[1]):
            y_new[i, j] = y[i, j] + h / 9.0 * (2.0 * k[0, i, j] + 3.0 * k[1, i, j] + 4.0 * k[2, i, j])
        for j in range(2):
            error = h * (k[1, i, j] / 12.0 + k[2, i, j] / 9.0 - 5.0 * k[0, i, j] / 72.0 - k[3, i, j] / 8.0)
            worst = max(worst, abs(error) / (tolerance * y[i, j]))
    return worst


@stepping
def _interval(
    cylinders: Array,
    reeds: Array,
    chambers: Array,
    outside: Outside,
    start: float,
    end: float,
    first_step: float,
    tolerance: float,
    y: Array,
    z: Array,
    room: tuple[Array, Array, Array, Array, Array, Array],
) -> tuple[float, int]:
    """Go from one angle to another in steps as short as the tolerance asks; returns the last one and their number."""
    k, q, y_try, z_try, y_new, z_new = room
    angle, wanted, taken = start, first_step, 0
    speed = outside.speed
    while end - angle > 1e-12:
        # What is left is shared evenly, so that no interval ends in a sliver.
        left = (end - angle) / speed
        h = left / math.ceil(left / wanted - 1e-9)
        rates(cylinders, reeds, chambers, outside, angle, y, z, k[0], q[0])
        _ahead(y, z, 0.5 * h, k[0], q[0], y_try, z_try)
        rates(cylinders, reeds, chambers, outside, angle + 0.5 * h * speed, y_try, z_try, k[1], q[1])
        _ahead(y, z, 0.75 * h, k[1], q[1], y_try, z_try)
        rates(cylinders, reeds, chambers, outside, angle + 0.75 * h * speed, y_try, z_try, k[2], q[2])
        k[3], q[3] = k[2], q[2]
        _step(y, h, k, y_new, SUMS, tolerance)
        _step(z, h, q, z_new, CHAMBER_SUMS, tolerance)
        rates(cylinders, reeds, chambers, outside, angle + h * speed, y_new, z_new, k[3], q[3])
        worst = max(
            _step(y, h, k, y_new, SUMS, tolerance),
            _step(z, h, q, z_new, CHAMBER_SUMS, tolerance),
            _overshoot(reeds, y_new),
        )
        taken += 1
        if not worst < HOPELESS:  # not-a-numbers too
            if h < SHORTEST:
                y[0, MASS] = math.nan
                return wanted, taken
            wanted = 0.1 * h
            continue
        if worst <= 1.0 or h < SHORTEST:
            y[:], z[:] = y_new, z_new
            _hold(reeds, y)
            angle += h * speed
        wanted = h * min(4.0, max(0.2, 0.9 / (worst + 1e-9) ** (1.0 / 3.0)))
    return wanted, taken


@stepping
def turn(
    cylinders: Array,
    reeds: Array,
    chambers: Array,
    outside: Outside,
    y: Array,
    z: Array,
    tolerance: float,
    y_trace: Array,
    z_trace: Array,
) -> int:
    """Turn the crank once round, with the sums set to nothing at the start.

    Parameters
    ----------
    cylinders, reeds, chambers : array
        Records, see `CYLINDER`, `REED` with shape (cylinders, 2), `CHAMBER`.
    outside : Outside
        What does not change.
    y, z : array
        States, changed in place.
    tolerance : float
        Of a step, relative, in every mass and energy. [-]
    y_trace, z_trace : array
        Filled with the states at equal angles, shape (rows, cylinders or chambers, columns). No step reaches
        over a row.

    Returns
    -------
    int
        Steps tried.

    References
    ----------
    Conservation of mass and energy of an ideal gas in open spaces; a reed as one spring with one mass. The pair of
    orders 3 and 2 of Bogacki and Shampine, Applied Mathematics Letters 2 (1989).
    """
    y[:, SUMS:] = 0.0
    z[:, CHAMBER_SUMS:] = 0.0
    rows = y_trace.shape[0]
    k, q = np.zeros((4, *y.shape)), np.zeros((4, *z.shape))
    room = (k, q, y.copy(), z.copy(), y.copy(), z.copy())
    h, taken = 1.0, 0
    for row in range(rows):
        y_trace[row], z_trace[row] = y, z
        start, end = 2.0 * math.pi * row / rows, 2.0 * math.pi * (row + 1) / rows
        h, more = _interval(cylinders, reeds, chambers, outside, start, end, h, tolerance, y, z, room)
        taken += more
    return taken

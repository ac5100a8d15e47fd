"""What everybody in the trade has seen a machine do: a loaded start, a low voltage, a plugged filter, water.

Common practice, no source, unless one is named; the figures of the sound machine are held elsewhere.
"""

import pytest

from simulator.faults import Injected
from simulator.session import Session
from simulator.units import convert


def psi(value):
    return convert(value, "psi", "Pa")


def test_a_loaded_head_stalls_the_start_and_trips_the_protector_in_seconds(rig, faults):
    """Locked rotor trips a motor's thermal protector in 5 to 15 s; common practice, no source."""
    session = Session(rig, faults, [Injected("unloader-stuck-shut", 1.0)], seed=1)
    session.operate("open-drain")
    session.operate("start")
    assert session.run_until("cut-in", 120.0)
    session.operate("shut-drain")
    assert session.run_until("cut-out", 300.0)
    session.operate("open-drain")
    assert session.run_until("receiver-below", 120.0, psi(95.3))
    session.operate("shut-drain")
    session.operate("open-outlet")
    assert session.run_until("cut-in", 120.0)
    at = session.clock

    assert session.run_until("trip", 60.0)

    assert 5.0 <= session.clock - at <= 16.0
    assert float(session.channel("pump_speed_rpm", at)[1].max()) < 60.0
    current = float(session.channel("motor_current", at + 0.5)[1][1])
    assert current == pytest.approx(rig.motor.locked_rotor_current, rel=0.05)


def test_the_same_head_vented_by_the_cock_starts_sweetly(rig, faults):
    session = Session(
        rig, faults, [Injected("unloader-stuck-shut", 1.0)], seed=1, receiver_gauge_pressure=psi(94)
    )
    session.operate("start")
    assert session.run_until("cut-out", 300.0)
    session.operate("vent-head")
    session.run(10.0)
    session.operate("shut-head-vent")
    session.operate("open-drain")
    assert session.run_until("cut-in", 120.0)
    session.run(5.0)

    assert session.now()["pump_speed_rpm"] > 1000
    assert not session.protector_tripped


def test_condensate_of_a_fill_is_what_the_settled_receiver_cannot_hold(rig, faults):
    """Water carried in by one fill, less what the air holds at 20 °C and cut-out.

    Source: vapour pressure of water 2.3388 kPa at 20 °C, CRC Handbook of Chemistry and Physics; humidity ratio
    0.62198 e/(p - e), ASHRAE Handbook Fundamentals.
    """
    session = Session(rig, faults, [], seed=1, receiver_gauge_pressure=0.0)
    session.operate("start")
    assert session.run_until("cut-out", 900.0)
    before = rig.receiver.volume * 0.001 * 998.0  # standing at the bottom when work began
    session.run(7200.0)

    in_receiver = session.snapshot.state.receiver_mass
    carried = 0.62198 * 0.6 * 2.3388 / (101.325 - 0.6 * 2.3388)
    kept = 0.62198 * 2.3388 / (963.2 - 2.3388)
    condensate = session.now()["receiver_water"] - before
    assert condensate == pytest.approx(in_receiver * (carried - kept), rel=0.08)


def test_low_voltage_takes_more_running_and_less_starting_current(rig, faults):
    """Induction motors at constant load; any text on electrical machines."""
    running, starting = [], []
    for injected in ([], [Injected("extension-cord-undersized", 0.3)]):
        session = Session(rig, faults, injected, seed=1, receiver_gauge_pressure=psi(94))
        session.operate("start")
        session.run(0.05)
        starting.append(session.now()["motor_current"])
        session.run(60.0)
        running.append(session.now()["motor_current"])

    assert starting[1] < starting[0]
    assert running[1] > running[0]


def test_a_plugged_filter_lowers_the_amps(rig, faults):
    amps = []
    for injected in ([], [Injected("intake-filter-plugged", 0.8)]):
        session = Session(rig, faults, injected, seed=1, receiver_gauge_pressure=psi(110))
        session.operate("open-drain")
        session.operate("start")
        session.run_until("cut-in", 100.0)
        session.operate("shut-drain")
        session.run(40.0)
        amps.append(session.now()["motor_current"])

    assert amps[1] < 0.95 * amps[0]

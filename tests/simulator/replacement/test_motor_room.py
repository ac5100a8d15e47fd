"""How warm a room a motor may work in, by its plate, its service factor and the height above the sea."""

import pytest

from simulator.replacement.motor_room import allowed_ambient
from simulator.replacement.plates import read_motor_plate

ZERO_CELSIUS = 273.15


@pytest.mark.parametrize(
    ("metres", "celsius"),
    [(0, 40), (1000, 40), (1500, 35), (2000, 30), (3000, 20)],
)
def test_height_takes_10_kelvin_for_each_1000_m_above_1000(metres, celsius):
    """NEMA MG 1 14.4 and IEC 60034-1 clause 6 (30 °C to 2000 m, 20 °C to 3000 m), from memory."""
    plate = read_motor_plate("sf=1.0")

    assert allowed_ambient(plate, float(metres)) == pytest.approx(celsius + ZERO_CELSIUS)


@pytest.mark.parametrize(("metres", "celsius"), [(1000, 40), (2740, 40), (2741, 22.59)])
def test_unused_service_factor_makes_up_for_height_to_2740_m(metres, celsius):
    """NEMA MG 1 14.4 (9000 ft for a service factor of 1.15 or higher), from memory."""
    plate = read_motor_plate("sf=1.15")

    assert allowed_ambient(plate, float(metres)) == pytest.approx(celsius + ZERO_CELSIUS)


def test_plate_that_names_its_ambient_counts_from_there():
    assert allowed_ambient(read_motor_plate("amb=50 °C"), None) == pytest.approx(50 + ZERO_CELSIUS)

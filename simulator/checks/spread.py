"""Instruments are never exact: each check draws its instruments' errors once, from a key."""

import numpy as np

PSI = 6894.757293168361  # [Pa]

# Accuracies: common practice, no source.
DIAL_SHARE = 0.02  # of span [-]
REFERENCE_SHARE = 0.01  # of span [-]
GAUGE_SPAN = 200.0 * PSI
CLAMP_SHARE = 0.02  # of reading [-]
VOLTS_SHARE = 0.01  # of reading [-]
THERMOMETER_ERROR = 3.0  # [K]
STOPWATCH_ERROR = 1.0  # [s]
MOVING_NEEDLE = 3.0 * PSI  # by eye [Pa]
STILL_NEEDLE = 0.5 * PSI  # by eye, mirror scale [Pa]
TACHOMETER_SHARE = 0.001  # of reading [-]
CAPACITANCE_SHARE = 0.01  # of reading [-]
OHMS_SHARE = 0.01  # of reading [-]
INSULATION_SHARE = 0.05  # of reading [-]
RULE_ERROR = 0.5e-3  # [m]


class Instruments:
    """The instruments of one check, with errors drawn once each.

    An error that belongs to the instrument (a dial's calibration, a clamp's) is the same for all readings
    of one check; an error of the eye or the thumb is drawn anew for each reading.

    Parameters
    ----------
    generator : numpy.random.Generator
        Seeded by the attempt and the check's key, so that a replay reads the same figures.
    """

    def __init__(self, generator: np.random.Generator) -> None:
        self._generator = generator
        # All drawn at once and in one order: a reading more or less must not shift the others.
        (
            self._dial,
            self._reference,
            self._clamp,
            self._volts,
            self._tachometer,
            self._capacitance,
            self._thermometer,
        ) = (self._draw() for _ in range(7))

    def _draw(self) -> float:
        """Draw an error as a share of the stated accuracy, which is taken as two standard deviations."""
        return float(np.clip(self._generator.normal(0.0, 0.5), -1.0, 1.0))

    def dial(self, gauge_pressure: float, *, moving: bool = False) -> float:
        """Read a dial gauge, 2 percent of span. [Pa]"""
        eye = MOVING_NEEDLE if moving else STILL_NEEDLE
        shown = gauge_pressure + self._dial * DIAL_SHARE * GAUGE_SPAN + self._draw() * eye
        return _on_pin(gauge_pressure, shown)

    def fitted_dial(self, shown: float, *, moving: bool = False) -> float:
        """Read by eye a gauge whose own error is already in what it shows. [Pa]"""
        return _on_pin(shown, shown + self._draw() * (MOVING_NEEDLE if moving else STILL_NEEDLE))

    def reference(self, gauge_pressure: float, *, moving: bool = False) -> float:
        """Read the proven gauge, 1 percent of span. [Pa]"""
        eye = MOVING_NEEDLE / 2.0 if moving else STILL_NEEDLE
        shown = gauge_pressure + self._reference * REFERENCE_SHARE * GAUGE_SPAN + self._draw() * eye
        return _on_pin(gauge_pressure, shown)

    def clamp(self, current: float) -> float:
        """Read a clamp meter. [A]"""
        return current * (1.0 + self._clamp * CLAMP_SHARE)

    def volts(self, voltage: float) -> float:
        """Read a voltmeter. [V]"""
        return voltage * (1.0 + self._volts * VOLTS_SHARE)

    def thermometer(self, temperature: float) -> float:
        """Read a spot thermometer on a matt black mark; two thirds of its error are the same wherever it points. [K]"""
        return temperature + (2.0 * self._thermometer + self._draw()) / 3.0 * THERMOMETER_ERROR

    def rounded(self, pressure_difference: float) -> float:
        """Take the difference of two readings of one still needle. [Pa]"""
        return pressure_difference + self._draw() * STILL_NEEDLE

    def stopwatch(self, seconds: float) -> float:
        """Time something by thumb. [s]"""
        return max(seconds + self._draw() * STOPWATCH_ERROR, 0.2)

    def tachometer(self, speed_rpm: float) -> float:
        """Read an optical tachometer. [rpm]"""
        return speed_rpm * (1.0 + self._tachometer * TACHOMETER_SHARE)

    def capacitance(self, farads: float) -> float:
        """Read a capacitance meter. [F]"""
        return farads * (1.0 + self._capacitance * CAPACITANCE_SHARE)

    def ohms(self, resistance: float) -> float:
        """Read a low-ohm meter: the same instrument as measures capacitance. [ohm]"""
        return resistance * (1.0 + self._capacitance * OHMS_SHARE)

    def megohms(self, resistance: float) -> float:
        """Read an insulation tester. [ohm]"""
        return resistance * (1.0 + self._volts * INSULATION_SHARE)

    def eye(self, value: float, error: float) -> float:
        """Judge something by an error of its own. [unit of the value]"""
        return value + self._draw() * error

    def rule(self, length: float) -> float:
        """Read a steel rule. [m]"""
        return max(length + self._draw() * RULE_ERROR, 0.0)


def _on_pin(true_pressure: float, shown: float) -> float:
    """A gauge without pressure rests on its pin; none shows less than that."""
    return max(shown, 0.0) if true_pressure > PSI else 0.0

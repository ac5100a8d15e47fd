"""What ear, paper strip and soap can tell: thresholds in free air.

All thresholds are common practice, no source: a person with good ears at arm's length, a listening tube of
half a metre, a strip of newspaper a finger wide, washing-up liquid in water.
"""

from simulator.rig import Rig

FREE_AIR_DENSITY = 1.2041  # at 14.7 psia and 20 °C [kg/m³]
_LITRES_PER_MINUTE = 60_000.0 / FREE_AIR_DENSITY  # per kg/s

HEARD_IN_QUIET = 0.5  # tube at the place, machine and shop at rest [L/min]
HEARD_BY_THE_MACHINE = 0.9  # beside a stopped machine, shop at work [L/min]
HEARD_WHILE_PUMPING = 4.0  # tube at the place, over the pump's noise [L/min]
PSST_ENDS = 4.0  # a vent is over for an ear at arm's length [L/min]
LOUD_PART_ENDS = 40.0  # the loud part of a vent is over that has a soft part after it [L/min]
FEEBLE = 60.0  # a vent that never gets louder than this is feeble [L/min]
BLOW = 80.0  # a hiss becomes a blow [L/min]
BUBBLES = 0.3  # a soap film grows [L/min]
FOAM_BLOWN = 40.0  # a soap film is blown off before it grows [L/min]
PAPER_STIRS = 4.0  # a strip on a stick is moved [L/min]
PUFFS = 5.0  # a breather's flutter becomes puffs [L/min]
FLUTTER = 0.15  # least that stirs the strip at a breather [L/min]
WORTH_A_SURVEY = 413_685.0  # receiver pressure that keeps a shop line charged, 60 psi gauge [Pa]
BLAST = 60.0  # a kick at the filter becomes a blast [L/min]


def puffs(rig: Rig) -> float:
    """Air at which a breather's flutter becomes puffs: more cylinders breathe more. [L/min]"""
    return PUFFS * max(len(rig.pump.cylinders), 2) / 2.0


def litres_per_minute(mass_flow: float) -> float:
    """Express a mass flow as free air in litres per minute.

    Parameters
    ----------
    mass_flow : float
        [kg/s]

    Returns
    -------
    float
        Free air at 14.7 psia and 20 °C. [L/min]

    Examples
    --------
    >>> round(litres_per_minute(0.001), 2)
    49.83
    """
    return mass_flow * _LITRES_PER_MINUTE

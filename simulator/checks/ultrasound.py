"""The ultrasonic detector: it hears the hiss of a leak through the noise of shop and pump."""

from simulator.checks.hand import Job, put_back_outlet
from simulator.checks.listening import ENOUGH_PRESSURE, feed_shop_line
from simulator.checks.words import CannotTake

HELD = 10.0  # at one place [s]
HISS, ROAR = 0.25, 20.0  # in the headphones; common practice, no source [L/min]


def ultrasonic(job: Job) -> str:
    """Hold the detector to the joints at one place, whatever noise there is."""
    session = job.session
    if max(job.now("receiver_gauge_pressure"), job.now("head_line_gauge_pressure")) < ENOUGH_PRESSURE / 2.0:
        raise CannotTake(
            "There is too little pressure for a leak to hiss. Pump up first, then take this check again."
        )
    was_open = session.hands.outlet_open
    if job.place == "lp-outlet":
        feed_shop_line(job)
    began = session.clock
    session.run(HELD)
    put_back_outlet(job, was_open)
    air = job.air_at(job.place, began, began + HELD)
    if air > ROAR:
        return "roar"
    return "hiss" if air > HISS else "nothing-heard"

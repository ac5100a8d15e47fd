"""A machine's parameters as one record in memory, which compiled code is handed by its address.

Named tuples are copied from call to call; a record of the same names is read where it lies.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, get_args, get_type_hints

import numpy as np

from simulator.machine import Parameters


def _dtype(kind: Any) -> Any:
    """Layout of a named tuple, of a tuple of floats, or of a float."""
    if hasattr(kind, "_fields"):
        hints = get_type_hints(kind)
        return np.dtype([(name, _dtype(hints[name])) for name in kind._fields])
    if get_args(kind):
        return np.dtype(("f8", (len(get_args(kind)),)))
    return np.dtype("f8")


LAYOUT = _dtype(Parameters)


def _flat(values: tuple[Any, ...]) -> Iterator[float]:
    for value in values:
        if isinstance(value, tuple):
            yield from _flat(value)
        else:
            yield value


# Kept: a session runs the same machine many times over.
@lru_cache(maxsize=256)
def record(p: Parameters) -> Any:
    """Lay out a machine's parameters in memory.

    Parameters
    ----------
    p : Parameters
        The machine.

    Returns
    -------
    numpy.record
        The same names and values.
    """
    return np.array(list(_flat(p))).view(LAYOUT)[0]

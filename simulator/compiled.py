"""How the engine's functions are compiled: once, kept on disk, and never raising on a trial state.

A step may try a state that no machine can have; the numbers that come out are then not finite, and the step is
refused. So division follows IEEE 754 instead of raising.
"""

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

FunctionT = TypeVar("FunctionT", bound=Callable[..., Any])

# Sums may be reordered and contracted; infinities and not-a-numbers stay what they are.
_FAST = {"contract", "arcp", "reassoc", "nsz"}


def law(function: FunctionT) -> FunctionT:
    """Compile a law of the machine, to be built into whatever calls it.

    Parameters
    ----------
    function : callable
        Of floats and named tuples of floats.

    Returns
    -------
    callable
        The same, compiled.
    """
    return cast(
        "FunctionT", njit(cache=True, forceinline=True, error_model="numpy", fastmath=_FAST)(function)
    )


def part(function: FunctionT) -> FunctionT:
    """Compile a large piece of the machine once, to be called from several places.

    Parameters
    ----------
    function : callable
        Of floats, records and named tuples of floats.

    Returns
    -------
    callable
        The same, compiled.
    """
    return cast("FunctionT", njit(cache=True, error_model="numpy", fastmath=_FAST)(function))


def stepping(function: FunctionT) -> FunctionT:
    """Compile a part of the engine.

    Parameters
    ----------
    function : callable
        Of arrays, floats and named tuples.

    Returns
    -------
    callable
        The same, compiled.
    """
    return cast("FunctionT", njit(cache=True, error_model="numpy")(function))

"""Reciprocating air compressors as physics: rigs, faults, checks and the engine that runs them."""

import hashlib
from pathlib import Path

import numba

_HERE = Path(__file__).parent


# Everything that is compiled, or whose tuples the compiled code is built on.
_COMPILED = (
    "air.py",
    "assembly/*.py",
    "channels.py",
    "compiled.py",
    "components/*.py",
    "driving.py",
    "dynamics.py",
    "engine/*.py",
    "flow.py",
    "flows.py",
    "heat.py",
    "machine.py",
    "pumping.py",
    "spaces.py",
    "staging.py",
    "state.py",
    "steady.py",
)


# The cycle-resolved cylinder is compiled too, but no attempt depends on it: it makes no version of the engine.
_COMPILED_BESIDE = ("cylinder/*.py",)


def _source_digest(patterns: tuple[str, ...]) -> str:
    """Digest of the sources that are compiled: compiled code is only as good as the text it came from."""
    digest = hashlib.sha256()
    for pattern in patterns:
        for source in sorted(_HERE.glob(pattern)):
            digest.update(source.relative_to(_HERE).as_posix().encode())
            digest.update(source.read_bytes())
    return digest.hexdigest()[:16]


# numba checks only the file of the function itself, not of the functions it calls, so compiled code is
# kept in a folder named after the text of all of them: a change in any compiles afresh.
ENGINE_VERSION = _source_digest(_COMPILED)
ENGINE_CACHE = _HERE.parent / ".engine-cache" / ENGINE_VERSION
if not numba.config.CACHE_DIR:  # type: ignore[attr-defined]  # numba sets its settings at run time
    numba.config.CACHE_DIR = str(ENGINE_CACHE / _source_digest(_COMPILED_BESIDE))  # type: ignore[attr-defined]

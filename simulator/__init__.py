"""Reciprocating air compressors as physics: rigs, faults, checks and the engine that runs them."""

import hashlib
from pathlib import Path

import numba

_HERE = Path(__file__).parent


def _source_digest() -> str:
    """Digest of every source file of this package: compiled code is only as good as the text it came from."""
    digest = hashlib.sha256()
    for source in sorted(_HERE.rglob("*.py")):
        digest.update(source.relative_to(_HERE).as_posix().encode())
        digest.update(source.read_bytes())
    return digest.hexdigest()[:16]


# numba checks only the file of the function itself, not of the functions it calls, so compiled code is
# kept in a folder named after the whole package's text: a change anywhere compiles afresh.
ENGINE_VERSION = _source_digest()
ENGINE_CACHE = _HERE.parent / ".engine-cache" / ENGINE_VERSION
if not numba.config.CACHE_DIR:  # type: ignore[attr-defined]  # numba sets its settings at run time
    numba.config.CACHE_DIR = str(ENGINE_CACHE)  # type: ignore[attr-defined]

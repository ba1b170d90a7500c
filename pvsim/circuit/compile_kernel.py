"""Compiling the solver's kernel: while pvsim is built, and by `python pvsim/circuit/compile_kernel.py`.

Where there is no C compiler nothing is made and nothing is missed but speed.
"""

from __future__ import annotations

import zlib
from itertools import product
from pathlib import Path

SOURCE = Path(__file__).with_name("kernel.c")
_COMPILERS = ("cc", "gcc", "clang")
# A multiplication and an addition may be rounded once; no other liberty is taken with the arithmetic.
_FLAGS = (
    "-O3 -std=c99 -shared -fPIC -fvisibility=hidden -fno-math-errno -fno-trapping-math -ffp-contract=fast"
)
_WIDER = "-fopenmp-simd -mprefer-vector-width=512 -s"  # not every compiler knows these
_NARROWER = ("-fopenmp-simd -DONE_PROCESSOR", "-DONE_PROCESSOR")
_LONGEST_s = 300


def library_path() -> Path:
    """Where the compiled kernel lies, beside its source."""
    # Not "kernel.so", which Python would take for a module.
    return SOURCE.with_name("kernel.library")


def made_of() -> str:
    """What tells this source and way of compiling from any other: a library made of others is not loaded."""
    return f"{zlib.crc32(SOURCE.read_bytes() + (_FLAGS + _WIDER).encode('ascii')):08x}"


def compile_kernel() -> bool:
    """Compile the kernel beside its source, unless that was done; whether it is there."""
    library = library_path()
    if library.exists() and made_of().encode("ascii") + b"\0" in library.read_bytes():
        return True
    # Only here: whoever solves a circuit asks this file no more than where the library lies.
    import shlex
    import shutil
    import subprocess
    import sysconfig

    named = shlex.split(sysconfig.get_config_var("CC") or "")[:1]
    compilers = [found for name in (*_COMPILERS, *named) if (found := shutil.which(name))]
    made = library.with_suffix(f".{made_of()}.new")
    given = [str(SOURCE), "-o", str(made), f'-DMADE_OF="{made_of()}"', "-lm"]
    try:
        for compiler, more in product(compilers, (_WIDER, *_NARROWER)):
            command = [compiler, *_FLAGS.split(), *more.split(), *given]
            done = subprocess.run(command, capture_output=True, timeout=_LONGEST_s, check=False)
            if done.returncode == 0:
                made.replace(library)  # whoever has the old one open keeps it
                return True
    except (OSError, subprocess.TimeoutExpired):
        pass
    finally:
        made.unlink(missing_ok=True)
    return False


if __name__ == "__main__":
    print(library_path() if compile_kernel() else "no C compiler made it: numpy does the kernel's work")

"""What building pvsim adds to it: the solver's kernel, compiled where there is a C compiler."""

from __future__ import annotations

import sysconfig
from pathlib import Path
from runpy import run_path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class KernelHook(BuildHookInterface[Any]):
    """Compiles the kernel into the wheel, or beside its source for an editable installation."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Called by hatchling before it builds."""
        if self.target_name != "wheel":
            return
        # By its path: pvsim itself cannot be imported here, where nothing is installed but hatchling.
        tools = run_path(str(Path(__file__).with_name("compile_kernel.py")))
        if not tools["compile_kernel"]():
            self.app.display_warning("no C compiler made the solver's kernel: numpy does its work, slower")
            return
        library = tools["library_path"]().relative_to(self.root)
        build_data["artifacts"].append(library.as_posix())
        build_data["pure_python"] = False
        build_data["tag"] = f"py3-none-{sysconfig.get_platform().replace('-', '_').replace('.', '_')}"

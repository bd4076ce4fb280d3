"""A step of building the wheel: what is worked out from the tables goes into it, ready made."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class ShipTables(BuildHookInterface):  # type: ignore[type-arg]
    """Adds `rules/made` to a wheel; without it the first start takes some seconds longer."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Hatchling's hook, called before the files of a wheel are put together."""
        if self.target_name != "wheel" or version == "editable":
            return
        self._made = tempfile.TemporaryDirectory()
        done = subprocess.run(
            [sys.executable, "-m", "helper.made", self._made.name],
            cwd=self.root,
            env={**os.environ, "PYTHONPATH": os.pathsep.join([self.root, *sys.path])},
            capture_output=True,
            text=True,
        )
        if done.returncode:
            self.app.display_warning(f"Tables are not made ready: {done.stderr[-300:]}")
            return
        for path in Path(self._made.name).iterdir():
            build_data["force_include"][str(path)] = f"rules/made/{path.name}"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Hatchling's hook, called after the wheel is written."""
        made = getattr(self, "_made", None)
        if made is not None:
            made.cleanup()

"""The kernel is plain Python: it loads in an interpreter that has no site packages."""

import subprocess
import sys
from pathlib import Path

from apiary_ops import kernel

FOLDER = Path(kernel.__file__).parent


def test_the_kernel_loads_without_any_installed_package():
    modules = ", ".join(f"apiary_ops.kernel.{path.stem}" for path in sorted(FOLDER.glob("[a-z]*.py")))
    script = f"import sys; sys.path.insert(0, {str(FOLDER.parents[1])!r}); import {modules}"

    loading = subprocess.run([sys.executable, "-I", "-S", "-c", script], capture_output=True, text=True, check=False)

    assert loading.stderr == ""
    assert loading.returncode == 0

"""The page's modules by themselves: their own tests in node, and their types."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

HERE = Path(__file__).parent
NODE = shutil.which("node")
COMPILER = HERE / "node_modules" / ".bin" / "tsc"


def needed(found: object, what: str) -> None:
    """Skip where something is missing on a developer's machine; in CI it must be there."""
    if not found and not os.environ.get("CI"):
        pytest.skip(f"{what} is not installed here")
    assert found, f"CI needs {what}"


def run(*command: str) -> str:
    done = subprocess.run(command, cwd=HERE, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
    return done.stdout


@pytest.mark.parametrize("module", sorted((HERE / "unit").glob("*.test.js")), ids=lambda path: path.stem)
def test_module_keeps_its_word(module: Path) -> None:
    needed(NODE, "node")
    assert "# fail 0" in run(str(NODE), "--test", "--test-reporter=tap", str(module))


def test_types_agree() -> None:
    needed(COMPILER.exists(), "typescript (npm install in tests/export/page)")
    run(str(COMPILER), "--project", "tsconfig.json")

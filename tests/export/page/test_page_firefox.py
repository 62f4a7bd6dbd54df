"""The page's core in a second engine: Debian's Firefox, driven over WebDriver BiDi."""

import json
import os
import shutil
import subprocess
from pathlib import Path

from page_browser import missing
from page_drills import drill, html_of

HERE = Path(__file__).parent


def test_the_page_opens_draws_and_waits_in_firefox(tmp_path: Path) -> None:
    firefox, node = shutil.which("firefox-esr") or shutil.which("firefox"), shutil.which("node")
    if not firefox or not node:
        missing("firefox-esr and node (apt-get install firefox-esr nodejs)")
    if not (HERE / "node_modules" / "puppeteer-core").exists():
        missing("puppeteer-core (npm install in tests/export/page)")
    file = tmp_path / "week.html"
    file.write_bytes(html_of(drill()))
    done = subprocess.run(
        [str(node), "firefox.js", str(firefox), file.as_uri()],
        cwd=HERE,
        env={**os.environ, "HOME": str(tmp_path)},  # its profile and caches
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-3000:]
    found = json.loads(done.stdout)
    assert found["faults"] == []
    assert found["rows"] >= 1
    assert found["second"] == "Cm"
    assert found["lit"] == 2, "a chord in each staff"
    assert found["waited"] == ["E♭", "Cm", "A♭", "B♭7", "E♭"]
    assert found["report"] == "Once through without a slip."
    assert abs(found["sound"]["onset"] - 0.25) < 0.0001, "an offline context keeps time"

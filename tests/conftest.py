"""What all tests share: how properties are searched, a folder to work in, and a browser where one is needed.

No example has a deadline, for no test may depend on how busy the machine is. Where CI is set the examples are
the same every time, so that a run there fails for what was changed; elsewhere they are new each time.
"""

import os
from pathlib import Path

import pytest
from hypothesis import settings
from page_browser import browser as browser
from page_browser import opened as opened

settings.register_profile("here", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "here")


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own that a test is in, as a teacher's prompt would be."""
    monkeypatch.chdir(tmp_path)
    return tmp_path

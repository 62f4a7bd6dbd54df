"""What all tests share: how properties are searched, and a browser for those that need one.

No example has a deadline, for no test may depend on how busy the machine is. Where CI is set the examples are
the same every time, so that a run there fails for what was changed; elsewhere they are new each time.
"""

import os

from hypothesis import settings
from page_browser import browser as browser
from page_browser import opened as opened

settings.register_profile("here", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "here")

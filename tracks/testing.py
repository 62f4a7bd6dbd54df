"""What authors of styles test theirs with; see `tracks.style.testing`."""

from tracks.style.testing import check_style as check_style

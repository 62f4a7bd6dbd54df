"""The practice page: a drill in all its keys as one HTML file that plays, listens and waits."""

"""The command line: options in, calls, words out. Nothing in the project imports it."""

from tracks.cli.ending import main

__all__ = ["main"]

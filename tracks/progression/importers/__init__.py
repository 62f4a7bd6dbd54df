"""Importers: files of real music in, lead sheets out; one format one module."""

"""Piece to bytes: one format, one module; a heavy library is imported only inside the one that needs it."""

"""The styles, one module each; found by entry point, exactly as anybody else's are."""

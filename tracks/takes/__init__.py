"""Takes: a student's recorded performance, read, aligned with what the drill asks for, and judged."""

"""What a student reads beside practice material: hands and ears can be hurt, and the teacher decides."""

CAUTION = (
    "Rest often, stop at pain, keep the volume moderate; where your teacher says otherwise, "
    "follow your teacher."
)
CAUTION_ON_SCREEN = CAUTION.replace("; ", ";\n")
"""In lines that a narrow terminal holds."""

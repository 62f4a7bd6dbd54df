"""What a student reads beside practice material: hands and ears can be hurt, and the teacher decides."""

CAUTION = (
    "Rest often, stop at pain, keep the volume moderate; where your teacher says otherwise, "
    "follow your teacher."
)
CAUTION_ON_SCREEN = CAUTION.replace("; ", ";\n")
"""In two lines, so that no word of it hangs alone."""
CAUTION_AT_THE_PIANO = "Rest often and stop at pain; where your teacher says otherwise, follow your teacher."
"""Where nothing sounds but the student's own playing."""
CAUTION_IN_A_TAG = "Rest often, stop at pain, keep the volume moderate; follow your teacher."
"""In a sound file's comment, of which old players show a line."""

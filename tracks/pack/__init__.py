"""The files of a drill, and the folder they are written into, whole or not at all."""

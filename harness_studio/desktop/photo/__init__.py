"""The room of the photo that is traced: read, kept as PNG beside the project, scaled by two points, faded, locked."""

"""The project file: one YAML text per harness, read with every mistake named and written without losing a comment."""

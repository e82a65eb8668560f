"""The room of keys: every command with its keys, which can be changed in place."""

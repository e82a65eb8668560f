"""The room of two modes: side by side, only what differs."""

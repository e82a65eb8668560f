"""The harness as plain data: what is on the paper, never what was computed from it."""

"""Lets ``python -m harness_studio`` do what the ``harness-studio`` command does."""

import sys

from harness_studio.app.main import main

if __name__ == "__main__":
    sys.exit(main())

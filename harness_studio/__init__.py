"""Documents a vehicle harness, shows what shares a ground, and predicts what a poor joint does."""

__version__ = "0.1.0"

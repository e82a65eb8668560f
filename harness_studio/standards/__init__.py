"""Typed access to published tables (data in resources/standards): every figure with its source and sureness."""

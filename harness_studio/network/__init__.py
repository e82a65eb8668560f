"""The one expansion: harness + mode → points, resistances and elements, frozen."""

"""Ids, units, geometry, change notices, errors and the door to the resources: what every layer may use."""

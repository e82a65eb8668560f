"""What is to be kept in mind before a finding or an advice is acted on; shown in the window and in the output."""

from __future__ import annotations

PLANNING = (
    "Planning aid: measured values, the vehicle maker's data, local codes and licensed practice come first."
)
CAUTIONS = (
    PLANNING,
    "Battery off before work on wiring: the grounded lead first off and last on, never with the engine running.",
    "Never a bigger fuse without the wire. A fuse that blows again has a fault behind it.",
    "Airbag and belt-tensioner circuits are not probed; ohms only with the power off; jumpers are fused.",
    "Figures marked 'common practice, no source' or 'from memory' are no standard.",
)
"""The cautions that go with findings and sizes, most general first."""

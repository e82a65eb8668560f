"""What to mind while taking a proposed reading (common practice, no source; trade words)."""

from __future__ import annotations

from harness_studio.electrics.matrix import components
from harness_studio.model.harness import Harness
from harness_studio.network.network import Network

CRANKING = "stop fuel and ignition first; crank 10 s at most, then let the starter rest two minutes"
RUNNING = "engine running: keep leads, hands and sleeves from belts and fans; a fan can start by itself"
BATTERY = "no spark or flame at the battery; rings and watch off"
UNFUSED = "no fuse feeds this point: the tip must not bridge it to metal"


def caution(harness: Harness, network: Network, plus: str, minus: str, mode: str | None) -> str:
    """Return what to mind at a reading between two points, empty where nothing in particular."""
    engine = network.mode.engine
    words = []
    if engine == "cranking":
        words.append(CRANKING)
    elif engine in ("idling", "running"):
        words.append(RUNNING)
    tips = [p for p in (plus, minus) if p != network.grounded]
    batteries = {p.id for p in harness.parts.values() if p.kind == "battery"}
    if any(p.split(".", 1)[0] in batteries for p in tips):
        words.append(BATTERY)
    unfused = unfused_points(network)
    if any(network.index.get(p, -1) in unfused for p in tips):
        words.append(UNFUSED)
    return "; ".join(words)


def unfused_points(network: Network) -> frozenset[int]:
    """Return the points that hang on a live battery post without a fuse between."""
    import numpy as np

    branches = network.branches
    joined = np.flatnonzero(np.array([kind != "fuse" for kind in branches.kind], dtype=bool))
    _, label = components(network.size, branches.a[joined], branches.b[joined])
    grounded = network.index.get(network.grounded or "", -1)
    posts = [
        network.index.get(f"{element.part}.{post}", -1)
        for element in network.elements
        if element.kind == "battery"
        for post in ("30", "31")
    ]
    live = np.isin(label, [label[p] for p in posts if p >= 0 and p != grounded])
    if grounded >= 0:
        live &= label != label[grounded]
    return frozenset(np.flatnonzero(live).tolist())

"""Reads the data files of resources/standards, once each."""

from __future__ import annotations

from functools import cache
from typing import Any

import yaml

from harness_studio.base import resources

FILES = (
    "adiabatic.yaml",
    "ampacity.yaml",
    "bundles.yaml",
    "cable_sizes.yaml",
    "clean_joints.yaml",
    "colours.yaml",
    "fuse_bands.yaml",
    "fuse_resistance.yaml",
    "insulation.yaml",
    "materials.yaml",
    "terminals.yaml",
    "wire_sizes.yaml",
)


@cache
def load(name: str) -> dict[str, Any]:
    """Return the content of one data file; callers read it and never change it.

    Raises
    ------
    ResourceMissing
        If the file is not there.
    """
    content = yaml.load(
        resources.text("standards", name), Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    )
    if not isinstance(content, dict):
        raise TypeError(f"{name}: a mapping is expected")
    return content

"""What the ratings of all kinds share."""

from __future__ import annotations

from typing import Protocol


class Ratings(Protocol):
    """Anything that is a frozen dataclass of ratings; kinds differ in what a person can read off the part."""

    __dataclass_fields__: dict[str, object]

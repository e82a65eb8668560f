"""Links of README and DEVELOPERS lead somewhere, and paths that they name in quotes are there.

The links of the guide are followed in tests/desktop/test_guide.py, in its window.
"""

import re
from collections.abc import Iterator

import pytest

from tests.architecture.tree import ROOT

PAGES = ("README.md", "DEVELOPERS.md", "resources/licences/others.md")
TOPS = ("harness_studio/", "resources/", "tests/", "sample_projects/", ".ci/")
SHORT = "harness_studio/"
"""DEVELOPERS.md names modules from here on: `checks/rules/`."""
ELSEWHERE = {"kbl/", "dc/"}
"""Folders of harness files made elsewhere, which are no part of the project."""


def text_of(page: str) -> str:
    return re.sub(r"```.*?```", "", (ROOT / page).read_text(encoding="utf-8"), flags=re.S)


def anchor(heading: str) -> str:
    """Return the anchor of a heading as it is made from Markdown: small letters, blanks as hyphens, no other signs."""
    return re.sub(r"[^\w\- ]", "", heading.strip().lower()).replace(" ", "-")


def test_links_and_pictures_lead_somewhere() -> None:
    targets = [(page, target) for page in PAGES for target in re.findall(r"\]\(([^)\s]+)\)", text_of(page))]
    inside = [(page, target) for page, target in targets if "://" not in target]
    assert len(inside) >= 5
    for page, target in inside:
        name, _, fragment = target.partition("#")
        found = (ROOT / page).parent / name if name else ROOT / page
        assert found.exists(), f"{page}: {target}"
        if fragment:
            headings = re.findall(r"(?m)^#+ (.*)$", found.read_text(encoding="utf-8"))
            assert fragment in {anchor(h) for h in headings}, f"{page}: {target}"


def paths(page: str) -> Iterator[str]:
    """Yield the paths that a page names in quotes."""
    for quoted in re.findall(r"`([^`\n]+)`", text_of(page)):
        for word in quoted.split():
            path = word.rstrip(",.:;()").lstrip("(").partition(":")[0]
            if re.fullmatch(r"[\w./-]+", path) and ("/" in path) and not path.startswith((".venv", "/")):
                yield path


def is_there(path: str) -> bool:
    """Tell whether a file or folder is there, from the top or from the package or the tests on."""
    return any((ROOT / start / path).exists() for start in ("", SHORT, "tests/", "harness_studio/desktop/"))


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_paths_in_quotes_are_there(page: str) -> None:
    wanted = sorted(
        {path for path in paths(page) if path.startswith(TOPS) or path.endswith((".py", "/", ".md", ".yaml"))}
    )
    assert wanted
    assert [path for path in wanted if not is_there(path) and path not in ELSEWHERE] == []


def test_an_anchor_is_as_it_is_made_elsewhere() -> None:
    assert anchor("How it is `made`, and why") == "how-it-is-made-and-why"

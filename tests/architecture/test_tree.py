"""The top level, and text that speaks of the project alone."""

import re

import pytest

from tests.architecture.tree import ROOT, project_files, read, text_files

TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "harness_studio", "resources", "tests", "sample_projects",
}  # fmt: skip
# The one file that may know where sample files lie beside a checkout.
KNOWS_THE_SAMPLES = ".ci/run"

# A path of one machine, and what belongs to how a text came about and not to the project.
FOREIGN = {
    "a path of one machine": r"/(?:work|farm|var/tmp|home/\w+|Users/\w+)/|/tmp/[A-Za-z]|[A-Z]:\\Users",
    "the folder beside the checkout": r"\.\./shared",
    "how the text came about": (
        r"(?i)\b(?:sub-?agents?|ai[- ]agents?|coding agents?|language models?|llms?|chat ?bots?|co-authored-by"
        r"|generated (?:by|with) (?:an? )?(?:ai|model)|as an ai|(?:the|my|this) brief\b|issue #?\d+)"
    ),
}


# Without samples no wheel can be built, which tests/unit/test_packaging.py says loudly enough.
needs_samples = pytest.mark.skipif(not (ROOT / "sample_projects").exists(), reason="there is no sample yet")


def top_level() -> set[str]:
    return {path.parts[0] for path in project_files() if not path.parts[0].startswith(".")}


def test_nothing_else_stands_at_the_top_level() -> None:
    assert top_level() <= TOP_LEVEL


@needs_samples
def test_the_top_level_is_complete() -> None:
    assert top_level() >= TOP_LEVEL


def test_names_can_be_used_on_every_system() -> None:
    # Letters, digits and a few signs; and no two names that differ in case only.
    names = [path.as_posix() for path in project_files()]
    assert [name for name in names if not re.fullmatch(r"[\w./+-]+", name, re.ASCII)] == []
    assert len({name.lower() for name in names}) == len(names)


@pytest.mark.parametrize("what", FOREIGN)
def test_text_speaks_of_the_project_alone(what: str) -> None:
    found = [
        f"{path}:{number}: {line.strip()[:100]}"
        for path in text_files()
        if path.as_posix() != KNOWS_THE_SAMPLES and (ROOT / path) != ROOT / "tests/architecture/test_tree.py"
        for number, line in enumerate(read(path).splitlines(), 1)
        if re.search(FOREIGN[what], line)
    ]
    assert found == []


@needs_samples
@pytest.mark.parametrize("command", ["run", "test"])
def test_the_readme_gives_one_command_under_each_heading(command: str) -> None:
    sections = re.split(r"(?m)^#+ +", read(ROOT / "README.md"))
    section = next(part for part in sections if part.lower().startswith(command))
    block = re.search(r"```[a-z]*\n(.*?)```", section, re.S)
    assert block is not None
    words = block.group(1).strip().split()
    assert "\n" not in block.group(1).strip()
    assert words[:2] == ["bash", f"resources/setup/{command}"]
    assert [word for word in words[1:] if not (ROOT / word).is_file()] == []

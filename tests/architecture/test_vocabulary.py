"""Words of other crafts stay out of labels, keys and code: a harness has its own (DEVELOPERS.md, 'Words')."""

import re

import pytest

from tests.architecture.tree import read, text_files

# Letters on either side make another word: network, keyboard, dashboard.
START, END = r"(?<![A-Za-z])", r"(?![A-Za-z])"

# Not said: said instead.
KEPT_OUT = {
    r"(?<!SPICE )netlists?": "wire list, or 'SPICE netlist' for that one file",
    r"nets?": "points joined by wires and splices",
    r"(?<!build )(?<!build_)(?<!build-)boards?": "diagram, sheet or build board",
    r"DRC|ERC|(?:design |electrical )?rule[ -]checks?": "checks, findings",
    r"waive[ds]?|waivers?|waiving": "accepted, with a reason",
    r"rat'?s?[ -_]?nests?|air[ -_]?wires?": "ends not joined yet",
    r"footprints?|land patterns?|silk[ -]?screens?|gerbers?|copper (?:pours?|fills?)": "face, outline",
    r"auto[ -]?rout(?:er?s?|ed|ing)": "arrange",
    r"schematic capture|hierarchical sheets?|power flags?|no[ -]connect flags?": "diagram, pages",
    r"(?:parts?|symbols?|component) (?:library|libraries|bins?)|library trees?": "stock",
    r"ribbons?": "comb, joining sheet",
    r"(?:animated|moving|marching|flowing) (?:dots?|currents?|ants)|current dots?": "chevrons that stand still",
    r"dot(?:ted)? (?:grid|paper)|grid dots?|graph paper": "plain paper",
    r"pill (?:toggle|switch|button)s?|toggle pills?": "mode strip",
}


def hits(text: str) -> list[str]:
    return [
        f"'{found.group()}' (we say: {instead})"
        for pattern, instead in KEPT_OUT.items()
        for found in re.finditer(f"{START}(?:{pattern}){END}", text, re.IGNORECASE)
    ]


@pytest.mark.parametrize(
    "top", ["harness_studio", "resources", "sample_projects", "README.md", "DEVELOPERS.md"]
)
def test_words_of_other_crafts_stay_out(top: str) -> None:
    found = [
        f"{path}:{number}: {hit}"
        for path in text_files(top)
        for number, line in enumerate(read(path).splitlines(), 1)
        for hit in hits(line)
    ]
    assert found == []


@pytest.mark.parametrize(
    "text", ["net_name", "3 nets", "the board", "DRC", "ratsnest", "a netlist", "Waived by"]
)
def test_such_a_word_is_found(text: str) -> None:
    assert hits(text)


@pytest.mark.parametrize("text", ["network", "keyboard", "Build board", "SPICE netlist", "source", "library"])
def test_a_word_of_ours_is_not(text: str) -> None:
    assert not hits(text)


def test_wires_name_their_ends_and_no_arrows_or_joining_lists_do() -> None:
    found = [
        f"{path}:{number}: {line.strip()}"
        for path in text_files("sample_projects")
        for number, line in enumerate(read(path).splitlines(), 1)
        if re.search(r"<?-{1,2}>|<-{1,2}|^\s*connections\s*:", line)
    ]
    assert found == []

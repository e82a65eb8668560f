"""What `check` has to find in each sample, and nothing else.

Each line is (grade, rule, what it is about) with the reason for which a vehicle electrician expects it. What a finding
explains is told with it and has no line of its own.

How the lists came about. They were judged by hand from the project files, but beside the running check and not before
it: what it told and was not meant was mended in the samples (sizes, a stack, fuse styles) or allowed by an override
with a reason. So they hold the samples to what is meant; they do not prove the rules.

Then all four were judged again, without a look at these lists and before `check` was run: from the files, the code and
limits of the rules, and the solved volts and amperes, with ampacities worked out apart. That judge read the files'
comments, which name the weaknesses, and took volts from the solver that is used here (other tests hold it against
other programs). All 40 lines were found again. What differed:

- The pickup's tie W71 was thick PVC (85 °C) and ends in a splice beside the throttle body (90 °C): seen by the judge,
  not by `check`, which knew no air for a splice placed along a run. Rule and sample were mended.
- The buggy's way to its battery fuse is two wires, 460 mm, where a lead of 300 mm may go without a fuse; each was
  judged by itself. Wires of one way count together now; here the first is part of the starter's cable: still a note.
- The sensors tied to GP5: the judge took their rise above the unit's sensor ground, `check` that above its power
  ground, some 0.01 V more.
- At rest the buggy's unit fired coils and injectors, and drains did not fit their pairs: mended, no rule tells it.

Seen by the judge and left, for no rule tells it: taps in a wet place, F25 above the rating of a contact behind it, one
fuse for both tail lamps and for side lamps with headlamp relays, open plugs in a wet zone, straps judged at 20 °C.

What the overrides allow is much: by the set's own limits the pickup would have 19 feeds over 0.5 V and 7 returns over
0.1 V to mend (front indicators 0.75 V, winch return 0.23 V), the trailer 2 and 6. They hold for a whole vehicle, though
their reasons speak of rear and trailer lamps.
"""

from pathlib import Path

import pytest

from harness_studio.checks.finding import Finding
from harness_studio.checks.ground_advice import advise, chosen
from harness_studio.checks.runner import check, standing
from harness_studio.checks.scope import scope_of
from harness_studio.storage.project_file import read_project

Line = tuple[str, str, str]

ESTUARY_PICKUP: dict[Line, str] = {
    # Weakness 3: the previous owner's work lamp.
    (
        "stop",
        "fuse_wire",
        "W340 W341 W342",
    ): "30 A put in where 10 A blew, on 1.5 mm² PVC all the way to the lamp",
    # Weakness 1: the stud on paint at the left rear corner.
    ("mend", "ground_rise", "GP9"): "70 mΩ of paint under pump, rear lamps and trailer lamps",
    ("mend", "wire_drop", "W267"): "their current leaves by a 1 mm² link to the other corner",
    ("mend", "mixed_returns", "GP9"): "the tank sender stands on the pump's stud",
    ("mend", "sensor_rise", "B10"): "so the fuel gauge falls with pump and lamps",
    # Weakness 2: the sensor ground tied to the blower's stud.
    ("mend", "ground_rise", "GP5"): "a sheet-metal screw on sealer carries blower and wiper",
    ("mend", "unit_grounds", "A1"): "W71 ties the engine's sensor ground to that stud",
    ("mend", "sensor_rise", "B1 B2 B3"): "so coolant, air and throttle read wrong with the blower on",
    # To know.
    ("note", "fuse_missing", "W1"): "the starter's cable, short and booted",
    ("note", "fuse_missing", "W2"): "the lead to the fuse holder on the battery",
    ("note", "trailer_returns", "X18"): "returns 11 and 13 meet on the frame, in the towing vehicle",
    ("note", "found_differs", "W122"): "grey where violet was planned",
    ("note", "colour_change", "W275"): "the trailer's loom has the colours of ISO 11446",
    ("note", "colour_change", "W278"): "the same",
    ("note", "colour_change", "W49"): "the oxygen sensor's own tail: two white, one black",
    ("note", "colour_change", "W80"): "the same",
    ("note", "colour_change", "W81"): "the same",
}

TRACK_BUGGY: dict[Line, str] = {
    # The one weakness: powder coat under the engine strap at the frame.
    ("mend", "joint_drop", "frame.rear/W4"): "22 mΩ under the ring, while cranking most",
    (
        "mend",
        "unit_grounds",
        "A1",
    ): "its case on the frame, its power grounds on the head: starter current goes through it",
    # To know.
    ("note", "fuse_missing", "W1"): "battery to cut-off: the starter's cable, short and booted",
    ("note", "fuse_missing", "W8"): "cut-off to starter, the same",
    ("note", "fuse_missing", "W2"): "lead to the battery fuse beside the cut-off",
    ("note", "fuse_missing", "W10"): "lead to the alternator's fuse there",
    ("note", "fuse_missing", "W11"): "lead to the fuse of the run-down resistor there",
}

TRAILER_WIRING: dict[Line, str] = {
    # Weakness 1: contact 3 is green. Weakness 2, the right lamp on the chassis, shows in who shares it.
    (
        "mend",
        "joint_drop",
        "X1.3",
    ): "90 mΩ in the return of all trailer lamps; it lifts the chassis and dims them",
    # To know.
    ("note", "fuse_missing", "W41"): "the lead to the fuse holder on the battery",
    ("note", "trailer_returns", "X1"): "3, 11 and 13 meet in the car, where they may",
}

FIRST_HARNESS: dict[Line, str] = {
    ("stop", "fuel_pump_runs_on", "M2"): "the pump hangs on a fuse alone",
    ("mend", "ground_rise", "GP2"): "paint under the stud of pump, lamps and sender",
    ("mend", "mixed_returns", "GP2"): "the sender stands there beside the pump",
    ("mend", "sensor_rise", "B1"): "so the gauge reads wrong",
    ("mend", "feed_drop", "E5"): "1 mm² over six metres to the stop lamps",
    ("mend", "feed_drop", "E6"): "and on to the right one",
    ("mend", "fuse_missing", "W1"): "0.65 m from the battery to the main fuse",
    ("mend", "fuse_missing", "W4"): "the alternator's wire has no fuse at the battery",
    # To know.
    ("note", "stack_order", "GP2"): "the pump's ring lies outside the lamps'",
    ("note", "found_differs", "W40"): "black where brown and white was planned",
    ("note", "seal_missing", "X7.1 X7.2 X7.3"): "nobody wrote down the wire seals",
    ("note", "seal_missing", "X8.3 X8.2 X8.1"): "nor on the other half",
    ("note", "assumed", "G1"): "the alternator's droop is not on its plate",
}

SAMPLES = {
    "estuary_pickup": ESTUARY_PICKUP,
    "track_buggy": TRACK_BUGGY,
    "trailer_wiring": TRAILER_WIRING,
    "first_harness": FIRST_HARNESS,
}


@pytest.fixture(scope="module", params=SAMPLES)
def sample(request: pytest.FixtureRequest) -> str:
    name: str = request.param
    return name


@pytest.fixture(scope="module")
def found(sample: str, sample_projects_dir: Path) -> tuple[Finding, ...]:
    harness = read_project(sample_projects_dir / f"{sample}.yaml").harness
    return standing(check(scope_of(harness)))


def line(finding: Finding) -> Line:
    return finding.grade, finding.rule, " ".join((finding.ids[0], *finding.also_of))


def test_a_sample_is_checked_to_exactly_what_is_intended(sample: str, found: tuple[Finding, ...]) -> None:
    assert sorted(map(line, found)) == sorted(SAMPLES[sample])


def test_every_finding_says_what_to_do_and_what_it_rests_on(found: tuple[Finding, ...]) -> None:
    for one in found:
        assert all((one.text, one.source, one.remedy, one.method)), one


def test_one_cause_is_told_once_with_what_comes_of_it(sample: str, found: tuple[Finding, ...]) -> None:
    told = {one.key: {key.partition("/")[2] for key in one.brings} for one in found}
    expected = {
        "estuary_pickup": {
            "ground_rise/GP9": {"M2", "E11", "E12", "E21", "E22"},
            "ground_rise/GP5": {"GP5"},
        },
        "track_buggy": {},
        "trailer_wiring": {"joint_drop/X1.3": {"E1", "E5", "GP2", "GP3"}},
        "first_harness": {"ground_rise/GP2": {"M2"}},
    }[sample]
    for key, things in expected.items():
        assert things <= told[key], key


def test_every_sample_of_the_folder_has_its_list(sample_projects_dir: Path) -> None:
    assert {path.stem for path in sample_projects_dir.glob("*.yaml")} == set(SAMPLES)


def test_no_two_samples_share_a_title(sample_projects_dir: Path) -> None:
    titles = [read_project(path).harness.settings.title for path in sample_projects_dir.glob("*.yaml")]
    assert len(titles) == len(set(titles)) == len(SAMPLES)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("ground", "wire", "to"),
    [
        # W71 ties a control unit's sensor ground to the blower's stud: it comes out, the sensors keep the unit's own.
        ("GP5", "W71", {""}),
        # The tank sender leaves the stud that pump, lamps and trailer share, for one of its own.
        ("GP9", "W125", {"GP11"}),
    ],
)
def test_the_returns_that_an_electrician_would_move(
    ground: str, wire: str, to: set[str], sample_projects_dir: Path
) -> None:
    harness = read_project(sample_projects_dir / "estuary_pickup.yaml").harness
    advice = advise(scope_of(harness), chosen(harness, ground))
    assert [(move.wire, move.start) for move in advice.moves] == [(wire, ground)]
    assert advice.moves[0].to in to
    assert advice.left == ()
    assert advice.edit is not None
    before = {key for f in check(scope_of(harness)) for key in f.keys}
    advice.edit.apply(harness)
    assert {key for f in check(scope_of(harness)) for key in f.keys} < before

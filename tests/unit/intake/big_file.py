"""One larger file with everything in it, for tests that break it in every way. What it describes is invented."""

from tests.unit.intake.kbl_files import (
    amount,
    cavity,
    connection,
    connector,
    contact,
    core,
    extremity,
    fitted_slot,
    harness,
    housing,
    kbl,
    module,
    multicore,
    node,
    occurrence,
    part,
    refs,
    routing,
    segment,
    slot,
    tag,
    text,
    wire,
    wire_part,
)  # fmt: skip


def box_part() -> str:
    """Return a fuse box: one connector of three cavities, two slots for fuses that share a feed, one free slot."""
    slots = "".join(
        tag("Component_slots", f"bs{n}", text("Id", f"F{n}"),
            *(tag("Component_cavities", f"bs{n}_{side}", text("Cavity_number", side)) for side in "12"))
        for n in (1, 2, 3)
    )  # fmt: skip
    joined = "".join(
        tag(
            "Connections",
            f"bb{i}",
            text("Id", str(i)),
            refs("Cavities", hole),
            refs("Component_cavities", *ends),
        )
        for i, (hole, ends) in enumerate(
            [("bx_s_c1", ("bs1_1", "bs2_1", "bs3_1")), ("bx_s_c2", ("bs1_2",)), ("bx_s_c3", ("bs2_2",))], 1
        )
    )
    plug = tag(
        "Component_box_connectors", "bx", text("Id", "P"), slot("bx_s", "123", name="Integrated_slots")
    )
    return part("Component_box", "bp", plug, slots, joined, about="fuse box")


def box() -> str:
    """Return the fuse box as it is fitted, with contacts in its three cavities."""
    holes = [cavity(f"boc{n}", f"bx_s_c{n}") for n in (1, 2, 3)]
    plug = tag("Component_box_connectors", "bo_x", text("Part", "bx"), fitted_slot("bo_s", "bx_s", *holes))
    slots = "".join(
        tag("Component_slots", f"bo_f{n}", text("Id", f"F{n}"), text("Part", f"bs{n}"),
            *(tag("Component_cavities", f"bo_f{n}_{side}", text("Part", f"bs{n}_{side}")) for side in "12"))
        for n in (1, 2, 3)
    )  # fmt: skip
    points = "".join(contact(f"bo_p{n}", f"boc{n}") for n in (1, 2, 3))
    return tag("Component_box_occurrence", "bo", text("Id", "A1"), text("Part", "bp"), plug, slots, points)


def fuse(xml_id: str, name: str, rating: str) -> str:
    return part(
        "Component", xml_id, tag("Type", f"{xml_id}_t", text("Key", "medium"), text("Reference_system", "ours")),
        amount("Nominal_current", f"{xml_id}_n", rating, "u_a"), kind="Fuse", about=name,
    )  # fmt: skip


def fitted_fuse(xml_id: str, name: str, of: str, *mounting: str) -> str:
    return tag(
        "Component_occurrence", xml_id, text("Id", name), refs("Mounting", *mounting), text("Part", of),
        kind="Fuse_occurrence",
    )  # fmt: skip


def parts() -> list[str]:
    return [
        housing("h4", "1234", about="4-way"),
        housing("h2", ["10A", "2"]),
        housing("h1", "1"),
        part("Cavity_plug", "plug", number="CP-1"),
        part("Cavity_seal", "seal", number="CS-1"),
        part("General_terminal", "term", text("Plating_material", "sn"), number="T-28"),
        part("General_terminal", "ring", text("Terminal_type", "special"), about="ring M6"),
        wire_part("w_red", "2.5", "rt", cable="FLRY-B"),
        wire_part("w_brown", "1.5", "br", "ws"),
        wire_part("cable", "", "sw", inside=core("k1", "0.5", "ws") + core("k2", "0.5", "bl")
                  + core("k3", "0.35", "nd", kind="drain")),
        box_part(),
        fuse("f10", "fuse 10 A", "10"),
        part("Wire_protection", "tube", text("Protection_type", "TUBE"), about="corrugated"),
        part("Fixing", "clip"),
    ]  # fmt: skip


def things() -> list[str]:
    return [
        "".join(occurrence("Cavity_plug_occurrence", f"cp{n}", "plug") for n in (1, 2)),
        occurrence("Cavity_seal_occurrence", "cs1", "seal"),
        occurrence("Terminal_occurrence", "t1", "term") + occurrence("Terminal_occurrence", "t2", "term"),
        occurrence("Special_terminal_occurrence", "st1", "ring", label="GP.1"),
        box(),
        fitted_fuse("fo1", "F1", "f10", "bo_f1_1", "bo_f1_2") + fitted_fuse("fo2", "F2", "f10", "bo_f2"),
        connector("x1", "X.1", "h4", 4, about="pump", used=(1, 2, 3), plugs={4: "cp1", 1: "cp2"},
                  crimped={1: "t1 cs1", 2: "t2"}, mated={3: "x2_c1"}),
        connector("x2", "X.2", "h2", 2),
        connector("x3", "X.1", "h1", 1),
        connector("s1", "S1", "h1", 1, usage="splice"),
        connector("gp", "GP.1", "h1", 1, usage="ring terminal", crimped={1: "st1"}),
        connector("bat", "B.1", "h1", 1, usage="ring terminal"),
        wire("wi1", "1", "w_red", "800") + wire("wi2", "2", "w_red", "0") + wire("wi3", "2", "w_brown", "500")
        + wire("wi4", "4", "w_brown", "300") + wire("wi5", "/NULL", "w_brown", "90") + wire("wi6", "6", "w_red", "70")
        + multicore("mc", "C.1", "cable", "1500", **{"11": "k1", "12": "k2", "13": "k3"}),
        connection("c1", "wi1", "bat_p1", "bo_p1", signal="30") + connection("c2", "wi2", "bo_p2", "x1_p1", signal="15")
        + connection("c3", "wi3", "x1_p2", "s1_p1", signal="31")
        + connection("c4", "wi4", "s1_p1", "gp_p1", signal="31")
        + connection("c5", "wi5", "x3_p1", "s1_p1") + connection("c6", "wi6", "bo_p3", "x2_p2")
        + connection("c11", "mc_11", "x1_p3", "x2_p1", more=extremity("c11_e2", "0.4", "x3_p1"))
        + connection("c12", "mc_12", "x1_p1", "x2_p2") + connection("c13", "mc_13", "s1_p1", "x1_p2"),
        occurrence("Wire_protection_occurrence", "po", "tube", label="tube 1"),
        occurrence("Fixing_occurrence", "fx", "clip", label="clip 1"),
        module("m1", "M-1", "x1", "wi1", "wi2", "c1", "c2", "bo", "fo1", about="pump")
        + module("m2", "M-2", "x2", "wi6", "c6", "mc", "c11", "c12", "c13", condition="+radio", family="fam")
        + module("m3", "M-3", "x3", "wi5", "c5", condition="-radio", family="fam"),
        tag("Module_families", "fam", text("Id", "radio")),
    ]  # fmt: skip


def bundle() -> list[str]:
    covered = tag(
        "Protection_area", "pa", text("Start_location", "0.1"), text("End_location", "0.4"),
        text("Associated_protection", "po"),
    )  # fmt: skip
    return [
        node("n1", "N.1", "x1") + node("n2", "N.2") + node("n3", "N.3", "s1", "st1") + node("n4", "N.4", "x2", "bo_x"),
        segment("g1", "left", "n1", "n2", "400", physical="420", covered=covered)
        + segment("g2", "right", "n3", "n2", "200") + segment("g3", "a name that is too long to work with", "n2", "n4"),
        routing("r1", "c3", "g2", "g1") + routing("r2", "c6") + routing("r3", "c2", "g3", "g1"),
    ]  # fmt: skip


def big_file(version: str = "2.4") -> bytes:
    """Return the file."""
    return kbl(*parts(), harness(*things()), *bundle(), version=version)

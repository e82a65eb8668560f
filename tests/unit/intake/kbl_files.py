"""Small KBL files, written by hand after the published schema; what they describe is invented.

Each function gives the text of one element with the children that the schema asks for, in its order. `kbl` puts them
into a file, in the order of the schema.
"""

from collections.abc import Iterable

NAMESPACE = "http://www.prostep.org/Car_electric_container/KBL2.3/KBLSchema"

_TOP = (
    "Accessory", "Assembly_part", "Cartesian_point", "Cavity_plug", "Cavity_seal", "Component", "Component_box",
    "Connector_housing", "Fixing", "General_terminal", "General_wire", "Harness", "Node", "Routing", "Segment", "Unit",
    "Wire_protection",
)  # fmt: skip
_IN_HARNESS = (
    "Schematic_connection", "Accessory_occurrence", "Assembly_part_occurrence", "Cavity_plug_occurrence",
    "Cavity_seal_occurrence", "Component_box_occurrence", "Component_occurrence", "Connection", "Connector_occurrence",
    "Fixing_occurrence", "General_wire_occurrence", "Special_terminal_occurrence", "Terminal_occurrence",
    "Wire_protection_occurrence", "Wiring_group", "Harness_configuration", "Module", "Module_families",
)  # fmt: skip


def tag(name: str, xml_id: str, *inside: str, kind: str = "") -> str:
    typed = f' xsi:type="kbl:{kind}"' if kind else ""
    return f'<{name}{typed} id="{xml_id}">' + "".join(inside) + f"</{name}>\n"


def text(name: str, value: str) -> str:
    return f"<{name}>{value}</{name}>" if value else ""


def refs(name: str, *ids: str) -> str:
    return text(name, " ".join(ids))


def amount(name: str, xml_id: str, value: str, unit: str) -> str:
    return tag(name, xml_id, text("Unit_component", unit), text("Value_component", value)).strip()


# ----- units and parts


def unit(xml_id: str, name: str = "", *, si: str = "", prefix: str = "", dimension: str = "") -> str:
    return tag(
        "Unit", xml_id, text("Unit_name", name), text("Si_unit_name", si), text("Si_prefix", prefix),
        text("Si_dimension", dimension),
    )  # fmt: skip


UNITS = (
    unit("u_mm", si="metre", prefix="milli")
    + unit("u_m", si="metre")
    + unit("u_mm2", si="metre", prefix="milli", dimension="square")
    + unit("u_inch", "inch")
    + unit("u_a", "Ampere")
)


def part(
    name: str,
    xml_id: str,
    *inside: str,
    number: str = "",
    about: str = "/NULL",
    kind: str = "",
    material: str = "",
) -> str:
    known = tag("Material_information", f"{xml_id}_m", text("Material_key", material)) if material else ""
    return tag(
        name, xml_id, text("Part_number", number or f"P-{xml_id}"), text("Company_name", "Harbour workshop"),
        text("Version", "1"), text("Abbreviation", "/NULL"), text("Description", about), known, *inside, kind=kind,
    )  # fmt: skip


def slot(xml_id: str, cavities: Iterable[str], *, name: str = "Slots", label: str = "") -> str:
    numbers = list(cavities)
    kind = "Slot" if name == "Integrated_slots" else ""
    holes = [tag("Cavities", f"{xml_id}_c{i}", text("Cavity_number", n)) for i, n in enumerate(numbers, 1)]
    return tag(
        name, xml_id, text("Id", label), text("Number_of_cavities", str(len(numbers))), *holes, kind=kind
    )


def housing(xml_id: str, cavities: Iterable[str], *, about: str = "/NULL") -> str:
    return part("Connector_housing", xml_id, slot(f"{xml_id}_s", cavities), about=about)


def wire_colours(*values: str, name: str = "Cover_colour", owner: str) -> str:
    kinds = ("Base colour", "First stripe", "Second stripe", "Third stripe")
    return "".join(
        tag(name, f"{owner}_k{i}", text("Colour_type", kinds[i]), text("Colour_value", value))
        for i, value in enumerate(values)
    )


def wire_part(
    xml_id: str,
    area: str,
    *colours: str,
    unit: str = "u_mm2",
    cable: str = "",
    inside: str = "",
    material: str = "",
) -> str:
    return part(
        "General_wire", xml_id, text("Cable_designator", cable),
        amount("Cross_section_area", f"{xml_id}_a", area, unit) if area else "", inside,
        wire_colours(*colours, owner=xml_id), material=material,
    )  # fmt: skip


def core(xml_id: str, area: str, *colours: str, kind: str = "") -> str:
    return tag(
        "Core", xml_id, text("Id", xml_id), text("Wire_type", kind),
        amount("Cross_section_area", f"{xml_id}_a", area, "u_mm2"),
        wire_colours(*colours, name="Core_colour", owner=xml_id),
    )  # fmt: skip


# ----- occurrences


def contact(xml_id: str, cavity: str, *crimped: str) -> str:
    return tag(
        "Contact_points", xml_id, text("Id", xml_id), refs("Associated_parts", *crimped),
        refs("Contacted_cavity", cavity),
    )  # fmt: skip


def cavity(xml_id: str, of: str, *, plug: str = "", mates: str = "") -> str:
    return tag(
        "Cavities", xml_id, text("Associated_plug", plug), text("Mated_cavities", mates), text("Part", of)
    )


def fitted_slot(xml_id: str, of: str, *cavities: str, mates: str = "") -> str:
    return tag(
        "Slots", xml_id, text("Mated_slots", mates), text("Part", of), *cavities, kind="Slot_occurrence"
    )


def connector(
    xml_id: str, name: str, of: str, count: int, *, usage: str = "", about: str = "", used: Iterable[int] = (),
    crimped: dict[int, str] | None = None, plugs: dict[int, str] | None = None, mates: str = "",
    mated: dict[int, str] | None = None,
) -> str:  # fmt: skip
    """Return a connector with contact points `<id>_p<n>` in the cavities of `used`; all of them without it."""
    numbers = range(1, count + 1)
    holes = [
        cavity(
            f"{xml_id}_c{n}", f"{of}_s_c{n}", plug=(plugs or {}).get(n, ""), mates=(mated or {}).get(n, "")
        )
        for n in numbers
    ]
    points = [
        contact(f"{xml_id}_p{n}", f"{xml_id}_c{n}", (crimped or {}).get(n, "")) for n in used or numbers
    ]
    return tag(
        "Connector_occurrence", xml_id, text("Id", name), text("Description", about), text("Usage", usage),
        text("Part", of), *points, fitted_slot(f"{xml_id}_o", f"{of}_s", *holes, mates=mates),
    )  # fmt: skip


def occurrence(name: str, xml_id: str, of: str, *, label: str = "") -> str:
    return tag(name, xml_id, text("Id", label), text("Part", of))


def length(xml_id: str, value: str, *, unit: str = "u_mm", kind: str = "DMU") -> str:
    quantity = amount("Length_value", f"{xml_id}_v", value, unit)
    return tag("Length_information", xml_id, text("Length_type", kind), quantity)


def wire(xml_id: str, number: str, of: str, mm: str = "1000", *, lengths: str = "") -> str:
    return tag(
        "General_wire_occurrence", xml_id, text("Part", of), lengths or length(f"{xml_id}_l", mm),
        f"<Wire_number>{number}</Wire_number>", kind="Wire_occurrence",
    )  # fmt: skip


def multicore(xml_id: str, name: str, of: str, mm: str, **cores: str) -> str:
    """Return a multicore; `cores` is wire number → core of the part."""
    inner = [
        tag("Core_occurrence", f"{xml_id}_{number}", text("Wire_number", number), text("Part", of_core),
            length(f"{xml_id}_{number}_l", mm))
        for number, of_core in cores.items()
    ]  # fmt: skip
    return tag(
        "General_wire_occurrence", xml_id, text("Part", of), length(f"{xml_id}_l", mm),
        text("Special_wire_id", name), *inner, kind="Special_wire_occurrence",
    )  # fmt: skip


def extremity(xml_id: str, position: str, point: str) -> str:
    return tag("Extremities", xml_id, text("Position_on_wire", position), text("Contact_point", point))


def connection(
    xml_id: str, wire_id: str, a: str, b: str, *, signal: str = "", volts: str = "", more: str = ""
) -> str:
    return tag(
        "Connection", xml_id, text("Signal_name", signal), text("Nominal_voltage", volts), text("Wire", wire_id),
        extremity(f"{xml_id}_e0", "0", a), extremity(f"{xml_id}_e1", "1", b), more,
    )  # fmt: skip


def module(
    xml_id: str,
    number: str,
    *controlled: str,
    condition: str = "/NULL",
    family: str = "",
    about: str = "/NULL",
) -> str:
    return part(
        "Module", xml_id, text("Car_classification_level_2", "/NULL"), text("Model_year", "/NULL"),
        text("Content", "module"), text("Of_family", family),
        tag("Module_configuration", f"{xml_id}_mc", text("Logistic_control_information", condition),
            refs("Controlled_components", *controlled)),
        number=number, about=about,
    )  # fmt: skip


# ----- bundle


def node(xml_id: str, name: str, *components: str) -> str:
    return tag(
        "Node",
        xml_id,
        text("Id", name),
        text("Cartesian_point", "origin"),
        refs("Referenced_components", *components),
    )


def segment(
    xml_id: str, name: str, a: str, b: str, mm: str = "", *, physical: str = "", covered: str = ""
) -> str:
    lengths = amount("Virtual_length", f"{xml_id}_v", mm, "u_mm") if mm else ""
    lengths += amount("Physical_length", f"{xml_id}_p", physical, "u_mm") if physical else ""
    return tag(
        "Segment", xml_id, text("Id", name), lengths, text("End_node", b), text("Start_node", a), covered
    )


def routing(xml_id: str, connection_id: str, *segments: str) -> str:
    return tag("Routing", xml_id, text("Routed_wire", connection_id), refs("Segments", *segments))


# ----- the file


def harness(*inside: str, about: str = "Bilge pump harness", number: str = "HW-7") -> str:
    return part(
        "Harness", "harness", text("Car_classification_level_2", "/NULL"), text("Model_year", "/NULL"),
        text("Content", "harness complete set"), *in_order(inside, _IN_HARNESS), number=number, about=about,
    )  # fmt: skip


def in_order(elements: Iterable[str], order: tuple[str, ...]) -> list[str]:
    """Return elements in the order of the schema; each text may hold several elements of one name."""
    return sorted(elements, key=lambda e: order.index(e[1:].split(" ")[0].split(">")[0]) if e.strip() else -1)


def kbl(*elements: str, version: str = "2.4", units: str = UNITS, encoding: str = "UTF-8") -> bytes:
    """Return a file of parts, one `harness(...)`, nodes, routings and segments."""
    origin = tag("Cartesian_point", "origin", "<Coordinates>0</Coordinates>" * 3)
    inside = "".join(in_order([origin, *elements, units], _TOP))
    return (
        f'<?xml version="1.0" encoding="{encoding}"?>\n'
        f'<kbl:KBL_container xmlns:kbl="{NAMESPACE}" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" '
        f'id="container" version_id="{version}">\n{inside}</kbl:KBL_container>\n'
    ).encode(encoding)


def pump(
    version: str = "2.4", *, signal: str = "31 pump", usage: str = "ring terminal", mm: str = "1200"
) -> bytes:
    """Return the smallest harness with a use: a pump's connector, a wire, a ring on a stud."""
    return kbl(
        housing("h_plug", "12"),
        housing("h_ring", "1"),
        wire_part("w_brown", "1.5", "br"),
        harness(
            connector("x1", "X1", "h_plug", 2, about="bilge pump"),
            connector("gp", "GP.1", "h_ring", 1, usage=usage),
            wire("wire1", "7", "w_brown", mm),
            connection("con1", "wire1", "x1_p2", "gp_p1", signal=signal),
        ),
        version=version,
    )

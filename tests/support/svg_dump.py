"""A page as SVG, plainly: to look at how symbols and wires are placed without a window."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape

from harness_studio.base.geometry import Box, Point, around
from harness_studio.model.entities import Page
from harness_studio.model.harness import Harness
from harness_studio.placing.faces import face_shape
from harness_studio.placing.labels import Label
from harness_studio.placing.placed import on_page
from harness_studio.placing.symbols import Route, Symbol

INKS = {
    "BK": "#26282B", "BN": "#7A4A2B", "RD": "#C2332B", "OG": "#E07B1F", "YE": "#E6C229", "GN": "#2F8F4E",
    "BU": "#2B62B3", "VT": "#7B4FA3", "GY": "#8A8F94", "WH": "#F6F5F2", "PK": "#E28FA5",
}  # fmt: skip
PX = 3.0


def svg(
    harness: Harness,
    page: Page,
    symbols: Mapping[str, Symbol],
    routes: Mapping[str, Route],
    labels: Iterable[Label] = (),
    clear: bool = False,
) -> str:
    """Return the page as the text of an SVG file; `clear` outlines what routes must keep out of."""
    placed = {key: on_page(s, page.items[key]) for key, s in symbols.items() if key in page.items}
    boxes = [s.clear for s in placed.values()]
    boxes += [Box(p.x_mm, p.y_mm, 0, 0) for r in routes.values() for p in r.points]
    area = (around(boxes) or Box(0, 0, 10, 10)).grown(6)
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{area.width_mm * PX:.0f}" height="{area.height_mm * PX:.0f}" '
        f'viewBox="{area.left_mm} {area.top_mm} {area.width_mm} {area.height_mm}" '
        'font-family="Source Sans 3, DejaVu Sans">',
        _rect(area, "#FBFAF7", "none"),
    ]
    for key, symbol in placed.items():
        if clear:
            out.append(_rect(symbol.clear, "#f3e8d8", "#e0b080", 0.2))
        out += _symbol(harness, key, symbol)
    for route in routes.values():
        out += _wire(harness, route)
    for symbol in placed.values():
        out += [_text(t.text or "· · ·", t.at, t.size_mm, t.align, t.role == "title") for t in symbol.texts]
    for label in labels:
        turned = (
            f'<g transform="rotate({90 * label.turn} {label.at.x_mm} {label.at.y_mm})">'
            if label.turn
            else "<g>"
        )
        out.append(turned + _text(label.text, label.at, label.size_mm, label.align, False) + "</g>")
    return "\n".join([*out, "</svg>"])


def _rect(box: Box, fill: str, line: str, width: float = 0.5, round_mm: float = 0.0) -> str:
    return (
        f'<rect x="{box.left_mm:.2f}" y="{box.top_mm:.2f}" width="{box.width_mm:.2f}" height="{box.height_mm:.2f}" '
        f'rx="{round_mm}" fill="{fill}" stroke="{line}" stroke-width="{width}"/>'
    )


def _text(text: str, at: Point, size: float, align: str, bold: bool) -> str:
    weight, ink = ("600", "#23272C") if bold else ("400", "#62686E")
    return (
        f'<text x="{at.x_mm:.2f}" y="{at.y_mm:.2f}" font-size="{size}" text-anchor="{align}" font-weight="{weight}" '
        f'fill="{ink}">{escape(text)}</text>'
    )


def _symbol(harness: Harness, key: str, symbol: Symbol) -> list[str]:
    out = []
    for name, box in symbol.outlines.items():
        if name.startswith("comb:"):
            continue
        if name in harness.bodies:
            out.append(_rect(box, "#C9CBCC", "#9EA2A5", 0.4, 1.3))
        elif name in harness.splices:
            out.append(f'<circle cx="{box.centre.x_mm}" cy="{box.centre.y_mm}" r="1.9" fill="#23272C"/>')
        elif name in harness.halves:
            out += _face(harness, name, box)
        elif "/" in name:
            out.append(
                f'<ellipse cx="{box.centre.x_mm}" cy="{box.centre.y_mm}" rx="{box.width_mm / 2}" '
                f'ry="{box.height_mm / 2 - 0.4}" fill="#b08060" stroke="#26282B" stroke-width="0.4"/>'
            )
        elif name in harness.grounds:
            x = box.centre.x_mm
            out.append(f'<path d="M{x},{box.top_mm} V{box.bottom_mm}" stroke="#6b7074" stroke-width="2"/>')
        elif box.width_mm == box.height_mm and harness.parts[name].kind != "box":
            out.append(
                f'<circle cx="{box.centre.x_mm}" cy="{box.centre.y_mm}" r="{box.width_mm / 2}" fill="#fff" '
                'stroke="#23272C" stroke-width="0.5"/>'
            )
        else:
            out.insert(0, _rect(box, "#fff", "#5b6167", 0.5, 1.0))
    for end, anchor in symbol.wire_anchors.items():
        root = symbol.anchors.get(end[1])
        if root and root.at != anchor.at and symbol.kind in ("part", "box", "splice", "connector"):
            out.append(_line((root.at, anchor.at), "#23272C", 0.4))
    return out


def _face(harness: Harness, half_id: str, box: Box) -> list[str]:
    face = face_shape(harness.halves[half_id])
    middle = box.centre
    out = [_rect(box, "#E9E7E1", "#4f555b", 0.6, 2)]
    if face.lock_bar:
        out.append(_rect(face.lock_bar.moved(middle.x_mm, middle.y_mm), "#4f555b", "none"))
    for cell in face.cells:
        half = cell.size_mm / 2
        at = cell.at.moved(middle.x_mm, middle.y_mm)
        out.append(
            _rect(Box(at.x_mm - half, at.y_mm - half, 2 * half, 2 * half), "#FBFAF7", "#9aa0a5", 0.3, 1)
        )
        out.append(_text(cell.name, at.moved(0, 1.2), 3.2, "middle", False))
    return out


def _wire(harness: Harness, route: Route) -> list[str]:
    wire = harness.wires.get(route.wire)
    base, _, tracer = (wire.colour or "GY" if wire else "GY").partition("/")
    out = [_line(route.points, "#00000055", 1.5), _line(route.points, INKS.get(base, "#888"), 1.0)]
    if tracer:
        out.append(_line(route.points, INKS.get(tracer, "#888"), 0.4, "3 2.3"))
    return out


def _line(points: Iterable[Point], ink: str, width: float, dash: str = "") -> str:
    path = " ".join(f"{p.x_mm:.2f},{p.y_mm:.2f}" for p in points)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<polyline points="{path}" fill="none" stroke="{ink}" stroke-width="{width}" stroke-linejoin="round"'
        f"{dashed}/>"
    )

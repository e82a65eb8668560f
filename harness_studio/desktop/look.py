"""The look of everything around the diagram: palette, type, and a short style sheet on Fusion."""

from __future__ import annotations

from PySide6.QtGui import QColor, QFont, QPalette
from PySide6.QtWidgets import QApplication, QToolTip

from harness_studio.drawing import fonts
from harness_studio.drawing.theme import Theme


def apply(theme: Theme) -> None:
    """Give the whole program its look."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        return
    if app.style().objectName() != "fusion":
        app.setStyle("Fusion")
    font = fonts.font(fonts.TEXT_PX)
    app.setFont(font)
    QToolTip.setFont(font)
    app.setPalette(palette(theme))
    app.setStyleSheet(style_sheet(theme))


def small() -> QFont:
    """Return the font of quiet texts."""
    return fonts.font(fonts.SMALL_PX + 1)


def palette(theme: Theme) -> QPalette:
    """Return the palette of a theme."""
    made = QPalette()
    roles = {
        QPalette.ColorRole.Window: "panel",
        QPalette.ColorRole.WindowText: "ink",
        QPalette.ColorRole.Base: "card",
        QPalette.ColorRole.AlternateBase: "panel",
        QPalette.ColorRole.Text: "ink",
        QPalette.ColorRole.Button: "card",
        QPalette.ColorRole.ButtonText: "ink",
        QPalette.ColorRole.BrightText: "stop",
        QPalette.ColorRole.Highlight: "accent",
        QPalette.ColorRole.HighlightedText: "paper",
        QPalette.ColorRole.ToolTipBase: "card",
        QPalette.ColorRole.ToolTipText: "ink",
        QPalette.ColorRole.PlaceholderText: "muted",
        QPalette.ColorRole.Link: "accent",
        QPalette.ColorRole.LinkVisited: "accent",
        QPalette.ColorRole.Mid: "hairline",
        QPalette.ColorRole.Accent: "accent",
    }
    for role, name in roles.items():
        made.setColor(role, theme.colour(name))
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, role, theme.colour("muted"))
    return made


def wash(theme: Theme, name: str, share: float) -> str:
    """Return a colour thinned into the card, as a style sheet writes it."""
    card, colour = theme.colour("card"), theme.colour(name)
    pairs = zip(card.getRgbF()[:3], colour.getRgbF()[:3], strict=True)  # type: ignore[index]
    return QColor.fromRgbF(*(c + (a - c) * share for c, a in pairs)).name()


def style_sheet(theme: Theme) -> str:
    """Return the style sheet of a theme.

    It sets no font: a style sheet knows nothing of a font's weight axis, and text would come out far too thin.
    """
    names = ("paper", "panel", "card", "ink", "muted", "hairline", "accent", "stop")
    c = {name: theme.colour(name).name() for name in names}
    return f"""
    QMainWindow, QMenuBar {{ background: {c["panel"]}; }}
    QMenuBar {{ border-bottom: 1px solid {c["hairline"]}; padding: 2px 8px; }}
    QMenuBar::item {{ padding: 4px 10px; border-radius: 4px; background: transparent; }}
    QMenuBar::item:selected {{ background: {wash(theme, "accent", 0.14)}; }}
    QMenu {{ background: {c["card"]}; border: 1px solid {c["hairline"]}; padding: 4px; }}
    QMenu::item {{ padding: 5px 26px 5px 14px; border-radius: 4px; }}
    QMenu::item:selected {{ background: {wash(theme, "accent", 0.14)}; color: {c["ink"]}; }}
    QMenu::item:disabled {{ color: {c["muted"]}; }}
    QMenu::separator {{ height: 1px; background: {c["hairline"]}; margin: 4px 8px; }}
    QToolTip {{ background: {c["card"]}; color: {c["ink"]}; border: 1px solid {c["hairline"]}; padding: 4px 6px; }}
    QSplitter::handle {{ background: {c["hairline"]}; }}
    #strip, #foot {{ background: {c["panel"]}; }}
    #strip {{ border-bottom: 1px solid {c["hairline"]}; }}
    #foot {{ border-top: 1px solid {c["hairline"]}; }}
    #foot QLabel, #quiet {{ color: {c["muted"]}; }}
    #drawer, #drawer QScrollArea, #drawer QTextBrowser, #drawer QListView {{ background: {c["card"]}; border: none; }}
    #proof {{ background: {c["panel"]}; border-radius: 8px; }}
    #start {{ background: {c["paper"]}; }}
    #bar {{ background: {wash(theme, "mend", 0.14)}; border-bottom: 1px solid {c["hairline"]}; }}
    #page {{ background: {c["card"]}; }}
    #refusal {{ color: {c["stop"]}; }}
    QPushButton {{ background: {c["card"]}; border: 1px solid {c["hairline"]}; border-radius: 6px; padding: 6px 14px; }}
    QPushButton:hover {{ border-color: {c["muted"]}; }}
    QPushButton:focus {{ border: 1px solid {c["accent"]}; }}
    QPushButton:pressed {{ background: {c["panel"]}; }}
    QPushButton#main {{ background: {c["accent"]}; color: {c["card"]}; border-color: {c["accent"]}; }}
    QPushButton#main:focus {{ border: 2px solid {c["ink"]}; padding: 5px 13px; }}
    QPushButton#word {{ background: transparent; border: 1px solid transparent; border-radius: 3px;
        padding: 2px 6px; color: {c["muted"]}; }}
    QPushButton#word:hover {{ color: {c["ink"]}; }}
    QPushButton#word:focus {{ border: 1px dashed {c["accent"]}; }}
    QPushButton#word:checked {{ background: {c["card"]}; border: 1px solid {c["accent"]}; color: {c["accent"]}; }}
    QPushButton#word:checked:focus {{ border: 2px solid {c["accent"]}; padding: 1px 5px; }}
    #tabs {{ background: {c["card"]}; border-bottom: 1px solid {c["hairline"]}; }}
    #tabs:focus {{ border: 1px solid {c["accent"]}; }}
    QPushButton#tab {{ background: transparent; color: {c["muted"]}; padding: 6px 8px 5px 8px; border: none;
        border-radius: 0; border-bottom: 2px solid transparent; }}
    QPushButton#tab:checked {{ color: {c["accent"]}; border-bottom: 2px solid {c["accent"]}; }}
    QPushButton#group {{ background: transparent; color: {c["muted"]}; padding: 4px 9px; border: 1px solid transparent;
        border-radius: 5px; }}
    QPushButton#group:checked {{ background: {wash(theme, "accent", 0.12)}; color: {c["accent"]}; }}
    QPushButton#group:hover {{ color: {c["ink"]}; }}
    QPushButton#tab:hover {{ color: {c["ink"]}; }}
    #finder {{ background: {c["card"]}; border: 1px solid {c["muted"]}; border-radius: 8px; }}
    #finder QLineEdit {{ border: none; border-bottom: 1px solid {c["hairline"]}; padding: 9px 10px;
        background: transparent; selection-background-color: {c["accent"]}; }}
    #finder QListView {{ border: none; background: transparent; outline: none; }}
    {_fields(c)}
    {_bars(c)}
    """


def _fields(c: dict[str, str]) -> str:
    """Return the style of what is typed in; many lines get the outline that Fusion gives to one."""
    outline = QColor(c["panel"]).darker(140).name()
    return f"""
    QPlainTextEdit {{ background: {c["card"]}; border: 1px solid {outline}; border-radius: 3px; }}
    QPlainTextEdit:focus {{ border: 1px solid {c["accent"]}; }}
    QLineEdit[refused="true"] {{ border: 1px solid {c["stop"]}; border-radius: 3px; }}
    """


def _bars(c: dict[str, str]) -> str:
    """Return the style of scroll bars."""
    return f"""
    QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
    QScrollBar::handle:vertical {{ background: {c["hairline"]}; border-radius: 4px; min-height: 30px; margin: 1px; }}
    QScrollBar:horizontal {{ background: transparent; height: 10px; margin: 0; }}
    QScrollBar::handle:horizontal {{ background: {c["hairline"]}; border-radius: 4px; min-width: 30px; margin: 1px; }}
    QScrollBar::add-line, QScrollBar::sub-line, QScrollBar::add-page, QScrollBar::sub-page {{
        background: none; border: none; width: 0; height: 0; }}
    """

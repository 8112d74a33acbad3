"""The sheet a page is drawn on: HTML from the server, sent again whenever what it shows has changed."""

from nicegui.element import Element

from ferrule.web.markup import Markup


class Paper(Element, component="paper.js"):
    """Shows a page's HTML and replaces what differs when `show` is called. The HTML is ours and escaped (markup.py)."""

    def __init__(self, html: Markup) -> None:
        super().__init__()
        self._shown = html
        self._props["html"] = str(html)

    def show(self, html: Markup) -> bool:
        """Bring every open copy of this page up to date. Returns whether anything was different."""
        if html == self._shown:
            self.run_method("show", str(html))
            return False
        self._shown = html
        # The prop is what a reload of this client would get; changing it silently avoids sending the page twice.
        with self._props.suspend_updates():
            self._props["html"] = str(html)
        self.run_method("show", str(html))
        return True

"""The least that Textual can show: the floor of a first frame."""

from textual.app import App
from textual.widgets import Static


class Minimal(App[None]):
    """One line of text."""

    def compose(self):
        yield Static("the least screen")


if __name__ == "__main__":
    Minimal().run(mouse=False)

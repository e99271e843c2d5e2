"""The one table of actions. Footer, help, palette, the README's key table and the user's keymap are made from it."""

from __future__ import annotations

from typing import NamedTuple

DESK, LIST, CARDS, PAGE, FIELD = "desk", "list", "cards", "page", "field"
PEOPLE = "people"


class Action(NamedTuple):
    """One thing a user can do.

    id: the name in a keymap. keys: by default. label: two words for the footer. help: one sentence.
    where: the kind of screen it belongs to.
    """

    id: str
    keys: tuple[str, ...]
    label: str
    help: str
    where: str = DESK


ACTIONS: tuple[Action, ...] = (
    Action("step_back", (",",), "step A", "Put the scan before A's into pane A."),
    Action("step_on", (".",), "step A", "Put the scan after A's into pane A."),
    Action("put_a", ("a", "enter"), "put", "Put the scan at the shelf's cursor into pane A."),
    Action("put_b", ("b",), "put", "Put the scan at the shelf's cursor into pane B and hold it; again: empty pane B."),
    Action("apart", ("v",), "apart", "Show the panes apart, or together again."),
    Action("shelf", ("s",), "shelf", "Open or fold the shelf, the list of scans."),
    Action("fit", ("y",), "fit scale", "Fit the y scale to what is shown; it holds until you ask again."),
    Action("go", ("g",), "go", "Go to another screen, by the question it answers."),
    Action("find", ("/",), "find", "Find scans on the shelf by words of their title, place or other facts."),
    Action("cards", ("x",), "card", "Choose, order and keep the cards of the strip."),
    Action("help", ("?",), "keys", "Show every key, with what it does."),
    Action("palette", ("p",), "actions", "Find an action by typing a part of it, and run it."),
    Action("shelf_up", ("up",), "shelf", "Move the shelf's cursor up."),
    Action("shelf_down", ("down",), "shelf", "Move the shelf's cursor down."),
    Action("shelf_page_up", ("pageup",), "shelf", "Move the shelf's cursor up by a page."),
    Action("shelf_page_down", ("pagedown",), "shelf", "Move the shelf's cursor down by a page."),
    Action("caret_left", ("left",), "caret", "Move the caret 1 nm to the left."),
    Action("caret_right", ("right",), "caret", "Move the caret 1 nm to the right."),
    Action("next_peak", ("n",), "peak", "Move the caret to the next peak of A."),
    Action("previous_peak", ("m",), "peak", "Move the caret to the peak of A before it."),
    Action("next_edge", ("k",), "edge", "Move the caret to the next band edge."),
    Action("previous_edge", ("j",), "edge", "Move the caret to the band edge before it."),
    Action("wavelength", (":",), "wavelength", "Type a wavelength in nm for the caret."),
    Action("zoom_in", ("+", "="), "zoom", "Show half the range, around the caret."),
    Action("zoom_out", ("-",), "zoom", "Show twice the range."),
    Action("pan_left", ("[",), "pan", "Move the range shown to shorter wavelengths."),
    Action("pan_right", ("]",), "pan", "Move the range shown to longer wavelengths."),
    Action("whole", ("0",), "whole range", "Show all that the scans cover; again: the range at the start."),
    Action("axis", ("e",), "energy or photons", "Change the y axis between energy and photons."),
    Action("next_card", ("l", "tab"), "next card", "Select the next card."),
    Action("previous_card", ("h",), "card before", "Select the card before."),
    Action("detail", ("i",), "detail", "Open the selected card: definition, formula, source, coverage, uncertainty."),
    Action("trust", ("r",), "trust", "Show every flag and fact of A and B, and the cautions: can I trust this scan?"),
    Action("people", ("o",), "people", "Show how colours look under A and B, and what white they are."),
    Action("verify", ("z",), "verify", "Check this installation against published values."),
    Action("conditions", ("c",), "conditions", "Show the conditions that differ between A and B, or are unsaid."),
    Action("unit", ("u",), "unit", "Assign a unit to a scan of pane A that states none; kept beside the file."),
    Action("hours", ("d",), "hours", "Set the hours of light a day that DLI is computed with; 0: those of the file."),
    Action("write", ("w",), "write", "Write what is shown to a text file and tell its path."),
    Action("theme", ("t",), "theme", "Choose a theme."),
    Action("back", ("esc",), "back", "One step back."),
    Action("quit", ("q",), "quit", "Leave spectui."),
    Action("list_up", ("up",), "up", "Move up.", LIST),
    Action("list_down", ("down",), "down", "Move down.", LIST),
    Action("list_choose", ("enter",), "choose", "Choose this line.", LIST),
    Action("list_back", ("esc",), "back", "One step back, nothing chosen.", LIST),
    Action("card_up", ("up",), "up", "Move up.", CARDS),
    Action("card_down", ("down",), "down", "Move down.", CARDS),
    Action("card_toggle", ("enter", "space"), "show or hide", "Put the card on the strip, or take it off.", CARDS),
    Action("card_earlier", ("<", "left"), "earlier", "Move the card one place to the left on the strip.", CARDS),
    Action("card_later", (">", "right"), "later", "Move the card one place to the right on the strip.", CARDS),
    Action("card_detail", ("i",), "detail", "Open the card.", CARDS),
    Action("card_set", ("n",), "next set", "Change to the next named set of cards.", CARDS),
    Action("card_keep", ("k",), "keep as", "Keep these cards as a set with a name of yours.", CARDS),
    Action("card_drop", ("r",), "remove set", "Remove this set (the default set: its changes). Pressed twice.", CARDS),
    Action("card_back", ("esc", "x", "q"), "back", "Back to the desk.", CARDS),
    Action("people_step_back", (",",), "step A", "Put the scan before A's into pane A.", PEOPLE),
    Action("people_step_on", (".",), "step A", "Put the scan after A's into pane A.", PEOPLE),
    Action("people_half", ("tab",), "other half", "Change between rendition and chromaticity, where one fits.", PEOPLE),
    Action(
        "people_bars", ("b",), "bars", "Change between the bars of R1-R14 and of the hue bins, where one fits.", PEOPLE
    ),
    Action("people_whole", ("0",), "whole", "Change between the whole diagram and the whites.", PEOPLE),
    Action("people_space", ("e",), "diagram", "Change between the diagrams of u′ v′ and of x y.", PEOPLE),
    Action("people_back", ("esc", "q", "o"), "back", "Back to the desk.", PEOPLE),
    Action("page_up", ("up",), "up", "Scroll up.", PAGE),
    Action("page_down", ("down",), "down", "Scroll down.", PAGE),
    Action("page_page_up", ("pageup",), "up", "Scroll up by a page.", PAGE),
    Action("page_page_down", ("pagedown", "space"), "down", "Scroll down by a page.", PAGE),
    Action("page_back", ("esc", "enter", "q"), "back", "One step back.", PAGE),
)
BY_ID: dict[str, Action] = {action.id: action for action in ACTIONS}

# What the desk's last row shows, in this order; where the row is short the first seven stand.
FOOTER: tuple[tuple[tuple[str, ...], str], ...] = (
    (("step_back", "step_on"), "step A"),
    (("put_a", "put_b"), "put"),
    (("shelf",), "shelf"),
    (("go",), "go"),
    (("find",), "find"),
    (("cards",), "card"),
    (("help",), "keys"),
)
# The order with room for more: apart and fit stand before shelf and go.
WIDE_FOOTER = (FOOTER[0], FOOTER[1], (("apart",), "apart"), FOOTER[2], (("fit",), "fit scale"), *FOOTER[3:])

_PLACES = {
    DESK: "On the desk",
    LIST: "In a list (typed letters narrow it)",
    CARDS: "Among the cards",
    PEOPLE: "On the People screen",
    PAGE: "On a page",
}


def rows(keys: dict[str, tuple[str, ...]] | None = None) -> list[tuple[str, list[tuple[str, str, str]]]]:
    """Return (heading, [(keys, id, help)]) for the help screen and the README, with the user's keys where given."""
    chosen = keys or {action.id: action.keys for action in ACTIONS}
    return [
        (heading, [(" ".join(chosen[a.id]), a.id, a.help) for a in ACTIONS if a.where == where])
        for where, heading in _PLACES.items()
    ]


def markdown() -> str:
    """Return the key table of the README."""
    parts = []
    for heading, entries in rows():
        parts += [f"**{heading}**", "", "| key | action | what it does |", "|---|---|---|"]
        for keys, name, sentence in entries:
            spelled = " ".join(f"`{key}`" for key in keys.split(" "))
            parts.append(f"| {spelled} | `{name}` | {sentence} |")
        parts.append("")
    return "\n".join(parts)

"""German of the shop sheets where a template alone would put the words in the wrong order or the wrong place."""

import pytest

from framecore.words.language import language

SAID = {
    "Saw 651.5.": "Auf 651,5 sägen.",
    "Saw 661: 1 more than drawn, which its welds take off again.": (
        "Auf 661 sägen: 1 mehr als gezeichnet, was seine Nähte wieder wegnehmen."
    ),
    "Saw 361: 1 more than drawn, which its welds take off again; measure its holes from the middle.": (
        "Auf 361 sägen: 1 mehr als gezeichnet, was seine Nähte wieder wegnehmen; seine Löcher von der Mitte aus messen."
    ),
    "both top diagonals": "beide Diagonalen oben",
    "both diagonals, between centres of feet": "beide Diagonalen, zwischen Fußmitten",
    "leg FL, FR, BL, BR": "Bein FL, FR, BL, BR",
    "fillet, leg 3, throat 2.1": "Kehlnaht, Schenkel 3, Nahtdicke 2,1",
    "P3 to P3": "P3 an P3",
    "1 to 3": "1 bis 3",
    "Torque; 50.5 N m at most": "Moment; höchstens 50,5 N m",
    "15  Stitch on the shelf, splash back and switch box plate": "15  Ablage, Spritzwand und Schaltkastenblech anheften",
    "9  Splash back post left": "9  Spritzwandpfosten links",
    "machine feet 1, 2; machine's foot 20 mm thick, assumed; clamps 84 mm": (
        "Maschinenfüße 1, 2; Maschinenfuß 20 mm dick, angenommen; klemmt 84 mm"
    ),
    "Cut the pads and sheets by their drawings and break the edges. Drill them; countersink and tap threaded holes.": (
        "Fußplatten und Bleche nach Zeichnung schneiden und die Kanten brechen. Bohren; jedes Gewindeloch ansenken und "
        "Gewinde schneiden."
    ),
    "top diagonals alike within 7.1 mm; feet diagonals alike within 6.4 mm; front diagonals alike within 9 mm; heights alike "
    "within 3 mm": (
        "Diagonalen oben gleich auf 7,1 mm; Diagonalen der Füße gleich auf 6,4 mm; Diagonalen vorn gleich auf 9 mm; Höhen "
        "gleich auf 3 mm"
    ),
    "S12: 8 × nut, M12; above and below each caster's bracket": "S12: 8 × Mutter, M12; über und unter der Konsole jeder Rolle",
    "Welds of splash back post left and splash back post right": (
        "Nähte von Spritzwandpfosten links und Spritzwandpfosten rechts"
    ),
    "s1.5": "s1,5",
    "M12x1.75": "M12x1.75",
}  # fmt: skip


@pytest.mark.parametrize("text", SAID)
def test_what_the_sheets_say(text):
    assert language("de").say(text) == SAID[text]


def test_parts_keep_one_name_in_rows_and_alone():
    """A post is called in a row of names as it is by itself."""
    say = language("de").say
    row = "splash back post left (1 kg), splash back post right (1 kg), switch box post (1 kg), tray (7 kg)"
    said = say(f"It takes end frame left (9 kg), end frame right (9 kg), {row}.")
    for name in ("splash back post left", "splash back post right", "switch box post"):
        assert f"{say(name)} (1 kg)" in said
    arms = ("splash back post left arm", "splash back post right arm", "switch box post arm")
    assert say(f"Becomes {', '.join(arms)}.") == f"Wird zu {', '.join(say(a) for a in arms)}."
    assert say("; ".join(arms)) == "; ".join(say(a) for a in arms)

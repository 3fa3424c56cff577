"""Pictures: bars to both sides of a middle."""

from ledger.facts.pictures import EitherWay, Sway


def picture(*rows, middle=100):
    """A picture of these rows about a middle."""
    return EitherWay("sways", "What matters", "A tenth either way.", "Moved", "−10 %", "+10 %", middle, "100", "now: 100", rows)


def sway(label, less, more):
    return Sway(label, less, more, str(less), str(more))


def test_the_longest_bar_reaches_as_far_as_the_drawing_allows():
    """Price 40 less and 40 more, wage a quarter of that the other way round."""
    sides = picture(sway("price", 60, 140), sway("wage", 110, 90)).sides()

    assert [(side.ink, side.bar.x, side.bar.width) for side in sides] == [
        ("ink-less", 190, 170), ("ink-more", 360, 170), ("ink-less", 360, 43), ("ink-more", 317, 43),
    ]
    assert sides[2].says == "wage, −10 %: 110" and sides[0].fill != sides[1].fill


def test_what_moves_nothing_has_no_bar_but_its_figures():
    """Nothing to be drawn, and both figures beside the middle."""
    drawn = picture(sway("plot", 100, 100))
    assert drawn.sides() == []
    assert [(word.text, word.anchor, word.x) for word in drawn.words()][2:] == [
        ("−10 %: 100", "end", 351), ("+10 %: 100", "start", 369),
    ]


def test_the_lower_figure_stands_to_the_left():
    """A dearer wage leaves less: its figure stands left, the cheaper one right, each at the end of its bar."""
    words = picture(sway("wage", 110, 90)).words()
    assert [(word.text, word.anchor) for word in words] == [
        ("now: 100", "middle"), ("wage", "start"), ("+10 %: 90", "end"), ("−10 %: 110", "start"),
    ]


def test_a_picture_of_nothing_has_room_for_its_middle():
    """Without rows there is the middle alone."""
    assert (picture().sides(), picture().floor, picture().height, picture().width) == ([], 0, 40, 720)

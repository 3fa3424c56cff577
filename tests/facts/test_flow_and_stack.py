"""Pictures: a stem that narrows, and bars made of layers."""

from dataclasses import dataclass

from ledger.facts.pictures import StackedBars, StemFlow


@dataclass(frozen=True)
class Exit:
    """What leaves."""

    label: str
    stems: int
    lost: bool = False


@dataclass(frozen=True)
class Stage:
    """One stage."""

    label: str
    stems: int
    exits: tuple[Exit, ...] = ()
    beside: Exit | None = None


def flow(*stages):
    """A flow picture of these stages."""
    return StemFlow("season", "Stems", "Where they went.", stages)


def of_ink(picture, ink):
    """The outlines in one ink."""
    return [shape.d for shape in picture.shapes if shape.ink == f"ink-{ink}"]


def test_stem_is_as_wide_as_what_is_left_of_it():
    """Of 260 units for a hundred, 40 leave 156."""
    picture = flow(Stage("cut", 100, (Exit("sold fresh", 40),)), Stage("hung", 60))

    assert [d.split()[2] for d in of_ink(picture, "stem")] == ["H260", "H156", "H156"]
    assert [word.text for word in picture.words] == ["cut: 100", "sold fresh: 40", "hung: 60"]
    assert picture.height > max(word.y for word in picture.words)


def test_branch_is_as_wide_as_it_was_in_the_stem():
    """Forty of a hundred leave between 156 and 260 and end 104 high."""
    branch = of_ink(flow(Stage("cut", 100, (Exit("sold fresh", 40),))), "leaf")[0].split()

    assert (branch[0], branch[2]) == ("M156", "H260")
    assert int(branch[9].removeprefix("V")) - int(branch[8]) == 104


def test_lost_is_drawn_apart_and_a_thin_branch_is_still_seen():
    """One of a million is two units wide and in the colour of loss."""
    picture = flow(Stage("cut", 1_000_000, (Exit("thrown out", 1, lost=True),)))
    branch = of_ink(picture, "lost")[0].split()

    assert of_ink(picture, "leaf") == []
    assert int(branch[9].removeprefix("V")) - int(branch[8]) == 2


def test_what_passes_by_stands_beside():
    """Fifty cut dry beside fifty hung: 130 units each."""
    picture = flow(Stage("cut", 100), Stage("hung", 50, beside=Exit("cut dry", 50)), Stage("fit", 100))

    assert {d.split()[0] + d.split()[2] for d in of_ink(picture, "beside")} == {"M0H130"}
    assert of_ink(picture, "stem")[1].split()[0] == "M130"


def test_every_ink_prints():
    """Each shape carries a colour of its own, for paper."""
    picture = flow(Stage("cut", 9, (Exit("a", 1), Exit("b", 1, lost=True))), Stage("hung", 3, beside=Exit("dry", 4)))

    assert all(shape.fill.startswith("#") for shape in picture.shapes)


def bars(*rows):
    """Bars of mould and dust."""
    return StackedBars("losses", "Losses", "So many.", "Week", ["mould", "dust"], list(rows))


def test_layers_lie_end_to_end_as_long_as_their_numbers():
    """The longest of 40 is 490 long: 30 then 10; nothing is no bar."""
    picture = bars(("W27", [30, 10]), ("W28", [0, 20]))

    assert [(bar.x, bar.y) for _layer, bar, _says in picture.bars()] == [(150, 5), (518, 5), (150, 41)]
    assert [says for _layer, _bar, says in picture.bars()] == ["W27, mould: 30", "W27, dust: 10", "W28, dust: 20"]
    assert max(bar.x + bar.width for _layer, bar, _says in picture.bars()) <= 640


def test_figures_add_up_both_ways():
    """Rows and layers have the same sum."""
    picture = bars(("W27", [30, 10]), ("W28", [0, 20]))

    assert [sum_of for _label, _numbers, sum_of in picture.table()] == [40, 20]
    assert (picture.totals, picture.whole) == ([30, 30], 60)
    assert [word.text for word in picture.words()] == ["W27", "40", "W28", "20"]


def test_no_bar_is_drawn_of_nothing():
    """A week without loss has its words alone."""
    assert bars(("W27", [0, 0])).bars() == []

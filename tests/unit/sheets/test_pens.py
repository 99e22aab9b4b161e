"""Pens and papers: the registry of layers, the printer's correction."""

import pytest

from braces.sheets.layers import LAYERS, pen
from braces.sheets.paper import PrinterScale, paper

#: ISO 128-2 (from memory): the series of line widths in mm.
ISO_128_WIDTHS = {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0}


def test_pens_are_of_the_standard_series():
    assert {layer.width_mm for layer in LAYERS.values()} <= ISO_128_WIDTHS


def test_cut_lines_are_the_widest_and_continuous():
    assert pen("cut").width_mm == max(layer.width_mm for layer in LAYERS.values()) == 0.5
    assert pen("cut").dashes_mm == ()


def test_no_two_layers_of_hidden_things_look_continuous():
    assert all(pen(name).dashes_mm for name in ("hidden", "lap-far", "centre", "blank", "relief", "trim"))


def test_dashes_come_in_pairs_and_are_positive():
    for layer in LAYERS.values():
        assert len(layer.dashes_mm) % 2 == 0
        assert all(v > 0 for v in layer.dashes_mm)


def test_dxf_names_are_upper_case():
    assert pen("lap-far").dxf_name == "LAP-FAR"


def test_correction_follows_the_paper_when_it_lies_across():
    printer = PrinterScale(1.004, 0.9985)
    assert printer.on(landscape=False) == (1.004, 0.9985)
    assert printer.on(landscape=True) == (0.9985, 1.004)


def test_correction_comes_from_what_the_bars_measured():
    """A printer that makes 100 mm into 99.6 needs lengths 100 / 99.6 as long in the file."""
    printer = PrinterScale.measured(99.6, 100.15)
    assert (99.6 * printer.x_ratio, 100.15 * printer.y_ratio) == pytest.approx((100.0, 100.0))
    assert printer.measured_mm == pytest.approx((99.6, 100.15))


@pytest.mark.parametrize("wrong", [(0.5, 1.0), (1.0, 1.2), (float("nan"), 1.0)])
def test_a_factor_no_printer_needs_is_refused(wrong):
    with pytest.raises(ValueError, match="not within"):
        PrinterScale(*wrong)


def test_unknown_names_list_the_known_ones():
    with pytest.raises(ValueError, match="a4"):
        paper("a5")
    with pytest.raises(ValueError, match="cut"):
        pen("pencil")

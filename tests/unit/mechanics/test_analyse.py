"""The whole way on real instruments, on a coarse grid."""

from dataclasses import replace

import numpy as np
import pytest

from braces.mechanics.analyse import FINE, QUICK, REPORT, analyse, bounds, solve_plate, summary
from braces.mechanics.braced_plate import Mesh, assemble, modes, with_bars
from braces.mechanics.instrument import Setting, plate_model
from braces.mechanics.sensitivity import gains, raised, turn_deg
from braces.mechanics.strings import string_load, string_sets

COARSE = Mesh(step_mm=12.0, detail_mm=16.0, element_mm=30.0)
LOAD = string_load(string_sets()["light"], 645.16)


@pytest.fixture(scope="module")
def top(fieldfare):
    return solve_plate(fieldfare, "top", Setting(), LOAD, COARSE)


@pytest.fixture(scope="module")
def derivatives(top):
    return gains(top)


@pytest.fixture(scope="module")
def strength(dunnock):
    return analyse(dunnock, mesh=COARSE)


def test_the_report_has_every_brace_and_ten_modes(strength, dunnock):
    assert [b.name for b in strength.braces] == [b.name for b in dunnock.braces]
    assert len(strength.top.modes) == len(strength.back.modes) == 10
    hertz = [m.frequency_hz for m in strength.top.modes]
    assert hertz == sorted(hertz)
    assert strength.top.bridge_turn_deg is not None
    assert strength.back.bridge_turn_deg is None
    assert strength.back.deflection is None


def test_strings_tip_the_bridge_towards_the_neck(strength):
    # The strings pull towards the neck above the top: behind the bridge it bellies up, in front it sinks.
    field = strength.top.deflection
    i = int(np.argmin(np.abs(field.x_mm)))
    y, w = field.y_mm, field.value[i]
    behind, ahead = w[(y > 100) & (y < 145)], w[(y > 180) & (y < 230)]
    assert 0.2 < strength.top.bridge_turn_deg < 4
    assert np.nanmean(behind) > np.nanmean(ahead)


def test_masses_agree_with_the_carving(strength, dunnock):
    # Independent: the carving's own quadrature of volume; a plate's area times thickness.
    assert strength.top.braces_mass_g == pytest.approx(sum(b.mass_g for b in dunnock.top.braces))
    area = dunnock.placed.top.outline.area_mm2()
    assert strength.back.plate_mass_g > area * dunnock.placed.back.spec.thickness_mm * 400e-6


def test_stresses_stay_below_strength_and_borrowed_numbers_are_marked(strength):
    assert all(0 < s.used_fraction < 1 for s in strength.top.stresses)
    assert dict(strength.marks)["red spruce"] == "borrowed"
    assert any("assumed" in a for a in strength.assumptions)


def test_every_solved_quantity_has_a_bound(strength):
    for mesh in (QUICK, REPORT, FINE):
        found = bounds(mesh.step_mm)
        assert [b.quantity for b in found] == ["mode 1", "modes 2 to 10", "deflection", "bridge turn"]
        assert all(b.low_ratio >= 0 and b.high_ratio >= 0 and b.measured_on for b in found)
    # What was never measured has no bound to show.
    assert strength.bounds == ()


def test_the_rim_orders_the_frequencies(fieldfare):
    # More hold, higher first frequency (Rayleigh): free edge motion < lining < clamped.
    found = {}
    for rim in ("lining", "clamped"):
        found[rim] = solve_plate(fieldfare, "top", Setting(rim=rim), None, COARSE).hertz[0]
    assert found["lining"] < found["clamped"]
    with pytest.raises(ValueError, match="rim"):
        plate_model(fieldfare, "top", Setting(rim="glued"), COARSE)


def test_a_thinner_plate_by_function_is_the_same_as_by_number(fieldfare):
    thin = fieldfare.placed.top.spec.thickness_mm
    setting = Setting(thickness=lambda x, y: np.full(np.shape(x), thin))
    a = solve_plate(fieldfare, "top", setting, LOAD, COARSE)
    b = solve_plate(fieldfare, "top", Setting(), LOAD, COARSE)
    assert a.hertz == pytest.approx(b.hertz, rel=1e-6)
    assert turn_deg(a) == pytest.approx(turn_deg(b), rel=1e-6)
    assert summary(a, fieldfare.top, setting).plate_mass_g == pytest.approx(
        summary(b, fieldfare.top, Setting()).plate_mass_g, rel=1e-9
    )


def test_results_are_the_same_on_every_run(fieldfare, top):
    again = solve_plate(fieldfare, "top", Setting(), LOAD, COARSE)
    assert again.hertz.tobytes() == top.hertz.tobytes()
    assert again.deflection.tobytes() == top.deflection.tobytes()


@pytest.mark.parametrize(("brace", "station"), [(0, 4), (2, 3), (8, 5)])
def test_gains_are_differences_of_two_full_solutions(top, derivatives, brace, station):
    step = 0.02
    ends = []
    for sign in (1, -1):
        bars = list(top.system.bound.plate.bars)
        bars[brace] = raised(bars[brace], station, sign * step)
        system = assemble(with_bars(top.system.bound, tuple(bars)))
        factor = system.stiffness.factor()
        ends.append((np.degrees(top.turn @ factor.solve(top.load)), modes(system, 3, factor=factor)[0]))
    gain = derivatives[brace]
    assert gain.turn_deg[station] == pytest.approx((ends[0][0] - ends[1][0]) / (2 * step), rel=1e-3)
    difference = (ends[0][1] - ends[1][1]) / (2 * step)
    assert gain.hertz[station, :3] == pytest.approx(difference, rel=2e-3, abs=1e-4)


def test_a_bridge_turn_falls_when_wood_is_left_on_the_x(derivatives):
    for gain in derivatives[:2]:
        assert gain.turn_deg.sum() < 0
        assert gain.mass_g.sum() > 0


def test_a_plate_without_strings_has_gains_of_its_modes_only(fieldfare):
    back = solve_plate(fieldfare, "back", Setting(), None, COARSE)
    found, step, brace, station = gains(back), 0.02, 1, 6
    assert all(not gain.turn_deg.any() for gain in found)
    ends = []
    for sign in (1, -1):
        bars = list(back.system.bound.plate.bars)
        bars[brace] = raised(bars[brace], station, sign * step)
        ends.append(modes(assemble(with_bars(back.system.bound, tuple(bars))), 3)[0])
    assert found[brace].hertz[station, :3] == pytest.approx((ends[0] - ends[1]) / (2 * step), rel=2e-3, abs=1e-4)


def test_stiffer_stock_replaces_the_table(fieldfare, top):
    name = "engelmann spruce"
    own = Setting().wood(name)
    stiff = replace(own, elastic=own.elastic.with_e_l(own.elastic.e_l_mpa * 1.2, "measured", "bend test"))
    solved = solve_plate(fieldfare, "top", Setting(woods=((name, stiff),)), LOAD, COARSE)
    assert turn_deg(solved) < turn_deg(top)
    # Most of the stiffness scales with this one wood: 20 % more is a drop of 10 to 17 % (1 - 1/1.2 = 16.7 %).
    assert 0.10 < 1 - turn_deg(solved) / turn_deg(top) < 0.167


def test_stations_ascend_whatever_the_notches(fieldfare):
    from braces.mechanics.instrument import _stations

    brace = fieldfare.top.braces[0]
    cut = brace.notches[0]
    for at in (0.0, 2.0, brace.length_mm - 1.0, brace.length_mm):
        stations, breaks = _stations(replace(brace, notches=(replace(cut, at_mm=at), cut)), 20.0)
        assert (np.diff(stations) > 0).all()
        assert (stations[0], stations[-1]) == (0.0, brace.length_mm)
        assert len(breaks) == 4
        assert list(breaks) == sorted(breaks)

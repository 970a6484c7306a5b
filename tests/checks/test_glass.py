"""Mass of glass against tables of unit weights, and the energy limit of a replacement doorset."""

import pytest

from jobs.arithmetic.glazing import Cavity, Glazing, Pane
from tests.checks.doorsets import REQUEST, doorset
from tests.checks.rule_sets import RULE_SETS, name_of


def unit(*glass: float) -> Glazing:
    layers: list[Pane | Cavity] = []
    for thickness in glass:
        layers += [Cavity(16)] if layers else []
        layers.append(Pane(thickness))
    return Glazing(tuple(layers))


def test_a_millimetre_of_glass_weighs_two_and_a_half_kilograms_a_square_metre():
    # from memory: EN 572-1, density 2500 kg/m3
    assert unit(1).mass_per_m2() == 2.5


@pytest.mark.parametrize(("glass", "mass"), [((4, 4), 20), ((6, 6), 30)])
def test_sealed_units_weigh_what_tables_of_glass_weights_say(glass, mass):
    # published: trade table of glass weights: 4/20/4 20 kg/m2, 6/16/6 30 kg/m2
    assert unit(*glass).mass_per_m2() == mass


# closed form: 0.85 x 2.00 m at 2.5 kg/m2 for each mm; 6.4 mm laminated counts as 6.4 mm of glass
@pytest.mark.parametrize(
    ("glass", "mass"),
    [((4, 4), 34.0), ((6, 4), 42.5), ((6.4, 4), 44.2), ((4, 4, 4), 51.0), ((6, 6), 51.0)],
)
def test_panes_agree_with_worked_ones(glass, mass):
    assert 0.85 * 2.00 * unit(*glass).mass_per_m2() == pytest.approx(mass)


# from memory: Approved Document L, volume 1 (England, 2021), table 4.2: a doorset over 60 %
# glazed, in an existing dwelling, 1.4 W/(m2 K)
@pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)
@pytest.mark.parametrize(("u_glass", "reported", "within"), [(1.1, 1.4, True), (1.3, 1.5, False)])
def test_a_replacement_doorset_of_mostly_glass_is_held_to_the_energy_limit(
    rules, u_glass, reported, within
):
    glazing = Glazing(REQUEST.glazing.layers, u_glass=u_glass)
    thermal = doorset(rules, glazing=glazing).thermal
    assert thermal.glazed_share > 0.6
    assert (thermal.limit, thermal.u_value_reported, thermal.within) == (1.4, reported, within)

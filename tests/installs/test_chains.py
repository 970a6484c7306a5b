import pytest

from installs.arithmetic.chains import chains_of
from jobs.arithmetic.fold import parse_fold


def test_a_chain_is_counted_from_its_own_jamb():
    left, right = chains_of(parse_fold("5-3-2"), [700.0] * 5, 4.0)
    assert [(place.junction, place.at) for place in left.places] == [
        (0, 0.0),
        (1, 704.0),
        (2, 1408.0),
        (3, 2112.0),
    ]
    assert [(place.junction, place.at) for place in right.places] == [
        (5, 0.0),
        (4, 704.0),
        (3, 1408.0),
    ]


@pytest.mark.parametrize(
    "fold", [f"{n}-{left}-{n - left}" for n in range(1, 9) for left in range(n + 1)]
)
def test_every_carrier_of_a_doorset_is_in_one_chain_at_an_even_place(fold):
    # Common practice, no source: carriers sit at junctions 2, 4, 6 ... of a chain.
    chains = chains_of(parse_fold(fold), [700.0] * parse_fold(fold).leaves, 4.0)
    for chain in chains:
        supports = [place.support for place in chain.places]
        assert supports[0] == "hinge"
        assert supports[2::2] == ["carrier"] * len(supports[2::2])
        assert supports[1::2] == ["none"] * len(supports[1::2])

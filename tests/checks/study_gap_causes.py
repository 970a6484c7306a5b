"""How often the cause of uneven gaps is named right, by kind of cause and uncertainty of a reading:

python -m tests.checks.study_gap_causes --chains 1000
"""

from argparse import ArgumentParser
from random import Random

from installs.arithmetic.chains import ChainJunction, RunningGearRequest
from installs.arithmetic.running_gear import RunningGearAnswer, set_running_gear
from tests.checks.chains_in_frames import FAULTS, LEAF_GAP, ReadChain, read_chain

NAMED = {
    "head_pulled_down": ("frame_fault", "head_low"),
    "sill_pushed_up": ("frame_fault", "sill_high"),
    "lintel_sags": ("frame_fault", "lintel_bears_on_head"),
    "sill_falls": ("frame_fault", "sill_low"),
    "frame_too_low": ("frame_fault", "gap_narrow_everywhere"),
    "frame_too_high": ("frame_fault", "gap_wide_everywhere"),
    "sash_racked": ("sash_fault", "sash_racked"),
}
UNCERTAINTIES = (0.1, 0.2, 0.3)
"""Standard uncertainties of one reading, mm."""


def share_named(kind: str, chains: int, uncertainty: float | None = None) -> float:
    """Of chains with a fault, those whose fault is named first with the place where it is; of
    chains without one, those of which none is named. Without an uncertainty, of any between."""
    rng = Random(f"{kind} {uncertainty}")
    right = 0
    for _ in range(chains):
        u = uncertainty or rng.uniform(UNCERTAINTIES[0], UNCERTAINTIES[-1])
        chain = read_chain(kind, rng, u)
        right += is_named(kind, chain, _answer(chain, u))
    return right / chains


def is_named(kind: str, chain: ReadChain, answer: RunningGearAnswer) -> bool:
    if kind not in NAMED:
        return answer.cause is None
    if not answer.probable_causes:
        return False
    likeliest = answer.probable_causes[0]
    at_its_place = chain.place is None or chain.place in likeliest.where.junctions
    return at_its_place and (answer.cause, likeliest.what) == NAMED[kind]


def _answer(chain: ReadChain, uncertainty: float) -> RunningGearAnswer:
    frame = chain.frame
    junctions = tuple(
        ChainJunction(at, support, head, sill)
        for at, support, (head, sill) in zip(frame.at, frame.supports, chain.gaps, strict=True)
    )
    return set_running_gear(
        RunningGearRequest(
            junctions,
            adjustment_range=3.0,
            lift_per_turn=1.0,
            tolerance=1.0,
            leaf_gap=LEAF_GAP,
            expanded_uncertainty=2 * uncertainty,
        )
    )


def main() -> None:
    parser = ArgumentParser(description=__doc__)
    parser.add_argument("--chains", type=int, default=300)
    chains = parser.parse_args().chains
    print("named right, read to", ", ".join(f"{u} mm" for u in UNCERTAINTIES))
    for kind in FAULTS:
        shares = ", ".join(f"{share_named(kind, chains, u):.1%}" for u in UNCERTAINTIES)
        print(f"{kind.replace('_', ' ')}: {shares}")


if __name__ == "__main__":
    main()

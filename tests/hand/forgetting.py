"""What the model keeps of the weights it was last asked with, forgotten: the weights are others."""

from engrave.fingering import grips, moves, surroundings


def forget_costs() -> None:
    """Have every cost worked out anew."""
    for known in (
        grips.grip_cost,
        moves._finger_cost,
        moves._position_cost,
        surroundings._key_costs,
    ):
        known.cache_clear()

"""How the tests have a part of the air side judged."""

from simulator.replacement.kinds import judge_part


def judge_air_part(kind, new, place, system="us"):
    """Judge what was typed of a part for what was typed of its place."""
    return judge_part(kind, {"new": new, "place": place}, system)

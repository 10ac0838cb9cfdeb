"""Numbers and names in plain words."""

from flowviz.units import System, percent, share_decimals, shown, within

FINE_ENOUGH = 0.01  # half-width of a share's interval that is never worth a word


def named(name: str) -> str:
    """A thing of the scene in the middle of a sentence: "the scanned arch"; "Rock 3", "b" and "wall 5" as they are."""
    numbered = any(word.isdecimal() for word in name.split())
    bare = numbered or not name[:1].islower() or len(name) == 1 or name.startswith("the ")
    return name if bare else f"the {name}"


def share_within(share: float, half_width: float) -> str:
    """A share of a whole with the half-width of its 95 % interval, cut to what a share can be.

    "37 ± 5 %"; "6 % (0 to 13 %)" and "94 % (80 to 100 %)" where the interval goes beyond none or all of it; "anything
    from 0 to 100 %" where it goes beyond both. What is not nothing is not told as 0: "0.4 % (0 to 5 %)".
    """
    if tells_nothing(share, half_width):
        return "anything from 0 to 100 %"
    low, high = share - half_width, share + half_width
    if not half_width >= FINE_ENOUGH or (low >= 0 and high <= 1):
        return within(share, half_width, "share", "metric")
    places = max(share_decimals(half_width), 0)
    bound = f"{100 * (high if low < 0 else low):.{places}f}"
    told = percent(share).removesuffix(" %") if 0 < share < 0.005 else f"{100 * share:.{places}f}"
    return f"{told} % ({f'0 to {bound}' if low < 0 else f'{bound} to 100'} %)"


def tells_nothing(share: float, half_width: float) -> bool:
    """Whether the interval of a share goes beyond none of the whole and all of it."""
    return share - half_width < 0 and share + half_width > 1


def may_be_none(share: float, half_width: float) -> bool:
    """Whether the interval of a share holds none of the whole."""
    return half_width >= share


def one_look(detail: str, marches: int, averaged: float, system: System) -> str:
    """What is said beside the shares of a single quick run, averaged for a time [s]; empty of any other.

    Over thirty sketches each of three tanks the interval of the dead share held their mean 63 to 93 times in 100
    (flow/memory.py): the next look may differ by more.
    """
    if detail == "fine" or marches > 1:
        return ""
    return f"one look of {shown(averaged, 'time', system, 2)}; several tell more"

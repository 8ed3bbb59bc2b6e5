"""Hands of doors are those of the trade."""

import pytest
from fitwright.solver.hand import Hand, Hinges, Opens, hand_of, parse_hand
from fitwright.solver.notation import NotationError


@pytest.mark.parametrize(
    ("hinges", "opens", "hand"),
    [
        # Common definition of the North American trade, seen from the key side (published hand charts).
        ("left", "away", Hand.LH),
        ("right", "away", Hand.RH),
        ("left", "towards", Hand.LHR),
        ("right", "towards", Hand.RHR),
    ],
)
def test_the_hand_follows_from_hinges_and_swing(hinges: Hinges, opens: Opens, hand: Hand) -> None:
    assert hand_of(hinges, opens) is hand
    assert (hand.hinges, hand.opens) == (hinges, opens)


@pytest.mark.parametrize(
    ("hand", "other"),
    [(Hand.LH, Hand.RHR), (Hand.RH, Hand.LHR), (Hand.LHR, Hand.RH), (Hand.RHR, Hand.LH)],
)
def test_from_the_other_side_hinges_and_swing_both_change(hand: Hand, other: Hand) -> None:
    # Derived: whoever walks round the door sees the hinges on the other side and the swing reversed.
    assert hand.from_other_side is other
    assert other.from_other_side is hand


@pytest.mark.parametrize(
    ("text", "hand"),
    [
        ("LH", Hand.LH),
        (" rhr ", Hand.RHR),
        ("Left-hand reverse", Hand.LHR),
        ("right hand", Hand.RH),
        ("RIGHT  HAND  REVERSE", Hand.RHR),
    ],
)
def test_names_are_read_in_any_spelling(text: str, hand: Hand) -> None:
    assert parse_hand(text) is hand


def test_every_hand_is_read_back_from_its_name() -> None:
    assert [parse_hand(hand.value) for hand in Hand] == list(Hand)


def test_a_near_name_is_suggested() -> None:
    with pytest.raises(NotationError) as caught:
        parse_hand("  LHRR")
    assert caught.value.display == "  LHRR\n  ^\n'LHRR' is not a hand; did you mean LHR?"


@pytest.mark.parametrize("text", ["", "   ", "zq", "x" * 10_000])
def test_anything_else_is_refused_with_the_names(text: str) -> None:
    with pytest.raises(NotationError, match="use LH, RH, LHR or RHR"):
        parse_hand(text)


def test_other_words_for_hinges_or_swing_are_refused() -> None:
    with pytest.raises(ValueError, match="left or right"):
        hand_of("top", "away")  # type: ignore[arg-type]

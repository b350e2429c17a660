"""A tied group on both rule sets: needed against given, in each direction, and what isn't known."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.restraint.strapping import CFR, EN
from loadcalc.checks.restraint.tied import COVERS, Tied, Verdict, counted_tension_n, tied_groups, untied
from loadcalc.checks.restraint.verdict import judge
from loadcalc.model import Carrier, Filled, Item, Liquid, Loadout, Place, Size, Stowed, Zone
from loadcalc.model.straps import Strapping

G = 9.81
TWO_OVER = Strapping(
    key="tools", name="Tools", straps=2, angle_deg=60.0, tension_n=1000.0, wll_kg=500.0, anchor_wll_kg=150.0,
    surfaces="steel crate on grooved aluminum",
)  # fmt: skip
FOUR_DIRECT = replace(TWO_OVER, straps=4, way="direct", angle_deg=45.0, aside_deg=45.0)


def group(strapping: Strapping, mass_kg: float = 60.0, length_m: float | None = 1.2) -> Tied:
    """60 kg, 1.2 m long, 0.6 m2 from above."""
    area_m2 = None if length_m is None else 0.6
    return Tied(strapping=strapping, names=("crate",), mass_kg=mass_kg, length_m=length_m, area_m2=area_m2)


def verdict(found: tuple[Verdict, ...], rule_set: str, what: str) -> Verdict:
    """One of them."""
    return next(v for v in found if (v.rule_set, v.what) == (rule_set, what))


def test_over_the_top_worked_by_hand() -> None:
    """60 kg, mu 0.3, two straps at 1000 N and 60 degrees: press 3464.1 N, friction 0.3 (588.6 + 3464.1) N."""
    found = judge(group(TWO_OVER))

    forward = verdict(found, CFR, "forward")
    assert forward.needed == pytest.approx(0.435 * 60 * G, abs=1e-9)
    assert forward.given == pytest.approx(0.3 * (588.6 + 3464.1016), abs=1e-3)
    up = verdict(found, CFR, "up")
    assert (up.needed, up.given) == pytest.approx((0.2 * 588.6, 3464.1016), abs=1e-3)
    together = verdict(found, CFR, "limits together")
    assert (together.needed, together.given) == (
        30.0,
        300.0,
    )  # the tie point's 150 kg counts, not the strap's 500
    assert verdict(found, CFR, "number of tie-downs").needed == 1.0
    # EN: (0.8 - 0.3) x 60 x 9.81 x 1.25 / (2 x 0.3 x sin 60 x 1000) = 0.708, so 1
    assert verdict(found, EN, "forward").needed == 1.0
    assert verdict(found, EN, "up").state == "not asked"
    assert {v.state for v in found} == {"enough for planning", "not asked"}


def test_direct_worked_by_hand() -> None:
    """Four direct straps, two against each way: 2 x 150 kg x cos 45 x cos 45 pull, and half credit together."""
    found = judge(group(FOUR_DIRECT))

    sideways = verdict(found, CFR, "sideways")
    assert sideways.given == pytest.approx(0.3 * 588.6, abs=1e-9)  # friction alone is enough: 0.3 over 0.25
    rearward = verdict(found, CFR, "rearward")
    assert rearward.given == pytest.approx(0.3 * 588.6 + 2 * 150 * G * 0.5, abs=1e-9)
    assert verdict(found, CFR, "limits together").given == 4 * 150 * 0.5
    # EN: 588.6 x (0.8 - 0.225) / (2 x (0.5 + 0.225 x sin 45)) N in each
    assert verdict(found, EN, "forward").needed == pytest.approx(588.6 * 0.575 / (2 * 0.659099), abs=1e-3)
    assert verdict(found, EN, "forward").given == pytest.approx(150 * G, abs=1e-9)


def test_direct_straps_pull_by_both_their_angles_and_in_pairs() -> None:
    """Five straps, 30 degrees off the way ahead, 40 above the bed: two pull ahead, two sideways, all five hold down."""
    slanted = replace(FOUR_DIRECT, straps=5, angle_deg=40.0, aside_deg=30.0, surfaces="")
    found = judge(group(slanted, mass_kg=400.0))

    friction_n, one_n = 0.15 * 400 * G, 150 * G
    ahead_n = friction_n + 2 * one_n * 0.7660444 * 0.8660254  # cos 40, cos 30
    assert verdict(found, CFR, "forward").given == pytest.approx(ahead_n, abs=1e-3)
    aside_n = friction_n + 2 * one_n * 0.7660444 * 0.5  # seen from the side it is 60 degrees off
    assert verdict(found, CFR, "sideways").given == pytest.approx(aside_n, abs=1e-3)
    assert verdict(found, CFR, "up").given == pytest.approx(5 * one_n * 0.6427876, abs=1e-3)  # sin 40
    # EN: 400 x 9.81 x (0.5 - 0.15 x 0.75) / (2 x (cos 40 x cos 60 + 0.1125 x sin 40)) N in each of two
    sideways_n = 400 * G * (0.5 - 0.1125) / (2 * (0.3830222 + 0.1125 * 0.6427876))
    assert verdict(found, EN, "sideways").needed == pytest.approx(sideways_n, abs=1e-2)


def test_friction_that_is_just_enough_needs_no_strap() -> None:
    """On EN, 0.6 on a mat against 0.5 x 1.2 is equal, so covered by friction whatever the straps are."""
    mat = replace(
        TWO_OVER,
        surfaces="anti-slip rubber mat on clean surfaces",
        extra_factor=1.2,
        tension_n=None,
        wll_kg=None,
    )
    found = judge(group(mat, mass_kg=64.0))

    assert verdict(found, EN, "sideways").state == "enough for planning"
    assert verdict(found, EN, "sideways").needed == 0.0
    assert (
        verdict(found, EN, "forward").state == "not known"
    )  # 0.96 is more than 0.6, and the tension isn't known


def test_a_mat_without_a_marking_is_half_of_the_weight_by_the_cfr() -> None:
    """49 CFR 393.108(g): 80 kg on it give 0.5 x 80 x 9.81 = 392.4 N, which 0.5 g rearward just asks; EN takes 0.6."""
    mat = replace(TWO_OVER, surfaces="anti-slip rubber mat on clean surfaces", straps=0)
    found = judge(group(mat, mass_kg=80.0))

    for way, needed_n in (("forward", 341.388), ("rearward", 392.4), ("sideways", 196.2)):
        assert verdict(found, CFR, way).given == pytest.approx(392.4, abs=1e-9)
        assert verdict(found, CFR, way).needed == pytest.approx(needed_n, abs=1e-9)
        assert verdict(found, CFR, way).state == "enough for planning"
    rough = judge(group(replace(mat, extra_factor=1.1), mass_kg=80.0))  # 431.64 N rearward are asked
    assert verdict(rough, CFR, "rearward").state == "falls short"
    assert verdict(rough, EN, "sideways").needed == 0.0  # 0.55 is less than 0.6


def test_a_mat_presses_back_by_half_of_what_straps_press_on_it() -> None:
    """Two straps at 1000 N and 60 degrees press 3464.1 N: 0.5 (784.8 + 3464.1) N, and no more."""
    mat = replace(TWO_OVER, surfaces="anti-slip rubber mat on clean surfaces", extra_factor=1.5)
    rearward = verdict(judge(group(mat, mass_kg=80.0)), CFR, "rearward")

    assert rearward.given == pytest.approx(0.5 * (784.8 + 3464.1016), abs=1e-3)


def test_exactly_enough_straps_are_enough() -> None:
    """(0.8 - 0.3) x 60 x 9.81 x 1.25 / (2 x 0.3 x 613.125) is 1: one upright strap does it, a looser one doesn't."""
    upright = replace(TWO_OVER, straps=1, angle_deg=90.0, tension_n=613.125)

    assert verdict(judge(group(upright)), EN, "forward").needed == 1.0
    assert verdict(judge(group(upright)), EN, "forward").state == "enough for planning"
    looser = verdict(judge(group(replace(upright, tension_n=613.1))), EN, "forward")
    assert (looser.needed, looser.state) == (2.0, "falls short")


@pytest.mark.parametrize("mass_kg", [1.0, 120.0])
def test_limits_that_add_up_to_exactly_half_the_mass_are_enough(mass_kg: float) -> None:
    """One strap over the top with a limit of half the mass; a percent less is short."""
    one = replace(TWO_OVER, straps=1, wll_kg=mass_kg / 2, anchor_wll_kg=mass_kg / 2)
    weaker = replace(one, wll_kg=mass_kg / 2 * 0.995)

    assert verdict(judge(group(one, mass_kg)), CFR, "limits together").state == "enough for planning"
    assert verdict(judge(group(weaker, mass_kg)), CFR, "limits together").state == "falls short"


def test_nothing_holds_nothing() -> None:
    """Without straps each direction that friction does not hold falls short; nothing is called not known."""
    found = judge(group(replace(TWO_OVER, straps=0, surfaces="", tension_n=None, wll_kg=None)))

    assert {v.state for v in found if v.state != "not asked"} == {"falls short"}
    assert verdict(found, EN, "forward").needed == 1.0  # some strap, however tight it may be
    nobody_knows = replace(TWO_OVER, straps=0, wll_kg=None, anchor_wll_kg=None)
    together = verdict(judge(group(nobody_knows)), CFR, "limits together")
    assert (together.given, together.state) == (0.0, "falls short")
    direct = verdict(judge(group(replace(FOUR_DIRECT, straps=0))), EN, "forward")
    assert (direct.given, direct.state) == (0.0, "falls short")


def test_what_rests_on_an_unknown_limit_is_never_covered() -> None:
    """Strong straps on tie points that nobody rated: not known, and the verdict says what is lacking."""
    found = judge(group(replace(TWO_OVER, anchor_wll_kg=None)))

    forward = verdict(found, CFR, "forward")
    assert forward.state == "not known"
    assert forward.lacks == ("the tie point's limit",)
    assert forward.given is not None
    assert forward.needed is not None
    assert forward.given > forward.needed
    assert verdict(found, EN, "sideways").state == "not known"
    assert verdict(found, CFR, "limits together").state == "not known"


def test_short_is_short_even_when_something_is_not_known() -> None:
    """A tie point can only make it worse, so what falls short without it stays short."""
    found = judge(group(replace(TWO_OVER, anchor_wll_kg=None, straps=1, tension_n=20.0, surfaces="")))

    assert verdict(found, CFR, "forward").state == "falls short"


def test_unknown_tension_and_size_are_named() -> None:
    """Over the top without a tension, and a piece without a size."""
    found = judge(
        group(replace(TWO_OVER, tension_n=None, surfaces="", flat=True), length_m=None), speed_m_per_s=30
    )

    assert verdict(found, EN, "forward").lacks == ("what lies on what", "the strap's tension")
    assert verdict(found, EN, "forward").state == "not known"
    assert verdict(found, CFR, "number of tie-downs").lacks == ("the length of every piece",)
    assert verdict(found, "wind", "up").lacks[0] == "the size of every piece"


def test_tension_never_counts_beyond_the_tie_down() -> None:
    """A ratchet that could pull 5000 N on a 150 kg tie point counts for 150 kg."""
    assert counted_tension_n(replace(TWO_OVER, tension_n=5000.0)) == pytest.approx(150 * G, abs=1e-9)
    assert counted_tension_n(replace(TWO_OVER, tension_n=None)) is None


def test_the_factor_for_rough_ground_raises_what_is_needed() -> None:
    """Entered by hand, it multiplies the accelerations, on both rule sets; not the count, not the wind."""
    rough = judge(group(replace(TWO_OVER, extra_factor=2.0, flat=True)), speed_m_per_s=30)
    plain = judge(group(replace(TWO_OVER, flat=True)), speed_m_per_s=30)

    for what in ("forward", "rearward", "sideways", "up"):
        needed = verdict(plain, CFR, what).needed
        assert needed is not None
        assert verdict(rough, CFR, what).needed == pytest.approx(2 * needed, rel=1e-12)
    # by hand: (1.6 - 0.3) x 60 x 9.81 x 1.25 / (2 x 0.3 x sin 60 x 1000) = 1.84, so 2
    assert verdict(rough, EN, "forward").needed == 2.0
    # direct: 588.6 x (1.6 - 0.225) / (2 x (0.5 + 0.225 x sin 45)) N in each
    direct = judge(group(replace(FOUR_DIRECT, extra_factor=2.0)))
    assert verdict(direct, EN, "forward").needed == pytest.approx(588.6 * 1.375 / (2 * 0.659099), abs=1e-3)
    for rule_set, what in ((CFR, "number of tie-downs"), (CFR, "limits together"), ("wind", "up")):
        assert verdict(rough, rule_set, what).needed == verdict(plain, rule_set, what).needed


def test_wind_under_a_flat_piece() -> None:
    """0.6 m2 at 30 m/s lifts with 330.75 N; its weight and its straps hold against it; no speed, no verdict."""
    flat = group(replace(TWO_OVER, flat=True), mass_kg=10.0)

    wind = verdict(judge(flat, speed_m_per_s=30.0), "wind", "up")

    assert wind.needed == pytest.approx(330.75, abs=1e-9)
    assert wind.given == pytest.approx(98.1 + 3464.1016, abs=1e-3)
    assert not [v for v in judge(flat) if v.rule_set == "wind"]
    assert not [v for v in judge(group(TWO_OVER), speed_m_per_s=30.0) if v.rule_set == "wind"]


def test_a_block_in_front_changes_the_count_only() -> None:
    """Two tie-downs become one over 10 ft; the block's strength isn't known, so it holds nothing here."""
    free, blocked = (judge(group(replace(TWO_OVER, blocked=b), length_m=2.0)) for b in (False, True))

    assert verdict(free, CFR, "number of tie-downs").needed == 2.0
    assert verdict(blocked, CFR, "number of tie-downs").needed == 1.0
    assert verdict(blocked, CFR, "forward") == verdict(free, CFR, "forward")


def test_status_is_that_of_the_weakest_value() -> None:
    """The published rule is as weak as its friction; EN 12195-1 is from memory by its formulas."""
    found = judge(group(replace(TWO_OVER, surfaces="anti-slip rubber mat on clean surfaces")))

    assert verdict(judge(group(TWO_OVER)), CFR, "forward").status == "published"
    assert verdict(found, CFR, "forward").status == "corroborated"  # half of the weight on a mat
    concrete = replace(TWO_OVER, surfaces="smooth concrete on sawn wood battens")
    assert verdict(judge(group(concrete)), CFR, "forward").status == "from memory"
    assert verdict(found, CFR, "up").status == "published"
    assert verdict(found, CFR, "number of tie-downs").status == "published"
    assert {v.status for v in found if v.rule_set == EN} == {"from memory"}


strappings = st.builds(
    Strapping,
    key=st.just("g"),
    name=st.just("group"),
    straps=st.integers(0, 8),
    way=st.sampled_from(("over the top", "direct")),
    angle_deg=st.floats(10.0, 85.0),
    aside_deg=st.floats(0.0, 90.0),
    tension_n=st.floats(1.0, 3000.0),
    wll_kg=st.floats(10.0, 1000.0),
    anchor_wll_kg=st.floats(10.0, 1000.0),
    surfaces=st.sampled_from(
        ("", "anti-slip rubber mat on clean surfaces", "steel crate on grooved aluminum")
    ),
    flat=st.just(True),
)


def margin(found: Verdict) -> float:
    """Given minus needed; for direct straps on EN, limit minus force."""
    assert found.needed is not None
    assert found.given is not None
    return found.given - found.needed


@given(strappings, st.floats(0.5, 300.0))
def test_more_straps_never_lower_a_margin(strapping: Strapping, mass_kg: float) -> None:
    """Two more straps of the same kind: no direction gets worse on either rule set or in the wind."""
    before = judge(group(strapping, mass_kg), speed_m_per_s=30)
    after = judge(group(replace(strapping, straps=strapping.straps + 2), mass_kg), speed_m_per_s=30)

    for one, other in zip(before, after, strict=True):
        if one.state != "not asked" and margin(one) > -float("inf"):
            assert margin(other) >= margin(one) - 1e-6
        if one.state == "enough for planning":
            assert other.state == "enough for planning"


@given(strappings, st.floats(0.5, 300.0), st.floats(0.0, 200.0))
def test_heavier_never_covers_what_was_short(strapping: Strapping, mass_kg: float, more_kg: float) -> None:
    """More mass turns no shortfall into cover, except against the wind, where weight helps."""
    before = judge(group(strapping, mass_kg))
    after = judge(group(strapping, mass_kg + more_kg))

    for one, other in zip(before, after, strict=True):
        if one.state == "falls short":
            assert other.state == "falls short"
        if one.needed is not None:
            assert other.needed is not None
            assert other.needed >= one.needed - 1e-9


@given(strappings, st.floats(0.5, 300.0), st.floats(1.0, 3.0))
def test_more_tension_and_stronger_parts_never_hurt(
    strapping: Strapping, mass_kg: float, times: float
) -> None:
    """Tension and limits raised together: whatever was covered stays covered."""
    assert strapping.tension_n is not None
    assert strapping.wll_kg is not None
    assert strapping.anchor_wll_kg is not None
    better = replace(
        strapping,
        tension_n=strapping.tension_n * times,
        wll_kg=strapping.wll_kg * times,
        anchor_wll_kg=strapping.anchor_wll_kg * times,
    )
    before, after = judge(group(strapping, mass_kg)), judge(group(better, mass_kg))

    assert all(b.state == COVERS for a, b in zip(before, after, strict=True) if a.state == COVERS)


def test_groups_are_gathered_from_the_loadout() -> None:
    """Mass by count, length by how it lies, area with like pieces stacked; what is loose outside is named."""
    board = Item(name="board", mass_kg=4.0, count=2, size=Size(length_m=1.2, width_m=0.3, height_m=0.05))
    bar = Item(name="bar", mass_kg=8.0, size=Size(length_m=1.5, width_m=0.1, height_m=0.05))
    can = Liquid(name="can", container_kg=2.0, capacity_l=20.0, density_kg_per_l=1.0)
    size = Size(length_m=1.0, width_m=1.0, height_m=0.3)
    loadout = Loadout(
        name="day",
        carrier=Carrier(name="rack", mass_kg=20.0, place=Place(aft_m=2.0, up_m=1.9), size=size),
        zones=(
            Zone(name="roof", place=Place(aft_m=2.0, up_m=2.0), size=size, on_carrier=True),
            Zone(name="cabin", place=Place(aft_m=2.0, up_m=1.0), size=size, in_cabin=True),
        ),
        gear=(
            Stowed(item=board, zone="roof", count=2, group="flat"),
            Stowed(item=bar, zone="roof", group="flat", turned=True),
            Stowed(item=Item(name="loose", mass_kg=1.0), zone="roof"),
            Stowed(item=Item(name="inside", mass_kg=1.0), zone="cabin"),
            Stowed(item=Item(name="elsewhere", mass_kg=1.0), zone="roof", group="no straps yet"),
        ),
        liquids=(Filled(liquid=can, zone="roof", fill_l=5.0),),
        straps=(
            Strapping(key="flat", name="Flat", straps=2),
            Strapping(key="empty", name="Empty", straps=1),
        ),
    )
    slack = replace(loadout, straps=(replace(loadout.straps[0], straps=0),))

    (found,) = tied_groups(loadout)

    assert found.mass_kg == pytest.approx(16.0, abs=1e-12)
    assert found.length_m == pytest.approx(1.2, abs=1e-12)
    assert found.area_m2 == pytest.approx(1.2 * 0.3 + 1.5 * 0.1, abs=1e-12)
    assert found.names == ("board × 2", "bar")
    assert untied(loadout) == ("loose", "elsewhere", "can")
    assert untied(slack) == ("board", "bar", "loose", "elsewhere", "can")


def test_one_piece_without_a_size_leaves_the_group_without_one() -> None:
    """A crate with a size beside a bag without, or beside a can, for which nobody enters one: mass, but no length."""
    size = Size(length_m=1.0, width_m=1.0, height_m=0.3)
    hitch = Zone(name="hitch", place=Place(aft_m=4.0, up_m=0.8), size=size, on_hitch=True)
    crate = Stowed(item=Item(name="crate", mass_kg=10.0, size=size), zone="hitch", group="tools")
    bag = Stowed(item=Item(name="bag", mass_kg=3.0), zone="hitch", group="tools")
    can = Liquid(name="can", container_kg=2.0, capacity_l=20.0, density_kg_per_l=1.0)
    filled = Filled(liquid=can, zone="hitch", fill_l=5.0, group="tools")

    for day in (
        Loadout(name="bag", zones=(hitch,), gear=(crate, bag), straps=(TWO_OVER,)),
        Loadout(name="can", zones=(hitch,), gear=(crate,), liquids=(filled,), straps=(TWO_OVER,)),
    ):
        (found,) = tied_groups(day)
        assert (found.length_m, found.area_m2) == (None, None)
        assert found.mass_kg == pytest.approx(13.0 if day.name == "bag" else 17.0, abs=1e-12)
        assert found.names == ("crate", day.name)

"""The picture of any rig: every place once and with a name, nothing on top of another, for the shop's rigs and others."""

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest
from django.template.loader import get_template

from simulator.checks import checks_for
from simulator.hands import Hands
from simulator.rig import load_rigs
from training.bench.drawing import air_end, picture, sheet

RIGS = load_rigs()
RING = 18.0  # radius of a place's ring
STATIC = Path(__file__).parents[3] / "training" / "bench" / "static" / "bench" / "rig.css"


def made_up(slug, **changes):
    """A rig of an instructor's own: one of the shop's with other parts on it."""
    base = RIGS[slug]
    fittings = {**base.fittings, **changes.pop("fittings", {})}
    return replace(base, slug=f"{slug}-of-our-own", fittings=fittings, **changes)


def own_rigs():
    twin, vee, large, fan = (RIGS[s] for s in ("twin-60", "two-stage-80", "two-stage-120", "w3-80"))
    return [
        made_up("twin-60", fittings={"receiver_shape": "lying"}),
        made_up("two-stage-80", fittings={"receiver_shape": "lying"}),
        made_up("two-stage-120", fittings={"receiver_shape": "upright"}),
        made_up("w3-80", fittings={"receiver_shape": "lying"}),
        made_up("engine-30", fittings={"receiver_shape": "upright"}),
        made_up("single-20", fittings={"receiver_shape": "flat"}),
        made_up("single-20", drive=RIGS["oilfree-6"].drive),
        made_up("two-stage-80", unloader=fan.unloader),
        made_up("oilfree-6", fittings={"receiver_shape": "lying"}),
        made_up("oilfree-6", pump=twin.pump),
        made_up("w3-80", pump=replace(large.pump, cylinders=large.pump.cylinders[:3], oil_pressure=0.0)),
        made_up(
            "metric-100", pump=replace(vee.pump, cylinders=(vee.pump.cylinders[0], *large.pump.cylinders[2:]))
        ),
    ]


ALL = [*RIGS.values(), *own_rigs()]


def name_of(rig):
    return f"{rig.slug}-{rig.fittings['receiver_shape']}-{rig.unloader.kind}"


def drawn(rig):
    page = get_template("bench/rig/_rig.svg").render({"rig": picture.picture(rig)})
    whole = re.sub(
        r"\s(data-[a-z-]+)(?=[\s>/])", r' \1=""', page
    )  # HTML lets an attribute stand without a value
    return page, ET.fromstring(whole)  # noqa: S314  # our own template


@pytest.mark.parametrize("rig", ALL, ids=name_of)
def test_every_place_of_every_check_is_one_target_with_a_name(rig):
    needed = {place.slug: place.title for check in checks_for(rig).values() for place in check.places}

    _, svg = drawn(rig)

    targets = [node for node in svg.iter("g") if node.get("class") == "tgt"]
    assert sorted(node.get("data-place") for node in targets) == sorted(needed)
    for node in targets:
        assert node.get("role") == "button"
        assert node.get("tabindex") == "0"
        assert node.get("aria-label").endswith(needed[node.get("data-place")])


@pytest.mark.parametrize("rig", ALL, ids=name_of)
def test_marks_differ_and_rings_do_not_lie_on_each_other(rig):
    places = picture.picture(rig)["places"]
    spots = [(place["slug"], float(place["x"]), float(place["y"])) for place in places]

    assert len({place["mark"] for place in places}) == len(places)
    near = [
        (one, other, round(math.dist((x, y), (x2, y2))))
        for n, (one, x, y) in enumerate(spots)
        for other, x2, y2 in spots[n + 1 :]
        if math.dist((x, y), (x2, y2)) < 1.8 * RING
    ]
    assert near == []


@pytest.mark.parametrize("rig", ALL, ids=name_of)
def test_every_place_and_name_lies_in_the_picture(rig):
    made = picture.picture(rig)
    x0, y0, w, h = map(float, made["view"].split())

    for place in made["places"]:
        assert x0 + RING <= float(place["x"]) <= x0 + w - RING, place
        assert y0 + RING <= float(place["y"]) <= y0 + h - RING, place
    for name in made["names"]:
        long = 8.2 * len(name["t"])
        left = float(name["tx"]) - (long if name["anchor"] == "end" else 0)
        assert x0 <= left, name
        assert left + long <= x0 + w + 1, name
        assert y0 + 12 <= float(name["ty"]) <= y0 + h, name


@pytest.mark.parametrize("rig", ALL, ids=name_of)
def test_names_do_not_run_into_each_other(rig):
    boxes = []
    for name in picture.picture(rig)["names"]:
        long = 8.2 * len(name["t"])
        left = float(name["tx"]) - (long if name["anchor"] == "end" else 0)
        boxes.append((name["t"], left, float(name["ty"]), long))
    run_in = [
        (one, other)
        for n, (one, x, y, long) in enumerate(boxes)
        for other, x2, y2, long2 in boxes[n + 1 :]
        if abs(y - y2) < 15 and x < x2 + long2 and x2 < x + long
    ]
    assert run_in == []


@pytest.mark.parametrize("rig", ALL, ids=name_of)
def test_the_picture_has_neither_style_nor_script_nor_a_colour_of_its_own(rig):
    page, svg = drawn(rig)

    assert "style=" not in page
    assert "<script" not in page
    assert not re.search(r'(fill|stroke)="(?!url\(#)', page)
    assert "nan" not in page
    assert "None" not in page
    known = STATIC.read_text("utf-8")
    classes = {word for node in svg.iter() for word in node.get("class", "").split()}
    paint = {word for word in classes if word.startswith(("f-", "k-", "tx-"))}
    assert {word for word in paint if f".{word}" not in known} == set()


@pytest.mark.parametrize("rig", ALL, ids=name_of)
def test_the_walk_round_stays_in_the_picture_and_in_its_proportion(rig):
    made = picture.picture(rig)
    x0, y0, w, h = map(float, made["view"].split())

    assert made["stops"][0]["title"] == "Whole rig"
    assert len({stop["title"] for stop in made["stops"]}) == len(made["stops"])
    for stop in made["stops"]:
        x, y, width, height = map(float, stop["view"].split())
        assert width / height == pytest.approx(w / h, rel=0.01)
        assert x0 - 0.2 <= x <= x + width <= x0 + w + 0.2
        assert y0 - 0.2 <= y <= y + height <= y0 + h + 0.2


@pytest.mark.parametrize("rig", ALL, ids=name_of)
def test_what_moves_can_be_found_by_the_player(rig):
    page, svg = drawn(rig)

    assert page.count('data-spin="wheel"') == 1
    assert page.count("data-belt ") == (rig.drive.kind == "belt")
    gauges = {node.get("data-gauge") for node in svg.iter("g") if node.get("data-gauge")}
    fitted = {"inter", "oil"} if rig.pump.oil_pressure > 0 else set()
    assert gauges == {"tank", "line", "reg"} | fitted
    if rig.drive.kind == "belt":
        ratio = float(re.search(r'data-spin="pulley" data-ratio="([\d.]+)"', page)[1])
        assert ratio == pytest.approx(rig.drive.ratio, abs=0.06)


@pytest.mark.parametrize("rig", [rig for rig in ALL if rig.drive.kind == "belt"], ids=name_of)
def test_the_belt_is_a_tangent_of_both_sheaves_and_the_sheave_clears_the_deck(rig):
    pulley, wheel = air_end.sheaves(rig)

    apart = math.dist((pulley.x, pulley.y), (wheel.x, wheel.y))
    assert apart > pulley.r + wheel.r
    assert pulley.y + pulley.r < air_end.BASE
    assert wheel.r / pulley.r == pytest.approx(rig.drive.ratio, rel=0.25)


def test_each_of_the_shops_rigs_is_its_own_kind_of_machine():
    kinds = {slug: air_end.pump_kind(rig) for slug, rig in RIGS.items()}

    assert kinds == {
        "oilfree-6": "direct", "single-20": "one", "twin-60": "twin", "two-stage-80": "vee", "two-stage-120": "vee",
        "engine-30": "vee", "w3-80": "fan", "metric-100": "vee",
    }  # fmt: skip
    assert {slug: air_end.belts(rig) for slug, rig in RIGS.items() if rig.drive.kind == "belt"} == {
        "single-20": 1, "twin-60": 1, "two-stage-80": 2, "two-stage-120": 3, "engine-30": 2, "w3-80": 2, "metric-100": 2,
    }  # fmt: skip


def parts_of(rig):
    found = []

    def walk(parts):
        for part in parts:
            found.append(part["draw"])
            walk(part["part"] if part["draw"] == "group" else ())

    walk(picture.compose(rig).parts)
    return found


def test_the_rigs_carry_the_parts_that_their_data_say():
    have = {slug: parts_of(rig) for slug, rig in RIGS.items()}

    assert [slug for slug in have if "starter" in have[slug]] == ["two-stage-120", "w3-80"]
    assert [slug for slug in have if "socket" in have[slug]] == ["metric-100", "oilfree-6", "single-20"]
    assert [slug for slug in have if "engine" in have[slug]] == ["engine-30"]
    assert [slug for slug in have if "vent_body" in have[slug]] == ["two-stage-120", "w3-80"]
    assert [slug for slug in have if "pilot_check" in have[slug]] == ["engine-30"]
    assert have["two-stage-120"].count("filter") == 2
    assert {slug: have[slug].count("relief") for slug in have} == {
        "engine-30": 2, "metric-100": 2, "oilfree-6": 1, "single-20": 1, "twin-60": 1, "two-stage-120": 3,
        "two-stage-80": 2, "w3-80": 2,
    }  # fmt: skip


def test_a_shape_nobody_can_draw_is_refused_with_the_shapes_that_can_be():
    with pytest.raises(picture.BadPicture, match="receiver_shape 'round' is not upright, lying or flat"):
        picture.picture(made_up("twin-60", fittings={"receiver_shape": "round"}))


def test_a_tube_turns_no_tighter_than_its_runs_are_long():
    assert sheet.corner((0, 0), (10, 0), (10, 60), r=24) == "M0 0L5 0Q10 0 10 24L10 60"


def test_what_the_styles_turn_is_what_hands_can_move():
    moved = set(re.findall(r'data-hands~="([a-z-]+)"', STATIC.read_text("utf-8")))

    assert moved <= {name.replace("_", "-") for name in Hands.__dataclass_fields__}

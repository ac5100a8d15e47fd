"""The indicator card on the command line: words, JSON, picture, refusals."""

import json
import xml.etree.ElementTree as ET

import pytest

from simulator.cli import main

SVG = "{http://www.w3.org/2000/svg}"


def asked(capsys, *options):
    status = main(["card", *options])
    said = capsys.readouterr()
    assert status == 0, said.err
    return said.out


def test_card_in_words_shows_the_cylinder_beside_a_sound_one(capsys):
    said = asked(
        capsys,
        "twin-60",
        "--cylinder",
        "cyl1",
        "--fault",
        "intake-reed-leak@cyl1=0.5",
        "--pressure",
        "100 psi",
    )

    assert "cylinder cyl1" in said
    assert "cyl2" not in said
    assert "sound" in said
    assert "indicated power" in said
    assert "\n350°" in said


def test_sound_machine_has_nothing_beside_it_and_no_time_unless_asked(capsys):
    said = asked(capsys, "single-20", "--pressure", "60 psi")

    assert "sound" not in said
    assert "takes" not in said


def test_time_is_said_on_request(capsys):
    assert " ms: " in asked(capsys, "single-20", "--pressure", "60 psi", "--time")


def test_card_in_json_closes_its_balance(capsys):
    answer = json.loads(asked(capsys, "two-stage-80", "--json"))

    assert [card["cylinder"] for card in answer["cylinders"]] == ["lp1", "hp1"]
    first, second = answer["cylinders"]
    assert len(first["angle_deg"]) == len(first["pressure_Pa"]) == len(first["volume_m3"])
    assert first["delivered_kg_s"] == pytest.approx(second["drawn_kg_s"], rel=0.01)
    assert answer["machine"]["interstage_pressure_Pa"] > 300_000.0
    assert "sound" not in answer


def test_card_as_a_picture_stands_alone(capsys, tmp_path):
    where = tmp_path / "card.svg"

    said = asked(capsys, "two-stage-80", "--fault", "hp-intake-valve-leak=0.6", "--plot", str(where))

    assert said == f"{where}\n"
    root = ET.fromstring(where.read_text(encoding="utf-8"))  # noqa: S314  our own file
    assert root.find(f"{SVG}title").text.startswith("Two-stage")
    assert "hp1" in root.find(f"{SVG}desc").text
    lines = root.findall(f"{SVG}polyline")
    assert len(lines) == 4
    assert sum("stroke-dasharray" in line.attrib for line in lines) == 2
    for line in lines:
        points = [tuple(map(float, point.split(","))) for point in line.attrib["points"].split()]
        assert points[0] == points[-1]
        assert all(64.0 <= x <= 936.0 and 84.0 <= y <= 476.0 for x, y in points)
    words = where.read_text(encoding="utf-8")
    assert "<script" not in words
    assert "href" not in words


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["twin-60", "--cylinder", "cyl3"], "no cylinder 'cyl3'"),
        (["twin-60", "--pressure", "9000 psi"], "MAWP"),
        (["twin-60", "--pressure", "much"], "--pressure"),
        (["twin-60", "--plot", "card.png"], "SVG"),
        (["twin-06"], "twin-60"),
        (["twin-60", "--fault", "reed-brokn"], "reed-broken"),
    ],
)
def test_what_has_no_meaning_is_refused_in_one_line(capsys, options, said):
    assert main(["card", *options]) == 2

    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1

"""The command line as a person or a script uses it."""

import csv
import io
import json
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from simulator.rig import load_rigs
from simulator.trace import CHANNELS, UNITS

ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"


def log_file(folder, entries):
    path = folder / "log.json"
    path.write_text(entries if isinstance(entries, str) else json.dumps(entries), encoding="utf-8")
    return str(path)


def test_rigs_are_listed(ask, answer):
    status, out, _ = ask("rigs")

    assert status == 0
    assert [line.split()[0] for line in out.splitlines()] == sorted(load_rigs())
    [twin] = [rig for rig in answer("rigs") if rig["slug"] == "twin-60"]
    assert twin["plates"]["motor"].startswith("3 hp, 230 V")


def test_faults_of_a_rig_are_listed(answer):
    slugs = [fault["slug"] for fault in answer("faults", "--rig", "twin-60")]

    assert "ring-wear" in slugs
    assert set(slugs) <= {fault["slug"] for fault in answer("faults")}


def test_checks_are_listed_with_what_they_cost_and_need(answer):
    checks = {check["slug"]: check for check in answer("checks")}

    assert checks["pump-up"]["minutes"] > 0
    assert checks["head-line-gauge"]["safe"] == "S3"


def test_run_records_every_channel_at_even_times(answer):
    run = answer("run", "twin-60", "--for", "10 min", "--every", "5 s")

    assert run["rig"] == "twin-60"
    assert run["engine_version"]
    assert run["time"] == [5.0 * step for step in range(121)]
    assert {name: channel["unit"] for name, channel in run["channels"].items()} == UNITS
    assert {len(channel["values"]) for channel in run["channels"].values()} == {121}


def test_run_fills_the_receiver_as_the_reference_says(answer):
    run = answer("run", "twin-60", "--for", "25 min")
    happened = [(event["what"], event.get("detail", "")) for event in run["events"]]

    assert happened[0] == ("deed", "start")
    assert ("contacts-open", "") in happened
    assert run["summary"]["pump_up_s"] == pytest.approx(367.0, rel=0.1)
    assert run["summary"]["settle_drop_psi"] == pytest.approx(7.6, rel=0.1)
    assert run["summary"]["motor_A"] == pytest.approx([7.6, 9.4, 10.9, 13.1, 13.3, 13.8], rel=0.05)


def test_run_is_the_same_twice(ask):
    asked = ("run", "twin-60", "--fault", "ring-wear=0.4", "--seed", "3", "--json")

    assert ask(*asked) == ask(*asked)


def test_fault_and_setting_change_the_physics(answer):
    sound = answer("run", "twin-60", "--for", "20 min")["summary"]["pump_up_s"]
    worn = answer("run", "twin-60", "--for", "20 min", "--fault", "ring-wear=0.8")["summary"]["pump_up_s"]
    choked = answer("run", "twin-60", "--for", "20 min", "--set", "intake.area_factor=0.1")["summary"][
        "pump_up_s"
    ]

    assert worn > 1.1 * sound
    assert choked > 1.04 * sound


def test_setting_takes_a_quantity_in_any_unit(answer):
    as_number = answer("run", "twin-60", "--for", "1 min", "--set", "cooling.ambient_c=35")
    as_quantity = answer("run", "twin-60", "--for", "1 min", "--set", "cooling.ambient_c=95 °F")

    assert as_quantity["channels"]["receiver_temperature"]["values"] == pytest.approx(
        as_number["channels"]["receiver_temperature"]["values"]
    )


def test_log_is_done_in_its_order(answer, tmp_path):
    log = log_file(
        tmp_path,
        [
            {"at": "0 s", "do": "start"},
            {"at": "2 min", "do": "stop"},
            {"at": "150 s", "do": "open-drain"},
        ],
    )

    run = answer("run", "twin-60", "--log", log, "--for", "10 min", "--every", "10 s")

    deeds = [(event["t"], event["detail"]) for event in run["events"] if event["what"] == "deed"]
    receiver = run["channels"]["receiver_gauge_pressure"]["values"]
    assert deeds == [(0.0, "start"), (120.0, "stop"), (150.0, "open-drain")]
    assert max(receiver) == pytest.approx(receiver[12], rel=0.01)
    assert receiver[-1] < 1000.0
    assert run["channels"]["motor_current"]["values"][-1] == 0.0


def test_csv_has_a_row_for_each_time(ask):
    status, out, _ = ask("run", "twin-60", "--for", "30 s", "--every", "10 s", "--csv")
    rows = list(csv.reader(io.StringIO(out)))

    assert status == 0
    assert rows[0][0] == "time [s]"
    assert len(rows[0]) == 1 + len(CHANNELS)
    assert [float(row[0]) for row in rows[1:]] == [0.0, 10.0, 20.0, 30.0]


def test_plot_draws_the_pens_and_marks_the_events(ask, tmp_path):
    picture = tmp_path / "run.svg"

    status, out, _ = ask("run", "twin-60", "--for", "10 min", "--plot", str(picture))

    drawn = ET.parse(picture).getroot()  # noqa: S314  our own file
    words = [text.text for text in drawn.iter(f"{SVG}text")]
    assert (status, out) == (0, f"{picture}\n")
    assert drawn.get("role") == "img"
    assert drawn.find(f"{SVG}title").text.startswith("Single-stage twin")
    pens = ["#1a6b66", "#a1511f", "#52605b"]  # pressures and current, and under them the temperatures there
    assert [line.get("stroke") for line in drawn.iter(f"{SVG}polyline")] == [*pens, *pens]
    assert "1. 0.0 s: Start" in words
    assert any("Contacts opened" in word for word in words)


def test_long_run_is_drawn_with_the_points_the_paper_can_show(ask, tmp_path):
    picture = tmp_path / "run.svg"
    log = log_file(tmp_path, [{"at": "0 s", "do": "start"}, {"at": "6 min", "do": "open-outlet"}])

    ask("run", "twin-60", "--log", log, "--for", "10 h", "--plot", str(picture))

    assert picture.stat().st_size < 500_000
    assert "more</text>" in picture.read_text(encoding="utf-8")


def test_run_in_words_sets_its_figures_beside_the_reference(ask):
    status, out, _ = ask("run", "twin-60")
    pump_up = next(line.split() for line in out.splitlines() if line.startswith("pump_up_s"))

    assert status == 0
    assert pump_up[2] == "367"
    assert float(pump_up[1]) == pytest.approx(367.0, rel=0.1)


def test_check_is_taken_by_its_protocol(answer):
    sound = answer("check", "twin-60", "pump-up")
    worn = answer("check", "twin-60", "pump-up", "--fault", "ring-wear=0.8")

    assert sound["readings"][0]["value"] < worn["readings"][0]["value"]
    assert sound["outcome"] != worn["outcome"]


def test_check_makes_the_machine_safe_first(answer):
    capacitors = answer("check", "twin-60", "capacitor", "--fault", "start-capacitor-failed")

    assert capacitors["made_safe"] == ["stop", "isolate", "lock"]
    assert capacitors["outcome"] == "start-low"


def test_trial_sets_the_figures_beside_those_of_a_sound_machine(ask, answer):
    seeping = ("trial", "twin-60", "--fault", "check-valve-seep=0.8")
    figures = answer(*seeping)["figures"]
    status, out, _ = ask(*seeping)
    rows = {line.split("  ")[1]: line for line in out.splitlines() if line.startswith("  ")}

    assert status == 0
    assert figures["pumping"]["pump_up"]["found"] == pytest.approx(
        figures["pumping"]["pump_up"]["sound"], rel=0.01
    )
    assert figures["settled"]["receiver_fall"]["found"] > 3.0 * figures["settled"]["receiver_fall"]["sound"]
    assert figures["settled"]["receiver_fall"]["unit"] == "psi"
    assert rows["Receiver, fall in ten minutes"].endswith("*")
    assert not rows["From empty to cut-out"].endswith("*")


def test_trial_shows_the_units_asked_for(ask):
    asked = ("trial", "twin-60", "--set", "receiver.drain_leak_d_mm=0.5")

    assert " psi" in ask(*asked)[1]
    metric = ask(*asked, "--system", "metric")[1]
    assert " bar" in metric
    assert " °C" in metric
    assert " psi" not in metric


def test_trial_of_a_sound_machine_shows_it_alone(ask):
    status, out, _ = ask("trial", "twin-60")

    assert status == 0
    assert "found" not in out
    assert "starts" in out


def test_trial_says_what_never_comes(ask, answer):
    open_drain = ("trial", "twin-60", "--set", "receiver.drain_leak_d_mm=8")

    assert answer(*open_drain)["figures"]["pumping"]["pump_up"]["found"] is None
    assert "never" in ask(*open_drain)[1]


def test_suspects_are_ranked_by_what_was_seen(answer):
    found = answer("suspects", "twin-60", "--saw", "listen-stop=psst-goes-on")
    shares = {suspect["fault"]: suspect["share"] for suspect in found["suspects"]}

    assert sum(shares.values()) == pytest.approx(1.0)
    assert found["suspects"][0]["fault"] == "check-valve-seep"
    assert shares["healthy"] < 0.01


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ([], "required: COMMAND"),
        (["ruin"], "Did you mean 'run'?"),
        (["run"], "required: RIG"),
        (["run", "twin"], "Did you mean 'twin-60'?"),
        (["faults", "--rig", "twin"], "Did you mean 'twin-60'?"),
        (["run", "twin-60", "extra"], "extra"),
        (["run", "twin-60", "--fault", "ringwear"], "Did you mean 'ring-wear'?"),
        (["run", "twin-60", "--fault", ""], "ring-wear=0.6"),
        (["run", "twin-60", "--fault", "ring-wear="], "from 0 to 1"),
        (["run", "twin-60", "--fault", "ring-wear=1.5"], "outside 0 to 1"),
        (["run", "twin-60", "--fault", "ring-wear=-0.1"], "outside 0 to 1"),
        (["run", "twin-60", "--fault", "ring-wear=nan"], "from 0 to 1"),
        (["run", "twin-60", "--fault", "ring-wear=inf"], "from 0 to 1"),
        (["run", "twin-60", "--fault", "ring-wear=half"], "from 0 to 1"),
        (["run", "twin-60", "--fault", "motor-low-on-high=0.5"], "has no severity"),
        (["run", "twin-60", "--fault", "ring-wear", "--fault", "ring-wear"], "twice"),
        (["run", "twin-60", "--set", "intake.area=0.5"], "Did you mean 'intake.area_factor'?"),
        (["run", "twin-60", "--set", "intake.area_factor"], "intake.area_factor=0.2"),
        (["run", "twin-60", "--set", "intake.area_factor=nan"], "Write a number"),
        (["run", "twin-60", "--set", "intake.area_factor=99"], "0.01 to 1.5"),
        (["run", "twin-60", "--set", "cooling.ambient_c=warm"], "is not a temperature"),
        (["run", "twin-60", "--set", "motor.connection=wrong"], "matched, low_on_high, high_on_low"),
        (["run", "twin-60", "--set", "drive.slip_pct=5", "--set", "drive.slip_pct=6"], "more than once"),
        (["run", "twin-60", "--for", "30"], "Write it as 90 s"),
        (["run", "twin-60", "--for", "nan s"], "is not a time"),
        (["run", "twin-60", "--for", "0 s"], "above zero"),
        (["run", "twin-60", "--for", "25 h"], "at most 24 h"),
        (["run", "twin-60", "--every", "-1 s"], "lower than can be"),
        (["run", "twin-60", "--for", "24 h", "--every", "0.01 s"], "Choose a longer --every"),
        (["run", "twin-60", "--receiver", "120"], "120 psi or 8 bar"),
        (["run", "twin-60", "--receiver", "900 psi"], "150.0 psi"),
        (["run", "twin-60", "--seed", "1.5"], "whole number"),
        (["run", "twin-60", "--seed", "9" * 30], "whole number"),
        (["run", "twin-60", "--plot", "run.png"], "ends in .svg"),
        (["run", "twin-60", "--plot", "no-such-folder/run.svg"], "no-such-folder"),
        (["run", "twin-60", "--json", "--csv"], "not allowed with"),
        (["run", "twin-60", "--log", "no-such-file.json"], "cannot be read"),
        (["trial", "twin"], "Did you mean 'twin-60'?"),
        (["trail", "twin-60"], "Did you mean 'trial'?"),
        (["trial", "twin-60", "--fault", "ringwear"], "Did you mean 'ring-wear'?"),
        (["trial", "twin-60", "--system", "imperial"], "choose from 'us', 'metric'"),
        (["trial", "twin-60", "--system", "us", "--seed", "1"], "--seed"),
        (["check", "twin-60", "pumpup"], "Did you mean 'pump-up'?"),
        (["check", "twin-60", "soap", "--place", "nowhere"], "It can be done at"),
        (["suspects", "twin-60", "--saw", "pump-up"], "pump-up=slow"),
        (["suspects", "twin-60", "--saw", "pump-up=slwo"], "Did you mean 'slow'?"),
        (["suspects", "twin-60", "--saw", "pumpup=slow"], "Did you mean 'pump-up'?"),
    ],
)
def test_bad_input_leaves_with_one_line_that_mends_it(ask, arguments, told):
    status, out, err = ask(*arguments)

    assert (status, out) == (2, "")
    assert err.startswith("python -m simulator")
    assert err.count("\n") == 1
    assert told in err


@pytest.mark.parametrize(
    ("entries", "told"),
    [
        ("{", "is not JSON"),
        ("[" * 100_000, "is not JSON"),
        ('{"at": "0 s"}', "must hold a list"),
        ('[{"at": NaN, "do": "start"}]', "NaN is not a number"),
        ([{"at": 0, "do": "start"}], 'write "at" and "do" as text'),
        ([{"at": "0 s", "do": "start", "why": "x"}], "nothing else"),
        ([{"at": "0 s"}], '"at" and "do"'),
        (["start"], '"at" and "do"'),
        ([{"at": "soon", "do": "start"}], "is not a time"),
        ([{"at": "0 s", "do": "strat"}], "Did you mean 'start'?"),
        ([{"at": "6 min", "do": "stop"}, {"at": "5 min", "do": "start"}], "in the order they happen"),
        ([{"at": "11 min", "do": "start"}], "after the end of the run"),
        ([{"at": "30 h", "do": "start"}], "24 h"),
    ],
)
def test_bad_log_is_refused_with_its_place(ask, tmp_path, entries, told):
    status, out, err = ask("run", "twin-60", "--for", "10 min", "--log", log_file(tmp_path, entries))

    assert (status, out) == (2, "")
    assert err.count("\n") == 1
    assert told in err


def test_empty_log_leaves_the_machine_standing(answer, tmp_path):
    run = answer("run", "twin-60", "--for", "1 min", "--log", log_file(tmp_path, []))

    assert run["events"] == []
    assert max(run["channels"]["motor_current"]["values"]) == 0.0
    assert run["summary"]["pump_up_s"] is None


def test_command_runs_in_a_process_of_its_own():
    asked = [sys.executable, "-m", "simulator"]

    good = subprocess.run([*asked, "rigs"], cwd=ROOT, capture_output=True, text=True, check=False)  # noqa: S603
    bad = subprocess.run([*asked, "run", "twin"], cwd=ROOT, capture_output=True, text=True, check=False)  # noqa: S603

    assert (good.returncode, good.stderr) == (0, "")
    assert (bad.returncode, bad.stdout) == (2, "")
    assert "Did you mean 'twin-60'?" in bad.stderr

"""Whatever is typed: a judgement that can be told, or a refusal with line and reason; never anything else."""

import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simulator.replacement.drive_plates import DRIVE_LINES
from simulator.replacement.kinds import KINDS, judge_part
from simulator.replacement.place import PLACE_LINES
from simulator.replacement.plate_lines import MOTOR_LINES
from simulator.replacement.problems import BadPlate
from simulator.replacement.verdict import plain

QUICK = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])

# What may stand on a line: sound values, wrong ones, half-read ones, and noise.
SOUND = {
    "power": ["3 hp", "1-1/2 HP", "2.2 kW", "5 hp"],
    "volts": ["115/230", "230", "208-230/460", "400/690"],
    "amps": ["15", "15.0/7.5", "21.0-19.2/9.6", "8,2/4,7"],
    "phase": ["1", "3~"],
    "hertz": ["60", "50/60", "50"],
    "speed": ["1725", "3450", "1725/1140", "1440"],
    "frame": ["56HZ", "184T", "112M B3", "56C", "215TS", "145TY", "48", "254U"],
    "shaft diameter": ["7/8 in", "28 mm", "5/8 in"],
    "key": ["3/16 in", "8 x 7 mm", "flat"],
    "service factor": ["1.0", "1.15"],
    "code": ["A", "H", "V"],
    "start": ["CSCR", "split phase", "design B", "PSC"],
    "start capacitor": ["fitted", "none", "270-324 uF 250 VAC"],
    "overload": ["manual", "automatic", "starter", "none"],
    "rotation": ["reversible", "CW shaft end", "CCW shaft end"],
    "enclosure": ["ODP", "TEAO", "XP"],
    "duty": ["continuous", "fan", "30 min"],
    "insulation": ["A", "H"],
    "mounting": ["B14", "feet"],
    "supply volts": ["232 V", "118", "460", "208"],
    "supply phase": ["1", "3"],
    "supply hertz": ["50", "60"],
    "room": ["dry", "joinery", "wash bay", "spray booth"],
    "room temperature": ["35 °C", "140 °F"],
    "altitude": ["8000 ft", "100 m"],
    "breaker": ["15", "400"],
    "wire": ["16 AWG", "10", "2 AWG"],
    "terminals": ["60", "75", "90"],
    "run": ["10 ft", "500 ft"],
    "drive": ["belt", "direct"],
    "motor sheave": ["3.9 in", "60 mm"],
    "flywheel": ["325 mm", "13 in"],
    "pump speed limit": ["1000"],
    "pump power": ["2 kW"],
    "hub length": ["2 in"],
    "belt": ["A61", "4L630", "SPA 2150", "B20"],
    "section": ["A", "SPA"],
    "belts": ["1", "3"],
    "motor speed": ["3450"],
    "pump speed": ["1051"],
    "centre distance": ["444.5 mm"],
}
NOISE = st.one_of(
    st.sampled_from(
        ["?", "2?0", "-", "1/0", "9" * 60, "1e9 hp", "nan", "inf A", "0", "-5 V", "٣ hp", "½", "/", "x"]
    ),
    st.text(max_size=12),
)


def sheets(lines, *, noisy):
    values = {
        name: st.one_of(st.sampled_from(SOUND.get(name, ["1"])), NOISE)
        if noisy
        else st.sampled_from(SOUND[name])
        for name in lines
        if noisy or name in SOUND
    }
    return st.fixed_dictionaries({}, optional=values)


@pytest.mark.parametrize("noisy", [False, True], ids=["sound", "noisy"])
@QUICK
@given(data=st.data())
def test_motor_is_judged_or_refused(noisy, data):
    typed = {
        "old": data.draw(sheets(MOTOR_LINES, noisy=noisy)),
        "new": data.draw(sheets(MOTOR_LINES, noisy=noisy)),
        "place": data.draw(sheets(PLACE_LINES, noisy=noisy)),
    }
    told_or_refused("motor", typed)


@pytest.mark.parametrize("noisy", [False, True], ids=["sound", "noisy"])
@QUICK
@given(data=st.data())
def test_drive_is_judged_or_refused(noisy, data):
    typed = {sheet: data.draw(sheets(DRIVE_LINES, noisy=noisy)) for sheet in ("old", "new")}
    told_or_refused("drive", typed)


@pytest.mark.parametrize("name", KINDS)
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_every_kind_takes_noise(name, data):
    typed = {
        sheet: data.draw(st.fixed_dictionaries({}, optional=dict.fromkeys(lines, NOISE)))
        for sheet, lines in KINDS[name].sheets.items()
    }
    told_or_refused(name, typed)


def told_or_refused(name, typed):
    judgement, problems = None, ()
    try:
        judgement = judge_part(name, typed)
    except BadPlate as refusal:
        problems = refusal.problems

    assert (judgement is None) == bool(problems)
    assert all(problem.line and problem.why and problem.look for problem in problems)
    if judgement:
        assert json.dumps(plain(judgement), allow_nan=False)
        shown = [
            figure.shown(system)
            for one in judgement.reasons
            for figure in one.figures
            for system in ("us", "metric")
        ]
        assert all(shown)

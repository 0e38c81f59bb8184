"""The trade's sums as typed: figures of published tables, sources and standing, refusals; no project needed."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from fitup.cli.main import run
from fitup.trade.tables import use_folder


class Calc:
    """Types `fitup calc` at a shell."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def __call__(self, words: str, code: int = 0) -> str:
        """Run a sum, check its exit code, and return standard output, or what a refusal says."""
        self.capsys.readouterr()
        given = run(["calc", *words.split()])
        out, err = self.capsys.readouterr()
        assert given == code, err or out
        if code == 2:
            assert out == ""
            assert "Traceback" not in err
            return err
        return out

    def json(self, words: str) -> Any:
        """Run a sum with --json and return its answer; source and standing are always there."""
        answer = json.loads(self(f"{words} --json"))
        assert answer["source"]
        assert answer["standing"] in ("seen", "second-hand", "computed", "common practice", "memory", "own")
        return answer


@pytest.fixture
def calc(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Calc:
    monkeypatch.chdir(tmp_path)
    return Calc(capsys)


def test_rivet_of_the_length_rule(calc: Calc) -> None:
    # NAVEDTRA 14018 rivet rule 8 and FAA-H-8083-31 chapter 4: 0.125 + 1.5 x 0.125 = 0.3125, exactly -5
    found = calc.json("rivet --size 1/8 --grip 0.125in --head universal --material AD")
    assert (found["part_number"], found["protrusion_d"], found["standing"]) == ("MS20470AD4-5", 1.5, "seen")
    assert calc.json("rivet --size 1/8 --grip 3.175mm")["part_number"] == "MS20470AD4-5"


def test_half_length_where_the_whole_one_stands_out_too_far(calc: Calc) -> None:
    # common practice, no source: outside about 1.3 to 1.8 D a tail bends or makes too small a head
    whole = calc.json("rivet --size 3/32 --grip 1.32mm --head flush")
    assert whole["part_number"] == "MS20426AD3-4"
    assert whole["protrusion_d"] == pytest.approx(2.11, abs=0.01)
    assert "try a half length" in whole["warnings"][0]
    half = calc.json("rivet --size 3/32 --grip 1.32mm --head flush --half")
    assert (half["part_number"], half["warnings"]) == ("MS20426AD3-3.5", [])


def test_callout_of_the_kit_wins(calc: Calc) -> None:
    found = calc.json("rivet --size 1/8 --grip 0.125in --callout MS20470AD4-6")
    assert (found["part_number"], found["protrusion_d"], found["standing"]) == ("MS20470AD4-6", 2.0, "own")


def test_blind_rivet_by_its_grip_range(calc: Calc) -> None:
    # TM 10-5410-221-14 table 4-3: 1/8, 0.063 to 0.125 in is code 42
    assert "code 42" in calc.json("rivet --size 1/8 --grip 0.1in --head blind")["part_number"]


@pytest.mark.parametrize(
    ("size", "drill", "inches"), [("3/32", "#40", 0.098), ("1/8", "#30", 0.1285), ("5/32", "#21", 0.159)]
)
def test_final_drill(calc: Calc, size: str, drill: str, inches: float) -> None:
    # diameters: public tables of number drills; 1/8 with #30: P-40 service manual par 16, the others from memory
    found = calc.json(f"hole --size {size}")
    assert (found["drill"], found["inches"]) == (drill, inches)
    assert (found["standing"] == "seen") == (size == "1/8")


def test_final_drill_of_another_source_and_steps_up_to_a_large_hole(calc: Calc) -> None:
    # P-40 service manual, par 16: 5/32 with #22
    assert calc.json("hole --size 5/32 --source P-40")["drill"] == "#22"
    assert "P-40" in calc("hole --size 5/32")
    steps = calc.json("hole --size 3/8 --pilot 1/8 --steps 4")["steps"]
    assert [step["drill"] for step in steps] == ["3/16", "1/4", "5/16", "3/8"]


def test_cure_under_the_law_of_the_epoxy_makers(calc: Calc) -> None:
    # epoxy makers' support pages: twice as long per 18 F colder than 77 F
    cold = calc.json("cure --hours 2 --temperature 59F --law double-18F")
    assert (cold["hours"], cold["application_life_hours"]) == (4, 2)
    warm = calc.json("cure --hours 2 --temperature 95F --law double-18F")
    assert (warm["hours"], warm["application_life_hours"]) == (1, 1)


def test_no_law_is_applied_where_none_is_named(calc: Calc) -> None:
    assert calc.json("cure --hours 2 --temperature 59F")["hours"] == 2
    assert "product's own sheet" in calc("cure --hours 2 --temperature 59F")
    assert not any(word in calc("cure --hours 2 --temperature 10C --law double-18F") for word in ("heat", "warm"))


def test_splice_of_the_worked_example(calc: Calc) -> None:
    # FAA AC 43.13-1B par 4-58g, page 4-27: 2024 of 0.032 in, 10 in wide, 1/8 AD: 37 rivets, two rows of 19
    found = calc.json("layout --sheet 0.032in --width 10in --size 1/8 --joint lap")
    assert (found["rivets"], found["two_rows_of"], found["per_inch"]) == (37, 19, 4.9)
    assert "AC 43.13-1B" in found["source"]
    # figure 4-20, page 4-41: 0.040 in, flange 0.6 in: 3 at 60 %; web 2.0 in: 8
    assert calc.json("layout --sheet 0.040in --width 0.6in --size 1/8 --joint frame")["rivets"] == 3
    assert calc.json("layout --sheet 0.040in --width 2.0in --size 1/8 --joint frame")["rivets"] == 8


def test_straightness_of_pearsons_points(calc: Calc) -> None:
    # Pearson 1901: the zone lies along the edge from the first to the sixth point, 0.3 x root of 5 wide (computed)
    at = "0,0.9,1.8,2.6,3.3,4.4,5.2,6.1,6.5,7.4"
    read = "5.9,5.4,4.4,4.6,3.5,3.7,2.8,2.8,2.4,1.5"
    found = calc.json(f"straight --at {at} --read {read}")
    assert found["minimum_zone"] == pytest.approx(0.3 * 5**0.5, rel=1e-9)
    assert found["least_squares"] == pytest.approx(0.7264886528, rel=1e-9)
    assert found["slope"] == pytest.approx(-0.539577, abs=1e-6)


def test_two_readings_are_always_straight_and_said_to_be_too_few(calc: Calc) -> None:
    found = calc.json("straight --at 0,0.9 --read 5.9,5.4")
    assert (found["minimum_zone"], found["least_squares"]) == (0, 0)
    assert "take three at least" in calc("straight --at 0,0.9 --read 5.9,5.4")
    # a triangle of area 2 whose two longer edges measure root of 5: its height on them is its least width
    assert calc.json("straight --at=-1,0,1 --read=-1,1,-1")["minimum_zone"] == pytest.approx(4 / 5**0.5)


def test_learning_curve_of_the_published_output(calc: Calc) -> None:
    # learningCurve documentation of AFIT: rate 0.85, first 100, unit 125
    found = calc.json("learning --rate 0.85 --first 100 --unit 125")
    assert found["unit_time"] == pytest.approx(32.23647, abs=1e-5)
    assert found["wright_unit_time"] == pytest.approx(24.70136, abs=1e-5)
    assert found["total"] == pytest.approx(5201.085, abs=1e-3)


def test_learning_curve_of_a_block_of_pieces(calc: Calc) -> None:
    # learningCurve documentation of AFIT: Wright, 125 the first, pieces 55 to 165 at 75 %
    block = calc.json("learning --rate 0.75 --first 125 --unit 55 --to 165")["block"]
    assert block["wright_total"] == pytest.approx(1188.61, abs=5e-3)
    assert calc.json("learning --rate 0.75 --first 100 --unit 201 --to 500")["block"]["middle_unit"] == pytest.approx(
        334.6103, abs=5e-5
    )


def test_finished_hole_and_depth_of_deburring(calc: Calc) -> None:
    # MIL-R-47196A table I: 3/32 in a hole of 0.093 to 0.103 in; chamfer at most a tenth of the sheet
    found = calc.json("hole --size 3/32 --sheet 0.032in")
    assert found["hole"] == [0.093, 0.103]
    assert found["deepest_deburr"] == pytest.approx(0.0032)
    # TM 10-5410-221-14 table 4-3
    assert calc.json("hole --size 1/8 --fastener blind")["hole"] == [0.128, 0.132]


def test_clecos_for_a_row_of_the_splice(calc: Calc) -> None:
    # computed: 37 rivets, holes 1, 3, ... 37
    assert calc.json("layout --sheet 0.032in --width 10in --size 1/8")["clecos"] == 19


def test_blind_rivet_with_its_hole_and_whether_the_one_at_hand_fits(calc: Calc) -> None:
    # TM 10-5410-221-14 table 4-3: 1/8 for 0.063 to 0.125 in is a 42, hole 0.128 to 0.132 in, drill #30
    found = calc.json("blind --size 1/8 --grip 0.1in --code 42")
    assert (found["code"], found["grip_inches"], found["length_inches"]) == ("42", [0.063, 0.125], 0.232)
    assert (found["drill"], found["hole"], found["fits"]) == ("#30", [0.128, 0.132], True)
    # a maker's process manual, CA-1015: the last dash is the greatest grip in 1/16 in
    assert found["locked_spindle_dash"] == "02"
    too_long = calc("blind --size 1/8 --grip 2.5mm --code 44", code=1)
    assert "44 is a 1/8 for a grip of up to 1/4 in: it is not the one for this joint" in too_long
    assert "not approved on certificated structure" in too_long
    assert "Eye protection" in too_long


def test_countersink_or_dimple_by_each_source(calc: Calc) -> None:
    # TM 9-2320-387-24-2 table 33-4, P-40 service manual par 10a, NAVEDTRA 14315 page 122
    found = calc.json("countersink --size 3/32 --sheet 0.051in")
    assert found["countersink"] == "sources differ"
    assert [one["inches"] for one in found["minima"]] == [0.04, 0.051, 0.064]
    assert calc.json("countersink --size 3/32 --sheet 0.064in")["countersink"] == "yes"
    # TM 9-2320-387-24-2 table 33-3
    assert calc.json("countersink --size 1/8 --sheet 0.064in")["diameter"] == [0.222, 0.228]
    # MIL-HDBK-5F as quoted: 3/32 in 0.032 in holds 217 lb dimpled, 178 lb countersunk
    thin = calc("countersink --size 3/32 --sheet 0.032in", code=1)
    assert "dimpled 217 lb, countersunk 178 lb" in thin
    assert "dimple it" in thin


def test_driven_heads_by_their_window(calc: Calc) -> None:
    # worked case of the same page as MIL-R-47196A table III: 3/32 heads of .029 and .053 fail
    words = "heads --size 3/32 --width 0.138,0.162,0.15 --height 0.029,0.053,0.045"
    assert "3 heads: 1 pass, 2 fail" in calc(words, code=1)
    assert calc.json("heads --size 3/32 --width 0.138,0.162")["verdict"] == "pass"
    assert calc.json("heads --size 1/8 --unit mm --height 1.5 --width 4.3")["passed"] == 1
    # JCGM 106:2012, computed: .0685 under .070 with a standard uncertainty of .001 (U = .002) is 93.32 % likely
    near = calc("heads --size 1/8 --height 0.0685 --uncertainty 0.002", code=1)
    assert "too close to call, 93 % likely inside" in near


def test_repair_of_a_hole_too_large(calc: Calc) -> None:
    # MIL-R-47196A as quoted: the next 1/32 in; at most a fifth of the pattern or ten
    found = calc.json("repair --size 1/8 --pattern 40 --hole 0.17in")
    assert (found["next_size"], found["drill"], found["most_oversize"]) == ("5/32", "#21", 8)
    assert found["too_large_for_next"] is True
    # FAA AC 43.13-1B par 4-57 as quoted: edge 2 D and pitch 3 D of the larger rivet
    assert found["least"]["edge"]["inches"] == pytest.approx(2 * 5 / 32, abs=0.001)
    # FAA AC 43.13-1B par 4-57b: AD for D up to 3/16 if 1/32 larger
    assert "AD of 5/32 may stand in for D of 1/8" in calc("repair --size 1/8 --material D --instead AD")
    assert "no published rule lets A of" in calc("repair --size 1/8 --instead A", code=1)
    # MIL-R-47196A table I: a 3/32 rivet may go into a hole of up to 0.103 in
    assert "a hole of 0.1 in is not too large" in calc("repair --size 3/32 --hole 0.1in")
    assert "Ear protection" in calc("repair --size 1/8")


def test_primer_by_its_age(calc: Calc) -> None:
    # USAF coatings manual TO 1-1-8 par 5.6, 6.12.6.3, table 5-2, MIL-PRF-23377
    found = calc.json("primer --age 9 --coats 2")
    assert (found["stage"], found["recoat_hours"]) == ("reactivate", [5, 8, 24])
    assert (found["induction_hours"], found["most_mixed_hours"], found["prime_within_hours"]) == ([0.5, 0.5], 4, 48)
    assert (found["tie_coat_hours"], found["film_inches"]) == ([2, 8], [0.0008, 0.002])
    # MO-124 (NAVFAC), MIL-P-24441: 1 to 1.5 h at 60 to 70 F
    other = calc.json("primer --product mil-p-24441 --temperature 65F")
    assert (other["induction_hours"], "stage" in other, "MO-124" in other["source"]) == ([1, 1.5], False, True)
    assert "it depends on how warm the shop is" in calc("primer --product MIL-P-24441")
    assert "respirator" in calc("primer")
    assert "can cause cancer" in calc("primer")


def test_sealant_by_its_class(calc: Calc) -> None:
    # NAVEDTRA 14315 page 209: the dash number is the application time; page 208: metal not below 70 F
    found = calc.json("sealant --class B-2 --temperature 95F --law double-18F")
    assert (found["application_hours"], found["life_hours"], found["too_cold"]) == (2, 1, False)
    cold = calc("sealant --class b-2 --temperature 59F --law double-18F")
    assert "at 15 C within 2 h; cold never lengthens it" in cold
    assert "! too cold: metal at least 70 F" in cold
    # AMS-S-8802 class list as quoted
    assert calc.json("sealant --class C-24(80)")["assembly_hours"] == 80
    assert "no flame or spark" in cold


def test_twist_as_a_ruler_shows_it(calc: Calc) -> None:
    # computed: 50 in x tan 0.2 degrees
    found = calc.json("twist --chord 50in --degrees 0.2")
    assert found["inches"] == pytest.approx(0.1745, abs=5e-5)
    assert found["mm"] == pytest.approx(0.1745 * 25.4, abs=2e-3)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("", "arguments are required: SUM"),
        ("rivet --size 9 --grip 1in", "not a diameter"),
        ("rivet --size 1/8 --grip 0in", "is not above 0"),
        ("rivet --size 1/8 --grip thick", "'thick' is not a length"),
        ("hole --size 7/8", "no source gives a final drill"),
        ("hole --size 1/8 --pilot #10", "is not smaller"),
        ("hole --size 3/8 --pilot 1/8 --steps 99", "99 steps make no sense"),
        ("cure --hours -1", "--hours -1 is below 0"),
        ("cure --hours nan", "is not a number"),
        ("cure --hours 2 --law guess", "there is no cure law 'guess'"),
        ("cure --hours 2 --temperature warm", "is not a temperature"),
        ("layout --sheet 0.5in --width 10in --size 1/8", "ask the kit's maker"),
        ("layout --sheet 0.032in --width 10in --size 1/8 --joint glued", "there is no joint 'glued'"),
        ("straight --at 0,1 --read 5", "give one reading for each place"),
        ("straight --at 0,0 --read 5,6", "two positions"),
        ("straight --at , --read 5,6", "has no figures"),
        ("learning --rate 2 --first 100 --unit 5", "learning rate of 2 makes no sense"),
        ("learning --rate 0.9 --first 100 --unit 0", "counted from 1"),
        ("learning --rate 0.9 --first 100 --unit 9 --to 3", "--to 3 must be a whole number from --unit 9"),
        ("learning --rate 0.9 --first 100 --unit 1.5 --to 3", "must be a whole number"),
        ("hole --size 1/8 --sheet thin", "'thin' is not a length"),
        ("blind --size 1/8 --grip 3in", "no source gives a blind rivet 1/8 and a grip of 3 in"),
        ("blind --size 1/8 --grip 0.1in --code AB", "is no blind rivet code"),
        ("countersink --size 1/8 --sheet 0in", "--sheet must be above 0"),
        ("heads --size 1/8", "measure the head's width"),
        ("heads --size 1/4 --width 1", "no shop-head window is known for 1/4"),
        ("heads --size 1/8 --width 0.2,0.2 --height 0.06", "--width has 2 figures and --height 1 figure"),
        ("heads --size 1/8 --width 0.2 --uncertainty -1", "uncertainty -1 is below 0"),
        ("repair --size 1", "no source says which rivet comes after 1"),
        ("repair --size 1/8 --hole 0in", "--hole must be above 0"),
        ("repair --size 1/8 --pattern -4", "--pattern -4 is below 1"),
        ("repair --size 1/8 --instead cheese", "no table knows the rivet alloy 'cheese'"),
        ("primer --product paint", "only of MIL-PRF-23377 and MIL-P-24441"),
        ("primer --age -1", "--age -1 is below 0"),
        ("primer --coats 0", "--coats 0 is below 1"),
        ("sealant --class Q-9", "no source tells of a sealant of class 'Q-9'"),
        ("sealant --class B-2 --law guess", "there is no cure law 'guess'"),
        ("twist --chord 0in --degrees 1", "--chord must be above 0"),
        ("twist --chord 50in --degrees 90", "is no twist"),
    ],
)
def test_nonsense_is_refused_in_one_sentence(calc: Calc, words: str, says: str) -> None:
    assert says in calc(words, code=2)


def test_every_answer_prints_its_source(calc: Calc) -> None:
    for words in ("hole --size 3/32", "learning --rate 0.9 --first 1 --unit 2", "rivet --size 1/8 --grip 0.1in"):
        assert calc(words).splitlines()[-1].startswith("source: ")
    assert "from memory, not confirmed" in calc("hole --size 3/32")


def test_tables_of_the_shop_folder_win(calc: Calc, tmp_path: Path) -> None:
    trade = tmp_path / "mine" / "shared" / "trade"
    trade.mkdir(parents=True)
    (tmp_path / "mine" / "projects").mkdir()
    own = '[[final-drill]]\nsize = "3/32"\nfastener = "solid"\ndrill = "#41"\nsource = "my kit"\nstanding = "own"\n'
    (trade / "holes.toml").write_text(own, "utf-8")
    try:
        found = calc.json(f"hole --size 3/32 --shop {tmp_path / 'mine'}")
        assert (found["drill"], found["source"], found["standing"]) == ("#41", "my kit (said by this shop)", "own")
        assert calc.json("hole --size 3/32")["drill"] == "#40"
        assert "is no shop folder" in calc(f"hole --size 3/32 --shop {tmp_path}", code=2)
    finally:
        use_folder(lambda: None)


def test_sums_load_nothing_heavy(tmp_path: Path) -> None:
    code = (
        "import sys; from fitup.cli.main import run; run(['calc', 'hole', '--size', '1/8']);"
        "print(sorted({n.split('.')[0] for n in sys.modules} & {'textual','rich','sqlmodel','sqlalchemy','pydantic',"
        "'ortools','sqlite3'}))"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=tmp_path).stdout
    assert out.splitlines()[-1] == "[]"

"""Cut scores and item statistics from the command line."""

import json

import pytest

from tests.standards.worked import JUDGES, RATINGS, SCORES, X
from trainer.cli.main import main
from trainer.standards.cut import load_record

CLOSE = {"abs": 1e-6, "rel": 0}


@pytest.fixture
def files(tmp_path, monkeypatch):
    """The worked tables as files in a folder of their own; gives the folder."""
    monkeypatch.chdir(tmp_path)
    rows = [f"{name},{','.join(map(str, row))}" for name, row in zip("ABC", JUDGES)]
    (tmp_path / "judges.csv").write_text("\n".join(["judge,a,b,c,d,e", *rows]))
    rows = [f"{n},{r},{s}" for n, (r, s) in enumerate(zip(RATINGS, SCORES))]
    (tmp_path / "ratings.csv").write_text("\r\n".join(["learner,rating,score", *rows]))
    rows = [f"{n},{','.join(map(str, row))}" for n, row in enumerate(X)]
    (tmp_path / "items.csv").write_text("\n".join(["learner,a,b,c,d", *rows]), "utf-8-sig")
    return tmp_path


def data_of(capsys, *words):
    assert main(["standard", *words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_angoff_as_data(files, capsys):
    """Assessment conventions of this project, section 1.6, recomputed here."""
    told = data_of(capsys, "angoff", "judges.csv", "--date", "2026-03-31")
    data = told["data"]
    assert data["cut_share"] == pytest.approx(0.69, **CLOSE)
    assert data["cut_points"] == pytest.approx(3.45, **CLOSE)
    assert data["se_share"] == pytest.approx(0.0057735, **CLOSE)
    assert data["record"]["cut"] == 69
    assert (data["judges"], data["n"], data["record"]["date"]) == (3, 5, "2026-03-31")
    assert "small panel: 3 judges" in told["warnings"][0]


def test_angoff_as_text_gives_the_lines_of_a_rubric(files, capsys):
    assert main(["standard", "angoff", "judges.csv", "--date", "2026-03-31"]) == 0
    said = capsys.readouterr()
    assert "0.6900 on the scale 0 to 1, or 3.4500 of 5 points" in said.out
    assert '  cut: 69\n  cut_set:\n    method: modified Angoff\n    date: "2026-03-31"' in said.out
    assert "small panel" in said.err


def test_borderline_writes_a_record_and_never_over_a_file(files, capsys):
    """Assessment conventions of this project, section 1.6, recomputed here."""
    words = ["borderline", "ratings.csv", "--date", "2026-03-31", "--out", "cut.yaml"]
    data = data_of(capsys, *words)["data"]
    assert data["cut"] == pytest.approx(51.833333, **CLOSE)
    assert data["r2"] == pytest.approx(0.981216, **CLOSE)
    record = load_record("cut.yaml")
    assert str(record.cut) == data["record"]["cut_exact"] == "311/6"
    assert (record.method, record.date, record.n) == ("borderline regression", "2026-03-31", 8)
    assert record.se == data["se_cut"]
    before = (files / "cut.yaml").read_text()
    assert main(["standard", *words]) == 3
    assert "already" in capsys.readouterr().err
    assert (files / "cut.yaml").read_text() == before


def test_the_day_is_today_when_nobody_says(files, capsys):
    day = data_of(capsys, "angoff", "judges.csv")["data"]["record"]["date"]
    assert len(day) == 10 and day[4] == day[7] == "-"


def test_items_as_data(files, capsys):
    """Assessment conventions of this project, section 1.7, recomputed here."""
    told = data_of(capsys, "items", "items.csv", "--cut", "3", "--length", "12")
    data = told["data"]
    assert [i["difficulty"] for i in data["items"]] == [0.75, 0.625, 0.375, 0.25]
    assert data["items"][1]["rest"] == pytest.approx(0.292770, **CLOSE)
    assert data["kr20"] == data["alpha"] == pytest.approx(0.583333, **CLOSE)
    assert data["alpha_95"] == pytest.approx([-0.237, 0.906], abs=5e-4)
    assert data["sem"] == pytest.approx(0.845154, **CLOSE)
    assert data["alpha_at_length"] == pytest.approx(0.807692, **CLOSE)
    assert data["length_factor_80"] == pytest.approx(2.857143, **CLOSE)
    assert data["livingston"] == pytest.approx(0.75, **CLOSE)
    assert data["generalizability"]["relative"] == data["alpha"]
    assert data["flags"] == []
    assert "small class: 8 learners" in told["warnings"][0]


def test_items_as_text(files, capsys):
    assert main(["standard", "items", "items.csv"]) == 0
    said = capsys.readouterr().out
    assert "alpha       0.583 (95 % interval -0.237 to 0.906, n = 8)" in said
    assert "No item stands out." in said


def test_what_does_not_exist_is_a_dash_and_null(files, capsys):
    (files / "same.csv").write_text("learner,a,b\nx,1,\ny,1,\n")
    assert main(["standard", "items", "same.csv", "--cut", "1", "--length", "3"]) == 0
    said = capsys.readouterr().out
    assert " 1.000          –           –            –  a" in said
    assert "KR-20       –" in said
    assert "nan" not in said.lower()
    assert "b: check this item: it was never triggered" in said
    data = data_of(capsys, "items", "same.csv")["data"]
    assert data["items"][0]["rest"] is data["alpha"] is data["generalizability"] is None


def test_variants_and_negative_variances_are_told(files, capsys):
    (files / "v.csv").write_text("learner,variant,a,b\nout of,,10,10\nw,x,9,8\nz,y,2,8\n")
    assert main(["standard", "items", "v.csv", "--length", "4"]) == 0
    said = capsys.readouterr().out
    assert "x: check this variant: its mean is 35.0 points above that of its siblings" in said
    (files / "n.csv").write_text("learner,a,b\nw,1,0\nz,0,1\n")
    assert main(["standard", "items", "n.csv"]) == 0
    assert "variance of learners came out negative and is set to 0" in capsys.readouterr().out


def test_a_cut_beyond_the_ratings_or_the_scale_is_told(files, capsys):
    """By hand: 4 and 5 rated 10 and 60 put rating 2 at -90."""
    (files / "high.csv").write_text("learner,rating,score\na,4,10\nb,4,10\nc,5,60\n")
    told = data_of(capsys, "borderline", "high.csv")
    assert told["data"]["cut"] == pytest.approx(-90)
    assert told["data"]["record"] is None
    assert any("beyond the ratings" in warning for warning in told["warnings"])
    assert main(["standard", "borderline", "high.csv", "--out", "cut.yaml"]) == 3
    assert "no cut to record" in capsys.readouterr().err
    assert not (files / "cut.yaml").exists()
    (files / "down.csv").write_text("learner,rating,score\na,1,60\nb,2,50\nc,3,45\n")
    assert any("do not rise" in w for w in data_of(capsys, "borderline", "down.csv")["warnings"])


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["average", "judges.csv"], 2, "'average' is nothing to do with standards"),
        (["angoff"], 2, "Missing argument"),
        (["angoff", "judges.csv", "--date", "2026-02-30"], 2, "'2026-02-30' is no date"),
        (["angoff", "judges.csv", "--cut", "3"], 2, "no use for --cut"),
        (["items", "items.csv", "--out", "cut.yaml"], 2, "sets no cut"),
        (["items", "items.csv", "--cut", "most"], 2, "'most' is no number of points"),
        (["items", "items.csv", "--length", "0"], 2, "--length"),
        (["angoff", "none.csv"], 4, "there is no such file"),
        (["angoff", "."], 3, "this is a folder"),
        (["borderline", "judges.csv"], 3, "there is no column rating"),
        (["items", "ratings.csv"], 3, "'38' is not 0 or 1"),
        (["angoff", "judges.csv", "--out", "none/cut.yaml"], 3, "cannot be written"),
    ],
)
def test_what_is_refused_has_its_code_and_no_traceback(files, capsys, words, code, sentence):
    assert main(["standard", *words]) == code
    said = capsys.readouterr().err
    assert sentence in said
    assert "Traceback" not in said
    assert main(["standard", *words, "--json"]) == code
    assert json.loads(capsys.readouterr().out)["ok"] is False

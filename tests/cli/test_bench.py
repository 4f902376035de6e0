"""The text bench on a pipe: one line, one act, and going on after leaving."""

import io

from trainer.cli.main import main

LINES = """\
help
take off disconnect-front
select meter V ac
measure disconnect.L1 to disconnect.L2
fly away
quit
"""


def test_lines_in_sentences_out(tmp_path, monkeypatch, capsys):
    out = tmp_path / "a.jsonl"
    monkeypatch.setattr("sys.stdin", io.StringIO(LINES))
    assert main(["bench", "larkspur-row", "--out", str(out)]) == 0
    told = capsys.readouterr().out
    assert "240.0 V" in told
    assert "is no act" in told
    assert (tmp_path / "a.jsonl.wall").read_text().count("\n") == 3


def test_going_on(tmp_path, monkeypatch, capsys):
    out = tmp_path / "a.jsonl"
    monkeypatch.setattr("sys.stdin", io.StringIO("take off disconnect-front\n"))
    assert main(["bench", "larkspur-row", "--out", str(out)]) == 0
    monkeypatch.setattr("sys.stdin", io.StringIO("take off disconnect-front\n"))
    assert main(["bench", "larkspur-row", "--out", str(out)]) == 0
    assert "off already" in capsys.readouterr().out


def test_a_person_may_be_given_more_time(tmp_path, monkeypatch, capsys):
    out = tmp_path / "a.jsonl"
    monkeypatch.setattr("sys.stdin", io.StringIO("stand aside\n"))
    words = ["bench", "larkspur-row", "--out", str(out), "--accommodation", "1.5"]
    assert main(words) == 0
    from trainer.session.attempt import resume

    assert resume(out).running.bench.accommodation == 1.5


def test_questions_cost_nothing(monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", io.StringIO("where\nhold\nplaces can\nagain\nhelp land\n"))
    assert main(["bench", "larkspur-row"]) == 0
    told = capsys.readouterr().out
    assert "Your hands are empty" in told
    assert "can.H" in told
    assert "push: one of fully, half" in told

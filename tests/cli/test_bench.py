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

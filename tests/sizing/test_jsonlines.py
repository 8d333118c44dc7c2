"""JSON lines in and out: a bad line is named, and nothing is left half-written."""

import pytest

from sizing.jsonlines import LinesError, read_lines, write_lines


def test_round_trip(tmp_path):
    """What is written is read back, empty lines passed over."""
    path = tmp_path / "a.jsonl"
    assert write_lines(str(path), [{"id": 1}, {"id": "½ pane"}]) == 2
    path.write_text(path.read_text() + "\n\n")
    assert list(read_lines(str(path))) == [{"id": 1}, {"id": "½ pane"}]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b'{"id": 1}\n{id: 2}\n', "line 2 is no JSON"),
        (b"[1, 2]\n", "line 1 is no JSON object"),
        (b'{"id": "\xff"}\n', "line 1 is not UTF-8"),
        (b"[" * 200_000, "line 1 is no JSON"),
    ],
)
def test_bad_line_is_named(tmp_path, content, says):
    """The file and the line are in the sentence."""
    path = tmp_path / "bad.jsonl"
    path.write_bytes(content)
    with pytest.raises(LinesError, match=says):
        list(read_lines(str(path)))


def test_missing_file_and_folder(tmp_path):
    """A file that is not there, and a folder that is not there."""
    with pytest.raises(LinesError, match="cannot be read"):
        list(read_lines(str(tmp_path / "no.jsonl")))
    with pytest.raises(LinesError, match="cannot be written"):
        write_lines(str(tmp_path / "no" / "a.jsonl"), [{}])


def test_failure_leaves_the_old_answers(tmp_path):
    """When the answers stop half-way the file is as it was before, and no draft lies about."""
    path = tmp_path / "a.jsonl"
    write_lines(str(path), [{"id": "old"}])

    def answers():
        yield {"id": "new"}
        raise LinesError("bad.jsonl, line 2 is no JSON")

    with pytest.raises(LinesError):
        write_lines(str(path), answers())
    assert list(read_lines(str(path))) == [{"id": "old"}]
    assert [p.name for p in tmp_path.iterdir()] == ["a.jsonl"]

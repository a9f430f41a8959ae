"""Complaints out of files of every kind, and clear refusal of what is none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from diagnose.errors import UserError
from diagnose.mail import letters


def texts(path: Path) -> list[str]:
    found, faults = letters.read(path)
    assert faults == []
    return [letter.text for letter in found]


def put(tmp_path: Path, name: str, data: bytes | str) -> Path:
    path = tmp_path / name
    path.write_bytes(data if isinstance(data, bytes) else data.encode("utf-8"))
    return path


def test_a_text_file_holds_letters_parted_by_blank_lines(tmp_path: Path) -> None:
    path = put(tmp_path, "bag.txt", "The shot gushes.\nEvery day.\n\n\n  \nNo crema.\n")
    found, _ = letters.read(path)
    assert [(x.text, x.place) for x in found] == [
        ("The shot gushes.\nEvery day.", "bag.txt:1"),
        ("No crema.", "bag.txt:6"),
    ]


def test_a_folder_holds_one_letter_in_each_text_file(tmp_path: Path) -> None:
    put(tmp_path, "b.txt", "No crema.\n\nIt is pale too.")
    put(tmp_path, "a.txt", "Gushes.")
    put(tmp_path, ".hidden", "not read")
    (tmp_path / "out").mkdir()
    put(tmp_path, "out/old.md", "an old reply")
    found, _ = letters.read(tmp_path, skip=tmp_path / "out")
    assert [x.text for x in found] == ["Gushes.", "No crema.\n\nIt is pale too."]


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1", "cp1252"]
)
def test_encodings_are_told_apart(tmp_path: Path, encoding: str) -> None:
    text = "The café's crème is sour and the machine is loud"
    assert texts(put(tmp_path, "a.txt", text.encode(encoding))) == [text]


def test_a_file_of_mixed_encodings_is_read_line_by_line(tmp_path: Path) -> None:
    data = "café one\n\n".encode() + "café two\n\n".encode("latin-1") + "café three".encode()
    assert texts(put(tmp_path, "a.txt", data)) == ["café one", "café two", "café three"]


@pytest.mark.parametrize(
    "text",
    [
        'id,complaint\n1,too fast\n2,"sour, and\nbitter"\n',
        'id;complaint\n1;too fast\n2;"sour, and\nbitter"\n',
        'date,Body\n2026-01-01,too fast\n2026-01-02,"sour, and\nbitter"\n',
        'complaint\ntoo fast\n"sour, and\nbitter"\n',
    ],
)
def test_the_text_column_is_found_by_its_name(tmp_path: Path, text: str) -> None:
    assert texts(put(tmp_path, "a.csv", text)) == ["too fast", "sour, and\nbitter"]


def test_the_text_column_is_found_by_its_length(tmp_path: Path) -> None:
    text = "nr,what\n1,the shot runs far too fast\n2,there is no crema on it\n"
    assert texts(put(tmp_path, "a.csv", text)) == ["the shot runs far too fast", "there is no crema on it"]
    assert texts(put(tmp_path, "b.csv", text.split("\n", 1)[1])) == [
        "the shot runs far too fast",
        "there is no crema on it",
    ]


@pytest.mark.parametrize(
    "text, line, whole",
    [
        ('id,complaint\n1,too fast\n2,"sour and', 3, ["too fast"]),
        ("id,complaint\n1,too fast\n2\n", 3, ["too fast"]),
        ("id,complaint\n1,too fast\n2,sour,and more\n3,x\n", 3, ["too fast", "x"]),
        ('id,complaint\n1,"a\nb"\n2\n', 4, ["a\nb"]),
    ],
)
def test_half_a_csv_is_told_with_its_line_and_the_whole_rows_are_read(
    tmp_path: Path, text: str, line: int, whole: list[str]
) -> None:
    found, faults = letters.read(put(tmp_path, "a.csv", text))
    assert [x.text for x in found] == whole
    assert len(faults) == 1 and f"a.csv:{line}: " in faults[0] and "What is whole was read" in faults[0]


def test_many_broken_rows_are_one_line(tmp_path: Path) -> None:
    found, faults = letters.read(put(tmp_path, "a.csv", "id,complaint\n1,sour\n" + "2\n" * 500))
    assert len(found) == 1 and len(faults) == 1 and "499 more such rows" in faults[0]


def test_json_lines_are_read_by_key_or_by_length(tmp_path: Path) -> None:
    rows = [
        {"id": 1, "complaint": "too fast"},
        {"from": "x", "Text": "no crema"},
        "just sour",
        {"a": "b", "c": "longer text"},
    ]
    path = put(tmp_path, "a.jsonl", "\n".join(map(json.dumps, rows)) + "\n\n")
    assert texts(path) == ["too fast", "no crema", "just sour", "longer text"]
    assert texts(put(tmp_path, "b.json", json.dumps(rows))) == texts(path)


@pytest.mark.parametrize(
    "text, said",
    [
        ('{"complaint": "a"}\n{"complaint": "b', "a.jsonl:2"),
        ('{"complaint": "a"}\n{"n": 3}\n', "a.jsonl:2"),
        ("[1, 2", "a.jsonl:1"),
        ("[" * 100_000, "a.jsonl:1"),
        ("\n\n{]\n", "a.jsonl:3"),
    ],
)
def test_half_a_json_file_is_told_with_its_line(tmp_path: Path, text: str, said: str) -> None:
    _, faults = letters.read(put(tmp_path, "a.jsonl", text))
    assert len(faults) == 1 and said in faults[0] and "\n" not in faults[0]


def test_the_whole_lines_of_half_a_json_file_are_read(tmp_path: Path) -> None:
    found, faults = letters.read(put(tmp_path, "a.jsonl", '{"text": "sour"}\n{"n": 3}\n"pale"\n{"text": "cu'))
    assert [x.text for x in found] == ["sour", "pale"]
    assert len(faults) == 1 and "a.jsonl:2: holds no text" in faults[0] and "1 more such row" in faults[0]


def test_an_empty_letter_among_others_is_named(tmp_path: Path) -> None:
    put(tmp_path, "a.txt", " \n")
    put(tmp_path, "b.txt", "No crema.")
    found, faults = letters.read(tmp_path)
    assert [x.text for x in found] == ["No crema."] and faults == [f"{tmp_path / 'a.txt'}: holds no words"]


def test_a_binary_file_is_refused_and_the_rest_is_read(tmp_path: Path) -> None:
    put(tmp_path, "a.txt", b"\x89PNG\r\n\0\0\0\x0dIHDR" + bytes(range(256)))
    put(tmp_path, "b.txt", "No crema.")
    found, faults = letters.read(tmp_path)
    assert [x.text for x in found] == ["No crema."]
    assert len(faults) == 1 and "a.txt" in faults[0] and "not text" in faults[0]


def test_names_of_letters_differ_and_are_fit_for_files(tmp_path: Path) -> None:
    for name in ("Ä b.txt", "b.txt", "sub/b.txt", "B.md"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        put(tmp_path, name, name)
    found, _ = letters.read(tmp_path)
    assert len({x.id for x in found}) == 4
    assert all(x.id.replace("-", "").isalnum() and x.id.isascii() for x in found)


@pytest.mark.parametrize("name, text", [("a.txt", ""), ("a.txt", " \n\n "), ("a.csv", ""), ("a.jsonl", "\n")])
def test_an_empty_file_is_said_so(tmp_path: Path, name: str, text: str) -> None:
    with pytest.raises(UserError, match="no complaint"):
        letters.read(put(tmp_path, name, text))


def test_a_missing_file_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="no such file"):
        letters.read(tmp_path / "nowhere")

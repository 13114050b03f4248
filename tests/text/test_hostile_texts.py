"""Texts that were never meant to be procedures, or were meant to hurt: refused quickly, in a sentence, with nothing run."""

from __future__ import annotations

import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path

import pytest
import yaml

from runner.procedure.reader import read_bytes
from runner.text.problem import render
from runner.text.yaml_nodes import LARGEST_FILE, decode, read_yaml

LOADERS = [getattr(yaml, "CBaseLoader", yaml.BaseLoader), yaml.BaseLoader]

BOMB = "a: &a [x, x]\n" + "".join(f"{two}: &{two} [*{one}, *{one}]\n" for one, two in pairwise("abcdefghi"))

HOSTILE = {
    "an empty file": (b"", "empty-file"),
    "blanks and a comment": (b"   \n# nothing\n", "empty-file"),
    "only a byte order mark": (b"\xef\xbb\xbf", "empty-file"),
    "a binary file": (b"\x7fELF\0\0\1", "not-text"),
    "UTF-16": ("procedure: x".encode("utf-16"), "not-text"),
    "Latin-1": (b"procedure: Ventilsitz f\xfcr\n", "not-utf8"),
    "half a surrogate in UTF-8": (b"procedure: \xed\xa0\x80\n", "not-utf8"),
    "escape codes": (b"procedure: \x1b]0;x\x07\n", "unprintable"),
    "a return without a line feed": (b"procedure: a\rid: b\n", "unprintable"),
    "a sign that is no character": ("procedure: a\uffff\n".encode(), "unprintable"),
    "a right-to-left mark": ("procedure: a\u202eb\n".encode(), "unprintable"),
    "a byte order mark in the middle": ("procedure: a\ufeffb\n".encode(), "unprintable"),
    "an alias bomb": (BOMB.encode(), "anchor"),
    "a list that holds itself": (b"&a [*a]\n", "anchor"),
    "a call of the system": (b"procedure: !!python/object/apply:os.system ['true']\n", "tag"),
    "a merge key": (b"procedure:\n  <<: x\n", "merge-key"),
    "10,000 brackets in one line": (b"procedure: " + b"[" * 10_000, "line-too-long"),
    "10,000 brackets, one a line": (b"procedure:\n" + b" [\n" * 10_000, "too-deep"),
    "a megabyte of brackets": (b"procedure:\n" + b" [\n" * 350_000, "too-deep"),
    "a megabyte of closed brackets": (
        b"procedure: [\n" + b" [], [], [], [],\n" * 65_000 + b"]\n",
        "too-large",
    ),
    "10,000 dashes in a line": (b"- " * 900 + b"a\n", "too-deep"),
    "10,000 groups in one another": (b"".join(b" " * n + b"a:\n" for n in range(1000)), "too-deep"),
    "more than a procedure holds": (b"# x\n" * (LARGEST_FILE // 4 + 1), "too-large"),
    "more bytes than are looked at": (b"a" * (LARGEST_FILE + 1), "too-large"),
    "a quote over the whole file": (b'procedure: "' + b"a\n" * 200_000, "open-quote"),
    "a tab on every line": (b"\ta: b\n" * 100_000, "tab"),
    "two documents": (b"procedure: a\n---\nprocedure: b\n", "second-document"),
    "a list": (b"- procedure: a\n", "not-a-procedure"),
    "one word": (b"procedure\n", "not-a-procedure"),
    "a million keys": (b"".join(b"k%d: v\n" % n for n in range(150_000)), "too-large"),
    "4,000 misspelt steps": (
        b"procedure: a\nstages:\n  - stage: x\n    for each: job\n    steps:\n"
        + b"".join(b"      - raed: name%d\n        aks: x\n        unitt: mm\n" % n for n in range(4_000)),
        "unknown-step",
    ),
    "2,000 names that nobody gave": (
        b"procedure: a\nstages:\n  - stage: x\n    for each: job\n    steps:\n"
        + b"".join(
            b"      - work out: name_%d\n        as: mane_%d + nmae_%d\n        to the nearest: 1 mm\n"
            % (n, n, n)
            for n in range(2_000)
        ),
        "unknown-name",
    ),
    "10,001 steps": (
        b"procedure: a\nstages:\n  - stage: x\n    for each: job\n    steps:\n"
        + b"      - do: Look\n" * 10_001,
        "too-large",
    ),
    "1,200 stages": (
        b"procedure: a\nstages:\n"
        + b"".join(
            b"  - stage: s%d\n    for each: job\n    steps:\n      - do: Look\n" % n for n in range(1_200)
        ),
        "too-large",
    ),
    "ten million letters in comments": (
        b"# " + b"x" * 1_900 + b"\n" + (b"#" + b"x" * 1_990 + b"\n") * 5_000,
        "empty-file",
    ),
    "five million lines": (b"\n" * 5_000_000, "too-large"),
    "long words of letters and one that only looks Latin": (
        ("procedure: a\n" + ("x" * 1_900 + "\n") * 2_000 + "id: \u0430b\n").encode(),
        "look-alike",
    ),
    "marks piled on one letter": (
        ("procedure: a" + "\u0301" * 500 + "\n").encode(),
        "unprintable",
    ),
    "a name in letters of another alphabet": ("procedure: Me\u0430sure\n".encode(), "look-alike"),
    "letters of twice the width": ("procedure: \uff21BC\n".encode(), "look-alike"),
    "a tag character": ("procedure: a\U000e0041\n".encode(), "unprintable"),
    "a blank that fills a letter": ("procedure: a\u3164b\n".encode(), "unprintable"),
    "numbers of a thousand digits": (
        b"procedure: a\nid: b\ngivens:\n"
        + (b"  - given: g\n    value: " + b"9" * 1_500 + b" mm\n    source: common practice\n") * 200,
        "bad-number",
    ),
    "one key 19,000 times": (b"procedure: v\n" * 19_000, "duplicate-key"),
}


@pytest.mark.parametrize(("data", "kind"), HOSTILE.values(), ids=list(HOSTILE))
def test_what_is_no_procedure_is_refused_at_once_and_in_words_that_can_be_shown(
    data: bytes, kind: str
) -> None:
    began = time.process_time()
    procedure, problems, text = read_bytes(data, "\x1b[2Jx.yaml")
    assert time.process_time() - began < 2
    assert procedure is None
    assert kind in {problem.kind for problem in problems}
    assert len(problems) <= 250
    lines = text.split("\n")
    for problem in problems[:50]:
        said = render(problem, lines)
        assert all(sign == "\n" or sign.isprintable() for sign in said), said
        assert len(said) < 1000
        assert 1 <= problem.place.line <= len(lines)
        assert problem.place.column - 1 <= len(lines[problem.place.line - 1])


def test_no_file_takes_more_memory_than_a_small_machine_has() -> None:
    told = subprocess.run(
        [sys.executable, "-c", _ALL_IN_ONE],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=True,
    )
    before, after = (int(word) // 1024 for word in told.stdout.split())
    assert after - before < 200, f"{after - before} MB"


_ALL_IN_ONE = """
import resource
from runner.procedure.reader import read_bytes
from tests.text.test_hostile_texts import HOSTILE
resource.setrlimit(resource.RLIMIT_CPU, (120, 120))
resource.setrlimit(resource.RLIMIT_AS, (2 << 30, 2 << 30))
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
for data, kind in HOSTILE.values():
    read_bytes(data, "x.yaml")
print(before, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


@pytest.mark.parametrize("loader", LOADERS, ids=["with libyaml", "without"])
@pytest.mark.parametrize(
    ("text", "kind", "line", "column"),
    [
        ("a: b: c\n", "second-colon", 1, 5),
        ("- a: b\n c: d\n", "indent", 2, 2),
        ("a: 'x\n b: c\n", "open-quote", 1, 4),
        ("a: [x, y\nb: c\n", "open-bracket", 1, 4),
        ("a: {b: c\n", "open-bracket", 1, 4),
        ("a: [[x\n", "open-bracket", 1, 5),
        ("a: @x\n", "odd-start", 1, 4),
        ("a: `x\n", "odd-start", 1, 4),
        ("a: , x\n", "odd-start", 1, 4),
        ("a: - b\n", "odd-start", 1, 4),
        ("a: &x y\n", "anchor", 1, 4),
        ("a: * x\n", "anchor", 1, 4),
        ("a: *x\n", "alias", 1, 4),
        ("a: !x y\n", "tag", 1, 4),
        ("a: ! y\n", "tag", 1, 4),
        ("%FOO\n---\na: b\n", "odd-start", 1, 1),
        ('a: "\\q"\n', "escape", 1, 5),
        ('a: "b\\x1b"\n', "escape", 1, 6),
        ('a: "\\ud800"\n', "escape", 1, 5),
        ("a: 'x' y\n", "after-quote", 1, 8),
        ("a: [b]]\n", "open-bracket", 1, 7),
        ("? [a]\n: b\n", "odd-key", 1, 3),
        ("a: |\n x\n", "block-text", 1, 4),
        ("a: |x\n", "block-text", 1, 4),
        ("a: >\n  x\n", "block-text", 1, 4),
        ("--- a\n--- b\n", "second-document", 2, 1),
        ("a: b\n<<: c\n", "merge-key", 2, 1),
        ("a: b\na: c\n", "duplicate-key", 2, 1),
        ("ä: ö #3\n", "cut-by-hash", 1, 6),
    ],
)
def test_a_slip_in_the_yaml_is_told_at_the_same_place_with_and_without_libyaml(
    text: str, kind: str, line: int, column: int, loader: object
) -> None:
    _, problems = read_yaml(text, "x.yaml", loader)
    assert [(one.kind, one.place.line, one.place.column) for one in problems] == [(kind, line, column)]


def test_every_text_stays_what_was_typed() -> None:
    typed = ["12:30", "no", "0.050", "010", "1e-3", "2024-13-45", "~", "null", "0x_", "yes", "=", "1_000"]
    root, problems = read_yaml("".join(f"- {one}\n" for one in typed), "x.yaml")
    assert problems == []
    assert [item.text for item in root.items] == typed  # type: ignore[union-attr]


def test_a_byte_order_mark_is_no_part_of_the_text() -> None:
    assert decode("\ufeffprocedure: a\n".encode(), "x") == ("procedure: a\n", [])


def test_the_place_of_a_foreign_byte_counts_characters() -> None:
    _, problems = decode("é: a\nü: ".encode() + b"\xff", "x")
    assert (problems[0].place.line, problems[0].place.column) == (2, 4)


def test_a_file_with_the_line_ends_of_another_system_reads_the_same() -> None:
    text = "a: b\nc:\n  - d\n"
    assert read_yaml(text, "x") == read_yaml(text.replace("\n", "\r\n"), "x")

"""What README.md and DEVELOPERS.md name is there: files, modules of the map, commands, targets, settings."""

import re
from functools import cache
from pathlib import Path

import pytest
from django.core.management import get_commands

ROOT = Path(__file__).parents[1]
GUIDES = ("README.md", "DEVELOPERS.md")
WRITTEN = (
    ".ci",
    "config",
    "fixtures",
    "ordering",
    "quotes",
    "sizing",
    "templates",
    "tests",
    "locale",
)
# What somebody gives and what an install makes.
MADE = {"FILE.xlsx", "FILE.jsonl", "FILE.csv", "erased.jsonl", "var/erased.jsonl"}


@cache
def files() -> list[Path]:
    below = [path for folder in WRITTEN for path in (ROOT / folder).rglob("*")]
    return [path.relative_to(ROOT) for path in (*ROOT.iterdir(), *below) if path.is_file()]


@cache
def words_of_the_code() -> set[str]:
    code = [path for path in files() if path.suffix in (".py", ".html", ".js", ".toml")]
    return {word for path in code for word in re.findall(r"\w+", (ROOT / path).read_text())}


def read(guide: str) -> str:
    return (ROOT / guide).read_text()


def inline(guide: str) -> list[str]:
    """What stands between single backticks, outside the blocks."""
    return re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", read(guide), flags=re.DOTALL))


@pytest.mark.parametrize("guide", GUIDES)
def test_files(guide):
    """A file is named by its path or the end of it."""
    ends = {"/".join(path.parts[at:]) for path in files() for at in range(len(path.parts))}
    named = set(
        re.findall(r"[\w./-]*\w\.(?:py|js|css|html|xlsx|jsonl|csv|gz|toml|md|png)\b", read(guide))
    )
    assert sorted(named - ends - MADE) == []


@pytest.mark.parametrize("guide", GUIDES)
def test_folders(guide):
    """What begins like a path of the code is one, or the beginning of some."""
    named = re.findall(
        r"(?<![\w/.-])((?:sizing|quotes|ordering|config|templates|tests)/[\w/]*\w)", read(guide)
    )
    there = [str(path) for path in files()]
    assert [one for one in named if not any(path.startswith(one) for path in there)] == []


def test_modules_of_the_map():
    """Each name in the table of the apps is a module or a folder of its app."""
    rows = re.findall(
        r"^\| (sizing|quotes|ordering) \| (.+) \|$", read("DEVELOPERS.md"), re.MULTILINE
    )
    missing = [
        f"{app}/{name}"
        for app, names in rows
        for name in re.split(r" \| |, ", names)
        if not any((ROOT / app / f"{name.strip('/')}{end}").exists() for end in ("", ".py"))
    ]
    assert (len(rows), missing) == (3, [])


@pytest.mark.parametrize("guide", GUIDES)
def test_names_in_the_code(guide):
    """A name with an underline, a dot or a capital inside, between backticks, is one of the code's."""
    names = {
        word
        for text in inline(guide)
        if re.fullmatch(r"[\w./()]+", text)
        for word in re.findall(r"[A-Za-z]\w+", text)
    }
    assert len(names) > 3
    assert (
        sorted(name for name in names if name not in words_of_the_code() and not is_a_path(name))
        == []
    )


def is_a_path(name: str) -> bool:
    return any(name in path.parts or name == path.stem for path in files())


@pytest.mark.parametrize("guide", GUIDES)
def test_commands(guide):
    """Whatever stands behind manage.py, make and python -m can be called."""
    text = read(guide)
    makefile = read("Makefile")
    # In the README's own list each line begins with its commands.
    listed = re.search(r"Each begins with `.*?```\n(.*?)```", text, re.DOTALL)
    names = re.findall(r"(?:`|python )manage\.py ([a-z_]+)", text) + (
        re.findall(r"(?:^|, )([a-z_]+)(?= FILE|,| -|  )", listed[1], re.MULTILINE) if listed else []
    )
    targets = re.findall(r"(?:`|^)make ([a-z]+)", text, re.MULTILINE)
    modules = re.findall(r"-m ((?:tests|config)\.[\w.]+)", text)
    assert [name for name in names if name not in get_commands()] == []
    assert [one for one in targets if not re.search(rf"^{one}:", makefile, re.MULTILINE)] == []
    assert [one for one in modules if not (ROOT / f"{one.replace('.', '/')}.py").exists()] == []


@pytest.mark.parametrize("guide", GUIDES)
def test_settings(guide):
    """What is given in the environment is read somewhere."""
    named = set(re.findall(r"\b([A-Z][A-Z_]{3,})=", read(guide)))
    assert sorted(named - words_of_the_code()) == []

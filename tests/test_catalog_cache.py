"""The cache makes loading faster and never changes what is loaded."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest
from fitwright.catalogs import CatalogError, load
from fitwright.catalogs.cache import _head  # the one thing a forger would need
from fitwright.catalogs.codec import BROKEN, decode, encode
from fitwright.catalogs.compiled import Compiled
from fitwright.catalogs.compiler import compile_catalogs
from hypothesis import given
from hypothesis import strategies as st

from catalogs import SAMPLE, write_catalog


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_catalog(tmp_path / "test", SAMPLE)


@pytest.fixture(autouse=True)
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Put the cache into a folder of the test's own, and return that folder."""
    monkeypatch.setattr("platformdirs.user_cache_dir", lambda name: str(tmp_path / "cache" / name))
    return tmp_path / "cache" / "fitwright"


def plain(value: Any) -> Any:
    """Return everything that a value holds, so that two of them can be compared."""
    if is_dataclass(value) and not isinstance(value, type):
        return type(value).__name__, [plain(getattr(value, field.name)) for field in fields(value)]
    if isinstance(value, Mapping):
        return [(key, plain(item)) for key, item in value.items()]
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    return value


def forbid_compiling(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(files: object) -> None:
        raise NotImplementedError("compiled again")

    monkeypatch.setattr("fitwright.catalogs.compiler.compile_catalogs", refuse)


def test_second_load_equals_the_first_and_compiles_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = load(folder, bundled=False)
    forbid_compiling(monkeypatch)
    assert plain(load(folder, bundled=False)) == plain(first)


def test_without_cache_nothing_is_kept(folder: Path, kept: Path) -> None:
    load(folder, bundled=False, cache=False)
    assert not kept.exists()


def test_changed_file_is_read_again(folder: Path) -> None:
    load(folder, bundled=False)
    (folder / "a.yaml").write_text(SAMPLE.replace("title: old rim device", "title: older rim device"))
    assert load(folder, bundled=False).parts["OAK-D1"].title == "older rim device"


def test_renamed_file_is_read_again(folder: Path) -> None:
    load(folder, bundled=False)
    (folder / "a.yaml").rename(folder / "b.yaml")
    source = load(folder, bundled=False).parts["OAK-D1"].source
    assert source is not None
    assert source.file == "test/b.yaml"


def test_faulty_catalog_is_not_kept(folder: Path, kept: Path) -> None:
    (folder / "a.yaml").write_text(SAMPLE.replace("unit: in", "unit: cm"))
    with pytest.raises(CatalogError):
        load(folder, bundled=False)
    assert not kept.exists()


@pytest.mark.parametrize(
    "content",
    [b"", b"\xff\xfe", b"fitwright-compiled 1\n{}", b"[]", b"\x00" * 100, b"GIF89a", b'{"a": 1}\n{"b": 2}'],
)
def test_foreign_content_is_compiled_anew(folder: Path, kept: Path, content: bytes) -> None:
    first = load(folder, bundled=False)
    (file,) = kept.iterdir()
    whole = file.read_bytes()
    file.write_bytes(content)
    assert plain(load(folder, bundled=False)) == plain(first)
    assert file.read_bytes() == whole


@pytest.mark.parametrize("share", [0.1, 0.5, 0.99])
def test_content_cut_short_is_compiled_anew(folder: Path, kept: Path, share: float) -> None:
    first = load(folder, bundled=False)
    (file,) = kept.iterdir()
    whole = file.read_bytes()
    file.write_bytes(whole[: int(len(whole) * share)])
    assert plain(load(folder, bundled=False)) == plain(first)
    assert file.read_bytes() == whole


@pytest.mark.parametrize("body", ["{}", "[]", "null", "3", "[[],[],[],[],[],[],[]]", '"x"', "[" * 5000, "9" * 5000])
def test_forged_content_is_compiled_anew(folder: Path, kept: Path, body: str) -> None:
    first = load(folder, bundled=False)
    (file,) = kept.iterdir()
    file.write_text(f"{_head(body)}\n{body}")
    assert plain(load(folder, bundled=False)) == plain(first)


def test_folder_instead_of_a_kept_file_is_gone_round(folder: Path, kept: Path) -> None:
    first = load(folder, bundled=False)
    (file,) = kept.iterdir()
    file.unlink()
    file.mkdir()
    assert plain(load(folder, bundled=False)) == plain(first)
    assert [path.name for path in kept.iterdir()] == [file.name]


def test_unwritable_cache_is_gone_without(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setattr("platformdirs.user_cache_dir", lambda name: str(tmp_path / "file" / name))
    assert load(folder, bundled=False).parts


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="needs a user whom permissions bind")
def test_read_only_cache_is_gone_without(folder: Path, kept: Path) -> None:
    kept.mkdir(parents=True)
    kept.chmod(0o500)
    assert load(folder, bundled=False).parts
    assert list(kept.iterdir()) == []


def test_missing_home_is_gone_without(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def homeless(name: str) -> str:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr("platformdirs.user_cache_dir", homeless)
    assert load(folder, bundled=False).parts


def test_cache_keeps_the_newest_twenty(folder: Path, kept: Path) -> None:
    for number in range(25):
        (folder / "a.yaml").write_text(f"{SAMPLE}# {number}\n")
        load(folder, bundled=False)
        newest = max(kept.iterdir(), key=lambda path: path.stat().st_mtime_ns)
        os.utime(newest, (number, number))
    assert len(list(kept.iterdir())) <= 20
    assert all(path.name.endswith(".catalog.json") for path in kept.iterdir())


COMPILED = compile_catalogs([("test/a.yaml", SAMPLE.encode())])
ENCODED = json.dumps(encode(COMPILED, Compiled))


def test_compiled_form_survives_json() -> None:
    assert plain(decode(Compiled, json.loads(ENCODED))) == plain(COMPILED)


@given(
    st.integers(0, len(ENCODED) - 1), st.integers(0, 5), st.sampled_from(["", "[", "]", "{}", "1", '"x"', "null", ","])
)
def test_damaged_form_is_refused_in_a_known_way(place: int, lost: int, put: str) -> None:
    with suppress(*BROKEN):
        decode(Compiled, json.loads(ENCODED[:place] + put + ENCODED[place + lost :])).catalog()


def test_warm_load_does_without_the_yaml_parser_and_pint(folder: Path, tmp_path: Path) -> None:
    program = (
        "import sys; from fitwright.catalogs import load; load(sys.argv[1], bundled=False);"
        "print(sorted({'yaml', 'pint', 'prompt_toolkit'} & set(sys.modules)))"
    )
    homes = {name: str(tmp_path / "home") for name in ("HOME", "XDG_CACHE_HOME", "LOCALAPPDATA")}
    said = [
        subprocess.run(
            [sys.executable, "-c", program, str(folder)],
            env={**os.environ, **homes},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for _ in range(2)
    ]
    assert said == ["['yaml']", "[]"]

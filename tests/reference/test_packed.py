"""Archives by Python's zipfile and workbooks by openpyxl measure as the plain files do."""

import csv
import json
import pathlib
import zipfile

import openpyxl
import pytest

SAMPLES = pathlib.Path(__file__).resolve().parent.parent.parent / "samples"
RIG = SAMPLES / "harbour-range.rig.json"
NAMES = ["harbour-range-before-1.csv", "harbour-range-before-2.csv"]


def fill(sheet, name):
    """A table cell by cell, its numbers as numbers."""
    with open(SAMPLES / name, newline="", encoding="utf-8") as file:
        for line in csv.reader(file):
            sheet.append([number(cell) for cell in line])


def number(cell):
    try:
        return float(cell)
    except ValueError:
        return cell or None


def same(measured, plain):
    """Everything but the names."""
    apart = {"file", "path", "notes"}
    assert {k: v for k, v in measured.items() if k not in apart} == {
        k: v for k, v in plain.items() if k not in apart
    }
    assert [n["code"] for n in measured["notes"]] == [n["code"] for n in plain["notes"]]


@pytest.fixture(scope="module")
def plain(footing):
    return [footing.measure_one(SAMPLES / name, "--rig", RIG) for name in NAMES]


@pytest.mark.parametrize("write_only", [False, True])
def test_each_sheet_measures_as_its_table(footing, plain, tmp_path, write_only):
    book = openpyxl.Workbook(write_only=write_only)
    if write_only:
        book.create_sheet("Cover").append(["Two swings"])
    else:
        book.active.append(["Two swings"])
    for number_of, name in enumerate(NAMES, 1):
        fill(book.create_sheet(f"Swing {number_of}"), name)
    path = tmp_path / "swings.xlsx"
    book.save(path)
    document = footing.json("measure", path, "--rig", RIG)
    assert [r["file"] for r in document["recordings"]] == [
        "swings.xlsx: Swing 1",
        "swings.xlsx: Swing 2",
    ]
    for measured, one in zip(document["recordings"], plain, strict=True):
        same(measured, one)


@pytest.mark.parametrize("method", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
@pytest.mark.parametrize("force_zip64", [False, True])
def test_an_archive_measures_as_what_is_in_it(footing, plain, tmp_path, method, force_zip64):
    path = tmp_path / "swings.zip"
    with zipfile.ZipFile(path, "w", method) as archive:
        for name in reversed([*NAMES, RIG.name]):
            with archive.open(f"Übung/{name}", "w", force_zip64=force_zip64) as member:
                member.write((SAMPLES / name).read_bytes())
        archive.writestr("read me.txt", "Two swings.")
    done = footing.run("measure", path, "--json")
    assert done.returncode == 0
    assert done.stderr == "swings.zip: left out 1 file that is no recording (read me.txt)\n"
    recordings = json.loads(done.stdout)["recordings"]
    assert [r["file"] for r in recordings] == [f"swings.zip/Übung/{name}" for name in NAMES]
    for measured, one in zip(recordings, plain, strict=True):
        same(measured, one)


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_another_packing_is_one_sentence(footing, tmp_path, method):
    path = tmp_path / "odd.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.write(SAMPLES / NAMES[0], "odd.csv", method)
        archive.write(SAMPLES / NAMES[1], "usual.csv", zipfile.ZIP_DEFLATED)
    done = footing.run("measure", path, "--rig", RIG, "--json")
    assert done.returncode == 1
    assert done.stderr.startswith(f"{path}/odd.csv: it is packed in an unusual way; expected ")
    assert [r["file"] for r in json.loads(done.stdout)["recordings"]] == ["odd.zip/usual.csv"]

"""The signed sheet stays a file for an archive, and holds its record and documents."""

import hashlib

import pytest
import rfc8785
from pikepdf import Name
from test_archive import broken, objects, without_typeface
from test_signed_sheets import signed  # noqa: F401

from harness import archive, tags
from harness.pdf import detached
from harness.signing import Signer, judged, posted


@pytest.fixture(scope="module")
def accepted(shop) -> bytes:
    job, _ = judged(shop, posted("generator-3cyl-6v", "ACCEPTED"))
    return Signer(shop).sheet(job, "released")[1]


def test_the_files_for_an_archive_stay_so(signed, pdf, tmp_path):  # noqa: F811
    """PDFBox Preflight, pdf-oxide, qpdf, and our own look through pikepdf."""
    sheet = signed[-1]
    whole = archive.as_part_1(sheet)
    assert b"/ByteRange" in whole
    assert archive.preflight(whole, tmp_path / "part-1.pdf") == []
    assert archive.oxide(sheet, tmp_path / "sheet.pdf") == []
    assert archive.faults(sheet) == []
    pdf(sheet).check()


def test_preflight_sees_the_annotation_and_the_rest(accepted, tmp_path):
    """ISO 19005-1, 6.5.3: an annotation that is not printed is none for an archive."""
    whole = archive.as_part_1(accepted)
    assert whole.count(b"/F 132") == 1
    assert archive.preflight(whole, tmp_path / "whole.pdf") == []
    assert archive.preflight(whole.replace(b"/F 132", b"/F 130"), tmp_path / "hidden.pdf")
    assert archive.preflight(broken(whole, without_typeface), tmp_path / "broken.pdf")


def test_everything_has_its_place_in_the_structure(signed):  # noqa: F811
    """Read through pikepdf: ISO 32000-1, 14.7."""
    assert tags.faults(signed[-1]) == []


def field_of(pdf):
    return pdf.Root.AcroForm.Fields[0]


def no_form(pdf):
    objects(pdf, "/S", Name.Form)[0].S = Name.P


def other_parent(pdf):
    field_of(pdf).StructParent = 0


def no_parent(pdf):
    del field_of(pdf)["/StructParent"]


def no_words(pdf):
    del field_of(pdf)["/TU"]


def no_annotation(pdf):
    del pdf.pages[0].obj["/Annots"]


@pytest.mark.parametrize("change", [no_form, other_parent, no_parent, no_words, no_annotation])
def test_a_field_out_of_its_place_in_the_structure_is_found(accepted, change):
    assert tags.faults(broken(accepted, lambda pdf: None)) == []
    assert tags.faults(broken(accepted, change))


def test_it_holds_its_record_and_documents_byte_for_byte(shop, signed, tmp_path):  # noqa: F811
    _, job, answer, sheet = signed
    found = detached(sheet, tmp_path / "out")
    names = ["evaluation", "measurement-set", "rework-plan", "sign-off", "target-profile"]
    assert sorted(found) == [f"{name}.json" for name in names]
    assert found["sign-off.json"] == rfc8785.dumps(answer["sign_off"])
    assert hashlib.sha256(found["sign-off.json"]).hexdigest() == answer["digest"]
    assert hashlib.sha256(found["evaluation.json"]).hexdigest() == answer["sign_off"]["evaluation_digest"]
    unsigned = detached(shop.fetch(job["links"]["sheet"]), tmp_path / "unsigned")
    assert unsigned == {name: found[name] for name in found if name != "sign-off.json"}

"""The signed sheet as others see it: valid and trusted to pdfsig and pyHanko, and its pages say what was signed."""

import hashlib
import io
import re
from datetime import UTC, datetime

import pikepdf
import pytest
from test_worksheets import PAPERS, code_on

from harness.shop import Shop
from harness.signatures import Poppler, certificates, hanko, parts
from harness.signing import Signer, concessions, judged, posted

ODD = "Ǆürgen Þorsteinsson-Œuvré 龍 Ωμέγα Щербаков Ṩ𝄞 (†) \\ <&> ‘x’"
KINDS = {
    "accepted": ("generator-3cyl-6v", "en", "a4", "Frida Fräser"),
    "conceded": ("irrigation-pump-16v", "de", "letter", "Otto Öl"),
    "rejected": ("cold-store-8v", "en", "letter", "Mia May"),
    "odd": ("generator-3cyl-6v", "de", "a4", ODD),
}


@pytest.fixture(scope="module")
def authority(shop) -> bytes:
    return shop.fetch("/v1/certificates")


@pytest.fixture(scope="module")
def poppler(authority, tmp_path_factory):
    return Poppler(tmp_path_factory.mktemp("poppler") / "nss", authority)


@pytest.fixture(scope="module", params=KINDS)
def signed(request, shop):
    """Each demo head with what came of its sign-off, and its signed sheet."""
    head, language, paper, name = KINDS[request.param]
    assert len(name) <= 64
    document = posted(head, f"SHEET-{request.param}", sheet={"language": language, "paper": paper}, workshop={})
    job, evaluation = judged(shop, document)
    meaning = {"accept": "released", "rework": "concession", "reject": "inspected"}[evaluation["disposition"]]
    more = {"concessions": concessions(evaluation, "weil <so> & nicht anders")} if meaning == "concession" else {}
    answer, sheet = Signer(shop, name, "Prüfer/in 1").sheet(job, meaning, note="Ωhne Befund", **more)
    return request.param, shop.done(job), answer, sheet


def test_pdfsig_finds_it_valid_whole_and_by_somebody_the_shop_vouches_for(signed, poppler):
    """poppler and NSS."""
    _, _, answer, sheet = signed
    said = poppler.says(sheet)
    wanted = ["Signature is Valid.", "Certificate is Trusted.", "Total document signed", "ETSI.CAdES.detached"]
    for words in wanted:
        assert words in said, said
    name = answer["sign_off"]["signer"]["name"].replace("\\", "\\\\")
    assert f"Signer Certificate Common Name: {name}\n" in said, "NSS doubles a backslash"
    assert "SHA-256" in said and said.count("Signature #") == 1


def test_pdfsig_trusts_nobody_it_was_not_told_to_trust(signed, tmp_path):
    said = Poppler(tmp_path / "nss").says(signed[-1])
    assert "Signature is Valid." in said and "Certificate is Trusted." not in said


def test_pyhanko_finds_it_valid_whole_and_trusted_and_pades(signed, authority):
    """pyHanko: signature, path to the shop's certificate, and basic validation of ETSI EN 319 102-1."""
    _, _, answer, sheet = signed
    seen = hanko(sheet, authority)
    assert seen.is_whole and seen.trusted and seen.status.bottom_line
    assert seen.ades == "AdESPassed.OK"
    signer = answer["sign_off"]["signer"]
    certificate = seen.status.signing_cert
    assert hashlib.sha256(certificate.dump()).hexdigest() == signer["certificate"]
    assert certificate.subject.native["common_name"] == signer["name"]
    assert certificate.key_usage_value.native >= {"digital_signature", "non_repudiation"}
    assert hashlib.sha256(certificates(authority)[0].dump()).hexdigest() == signer["authority"]


def test_the_field_says_who_and_when(signed):
    """ISO 32000-1, 12.8.1, table 252; its time is that of the record to the second, as PDF has no parts of it."""
    record, sheet = signed[2]["sign_off"], signed[3]
    with pikepdf.open(io.BytesIO(sheet)) as pdf:
        (field,) = pdf.Root.AcroForm.Fields
        assert str(field.V.Name) == record["signer"]["name"]
        said = datetime.strptime(str(field.V.M), "D:%Y%m%d%H%M%S+00'00'").replace(tzinfo=UTC)
    assert said == datetime.fromisoformat(record["signed_at"]).replace(microsecond=0)
    begin, end, rest = parts(sheet)
    assert end + rest == len(sheet) and sheet[begin : begin + 1] + sheet[end - 1 : end] == b"<>"


MEANINGS = {
    "accepted": ("RELEASED", "Signed by"),
    "conceded": ("SONDERFREIGABE", "Unterschrieben von"),
    "rejected": ("INSPECTED ONLY – NOT RELEASED", "Signed by"),
    "odd": ("FREIGEGEBEN", "Unterschrieben von"),
}


def solid(text: str) -> str:
    return re.sub(r"[\s\u00ad]+", "", text)


def test_its_pages_say_what_was_signed(shop, signed, pdf):
    kind, job, answer, sheet = signed
    record = answer["sign_off"]
    whole = pdf(sheet)
    front, text = solid(whole.text(1)), solid(whole.raw())
    for words in (*MEANINGS[kind], answer["code"], record["signer"]["role"]):
        assert solid(words) in front, words
    wanted = [answer["digest"], record["evaluation_digest"], record["note"], record["shop"]]
    wanted += [record["signer"]["certificate"], record["signer"]["authority"], record["checkpoint"]["head"]]
    wanted += [one[name] for one in record.get("concessions", []) for name in ("reason",)]
    for words in wanted:
        assert solid(words) in text, words
    if kind != "odd":
        assert solid(record["signer"]["name"]) in front
    moment = datetime.fromisoformat(record["signed_at"])
    assert moment.strftime("%H:%M:%S") in front and str(moment.year) in front
    for words in ("Not signed", "Nicht unterschrieben"):
        assert solid(words) not in text, words
    unsigned = solid(pdf(shop.fetch(job["links"]["sheet"])).raw())
    assert solid({"en": "Not signed", "de": "Nicht unterschrieben"}[KINDS[kind][1]]) in unsigned
    assert whole.size() == pytest.approx(PAPERS[KINDS[kind][2]], abs=0.01)


def test_a_camera_reads_the_code(signed, pdf):
    """zxing-cpp."""
    assert [text for _, text in code_on(1, pdf(signed[-1]))] == [signed[2]["code"]]


def test_a_camera_reads_the_address_where_the_service_has_one(start, pdf):
    program = start(api_public_url="https://heads.example/shop/")
    with Shop(program.address) as shop:
        job, _ = judged(shop, posted("generator-3cyl-6v", "ADDRESS"))
        answer, sheet = Signer(shop).sheet(job, "released")
    assert [text for _, text in code_on(1, pdf(sheet))] == [f"https://heads.example/shop/v1/sign-offs/{answer['code']}"]

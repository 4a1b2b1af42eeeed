//! Vectors of RFC 8785.

use headproof_seal::canonical;
use serde_json::Value;

#[track_caller]
fn check(input: &str, expected: &str) {
    let value: Value = serde_json::from_str(input).expect("JSON");
    let written = canonical(&value).expect("a canonical form");
    assert_eq!(String::from_utf8(written).expect("UTF-8"), expected);
}

/// RFC 8785, appendix B, without those that are no numbers (from public copies of the table).
#[test]
fn numbers_are_written_as_in_the_standard() {
    for (bits, expected) in [
        (0x0000_0000_0000_0000, "0"),
        (0x8000_0000_0000_0000, "0"),
        (0x0000_0000_0000_0001, "5e-324"),
        (0x8000_0000_0000_0001, "-5e-324"),
        (0x7fef_ffff_ffff_ffff, "1.7976931348623157e+308"),
        (0xffef_ffff_ffff_ffff, "-1.7976931348623157e+308"),
        (0x4340_0000_0000_0000, "9007199254740992"),
        (0xc340_0000_0000_0000, "-9007199254740992"),
        (0x4430_0000_0000_0000, "295147905179352830000"),
        (0x44b5_2d02_c7e1_4af5, "9.999999999999997e+22"),
        (0x44b5_2d02_c7e1_4af6, "1e+23"),
        (0x44b5_2d02_c7e1_4af7, "1.0000000000000001e+23"),
        (0x444b_1ae4_d6e2_ef4e, "999999999999999700000"),
        (0x444b_1ae4_d6e2_ef4f, "999999999999999900000"),
        (0x444b_1ae4_d6e2_ef50, "1e+21"),
        (0x3eb0_c6f7_a0b5_ed8c, "9.999999999999997e-7"),
        (0x3eb0_c6f7_a0b5_ed8d, "0.000001"),
        (0x41b3_de43_5555_5553, "333333333.3333332"),
        (0x41b3_de43_5555_5554, "333333333.33333325"),
        (0x41b3_de43_5555_5555, "333333333.3333333"),
        (0x41b3_de43_5555_5556, "333333333.3333334"),
        (0x41b3_de43_5555_5557, "333333333.33333343"),
        (0xbecb_f647_612f_3696, "-0.0000033333333333333333"),
        (0x4314_3ff3_c1cb_0959, "1424953923781206.2"),
    ] {
        let written = String::from_utf8(canonical(&f64::from_bits(bits)).unwrap()).unwrap();
        assert_eq!(written, expected, "{bits:016x}");
    }
}

/// RFC 8785, 3.2.2.3: what is no number of JSON is an error.
#[test]
fn what_is_no_number_has_no_canonical_form() {
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(canonical(&number).is_err(), "{number}");
    }
}

/// RFC 8785, 3.2.3: names are in the order of their UTF-16 code units.
#[test]
fn names_are_in_the_order_of_the_standard() {
    check(
        r#"{"\u20ac":"Euro Sign","\r":"Carriage Return","\ufb33":"Hebrew Letter Dalet With Dagesh","1":"One",
            "\ud83d\ude00":"Emoji: Grinning Face","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis"}"#,
        "{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\u{80}\":\"Control\",\
         \"ö\":\"Latin Small Letter O With Diaeresis\",\"€\":\"Euro Sign\",\
         \"😀\":\"Emoji: Grinning Face\",\"\u{fb33}\":\"Hebrew Letter Dalet With Dagesh\"}",
    );
}

/// The pairs in `testdata` of github.com/cyberphone/json-canonicalization, by the author of RFC 8785; of
/// `arrays` only what goes in was at hand, and what comes out is by the standard.
#[test]
fn documents_of_the_author_of_the_standard_come_out_as_his() {
    check(
        "[\n  56,\n  {\n    \"d\": true,\n    \"10\": null,\n    \"1\": [ ]\n  }\n]",
        r#"[56,{"1":[],"10":null,"d":true}]"#,
    );
    check(
        r#"{"peach": "This sorting order", "péché": "is wrong according to French",
            "pêche": "but canonicalization MUST", "sin":   "ingnore locale"}"#,
        "{\"peach\":\"This sorting order\",\"péché\":\"is wrong according to French\",\
         \"pêche\":\"but canonicalization MUST\",\"sin\":\"ingnore locale\"}",
    );
    check(
        r#"{"1": {"f": {"f": "hi","F": 5} ,"\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [ { } ], "A": { }}"#,
        r#"{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{}],"A":{},"a":{}}"#,
    );
    check(r#"{"Unnormalized Unicode":"\u1e0d\u0307"}"#, "{\"Unnormalized Unicode\":\"\u{1e0d}\u{307}\"}");
    check(
        r#"{"numbers": [1E30, 4.50, 333333333.33333329, 2e-3, 0.000000000000000000000000001],
            "escaping": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}"#,
        r#"{"escaping":"€$\u000f\nA'B\"\\\\\"/","literals":[null,true,false],"numbers":[1e+30,4.5,333333333.3333333,0.002,1e-27]}"#,
    );
    check(
        r#"{"\u20ac": "Euro Sign", "1": "One", "\u0080": "Control\u007f", "\ud83d\ude02": "Smiley",
            "\u00f6": "Latin Small Letter O With Diaeresis", "\ufb33": "Hebrew Letter Dalet With Dagesh",
            "</script>": "Browser Challenge"}"#,
        "{\"1\":\"One\",\"</script>\":\"Browser Challenge\",\"\u{80}\":\"Control\u{7f}\",\
         \"ö\":\"Latin Small Letter O With Diaeresis\",\"€\":\"Euro Sign\",\"😂\":\"Smiley\",\
         \"\u{fb33}\":\"Hebrew Letter Dalet With Dagesh\"}",
    );
}

//! Profiles that are of the wrong form or make no sense.

use serde_json::{Value, json};

use super::{Case, changed, expect, faults_of_profile, profile};

#[test]
fn faults_of_form_and_content_in_a_profile() {
    let cases: &[Case<'_>] = &[
        (
            "a characteristic that nobody judges",
            &[("/limits/0/characteristic", json!("seat-angel"))],
            &[("/limits/0/characteristic", "not a characteristic this service judges")],
        ),
        ("limits that cross", &[("/limits/0/lower", json!(46))], &[("/limits/0", "lower limit lies above")]),
        (
            "the same limit again, with and without its service",
            &[
                (
                    "/limits/-",
                    json!({ "characteristic": "seat-runout", "service": "intake", "use": "build",
                    "upper": 0.06, "if_outside": "rework", "source": "invented for the demo" }),
                ),
                (
                    "/limits/-",
                    json!({ "characteristic": "crack-test", "use": "build",
                    "if_outside": "reject", "source": "invented for the demo" }),
                ),
            ],
            &[
                ("/limits/29", "another limit already applies"),
                ("/limits/30", "another limit already applies"),
            ],
        ),
        (
            "no bound, a bound on what has none, a nominal outside, a service without a port",
            &[
                ("/limits/5/upper", Value::Null),
                ("/limits/28/upper", json!(1)),
                ("/limits/0/nominal", json!(47)),
                ("/limits/25/service", json!("intake")),
            ],
            &[
                ("/limits/0", "nominal lies outside"),
                ("/limits/25", "only a characteristic of a port"),
                ("/limits/28", "takes no bounds"),
                ("/limits/5", "lower or an upper bound"),
            ],
        ),
        (
            "probabilities that prove nothing",
            &[("/decision_rule", json!({ "rule": "guarded", "conformance_probability": 1.0 }))],
            &[("/decision_rule/conformance_probability", "less than 1")],
        ),
        (
            "a name that cannot stand in an address",
            &[("/id", json!("demo iron")), ("/revision", json!(""))],
            &[("/id", "letters, digits"), ("/revision", "letters, digits")],
        ),
        (
            "a name that means another place in an address (RFC 3986, clause 5.2.4)",
            &[("/id", json!("..")), ("/revision", json!("."))],
            &[("/id", "a letter or digit first"), ("/revision", "a letter or digit first")],
        ),
        (
            "a name that begins with a sign",
            &[("/id", json!("-iron")), ("/revision", json!("_1"))],
            &[("/id", "a letter or digit first"), ("/revision", "a letter or digit first")],
        ),
        (
            "a limit that may be any: nothing is said of the others",
            &[("/limits/1/use", json!("waer")), ("/limits/2/lower", json!("0.1"))],
            &[("/limits/1/use", "is none of"), ("/limits/2/lower", "number")],
        ),
        (
            "the same with its characteristic and its service",
            &[("/limits/0/characteristic", json!(null)), ("/limits/1/service", json!("outlet"))],
            &[("/limits/0/characteristic", "missing"), ("/limits/1/service", "none of")],
        ),
        (
            "a document's own name has no neighbours: the rest is looked at",
            &[("/id", json!(7)), ("/limits/0/lower", json!(46))],
            &[("/id", "string"), ("/limits/0", "lower limit lies above")],
        ),
        (
            "a source left out",
            &[("/limits/2/source", Value::Null)],
            &[("/limits/2/source", "required and missing")],
        ),
        (
            "sources that say nothing",
            &[("/limits/1/source", json!(" ")), ("/limits/2/source", json!(""))],
            &[("/limits/1/source", "names its source"), ("/limits/2/source", "names its source")],
        ),
        ("no limits", &[("/limits", json!([]))], &[("/limits", "at least one limit")]),
        (
            "a rule with a field it does not have",
            &[("/decision_rule", json!({ "rule": "simple", "conformance_probability": 0.95 }))],
            &[("/decision_rule/conformance_probability", "not a field")],
        ),
        (
            "a typing error in the rule",
            &[("/decision_rule", json!({ "rule": "guarded", "conformance_probabilty": 0.95 }))],
            &[
                ("/decision_rule/conformance_probability", "required and missing"),
                ("/decision_rule/conformance_probabilty", "not a field"),
            ],
        ),
        (
            "a rule that does not exist",
            &[("/decision_rule", json!({ "rule": "generous" }))],
            &[("/decision_rule", "none of the forms")],
        ),
    ];
    for (name, changes, expected) in cases {
        expect(name, faults_of_profile(&changed(profile(), changes)), expected);
    }
}

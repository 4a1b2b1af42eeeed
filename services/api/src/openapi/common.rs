//! What operations have in common: their names, who may ask, conditions, keys of repeated requests, and the problems that any
//! of them may answer with.

use serde_json::{Value, json};

/// The parts that are answered to anybody.
const FOR_ALL: [&str; 2] = ["Descriptions", "Operation"];
/// What is made once for each Idempotency-Key.
const MADE_ONCE: [&str; 7] = [
    "/v1/jobs",
    "/v1/batches",
    "/v1/jobs/{id}/sign-offs",
    "/v1/people",
    "/v1/keys",
    "/v1/profiles",
    "/v1/webhooks",
];
/// Printable ASCII, by itself or in quotes (RFC 9651, 3.3.3).
const KEY: &str = r#"^(?:[!#-~](?:[ -~]*[!-~])?|"(?:[ !#-\[\]-~]|\\["\\])+")$"#;

/// Adds it to a description.
pub(super) fn say_what_is_common(document: &mut Value) {
    name_operations(document);
    say_what_may_be_asked(document);
    say_what_is_asked(document);
}

/// An operation is named by its method and path: `get-v1-jobs-id-sheet`.
fn name_operations(document: &mut Value) {
    let paths = document["paths"].as_object_mut().into_iter().flatten();
    for (path, operations) in paths {
        let words: Vec<&str> = path.split(['/', '{', '}', '.']).filter(|word| !word.is_empty()).collect();
        for (method, operation) in operations.as_object_mut().into_iter().flatten() {
            operation["operationId"] = format!("{method}-{}", words.join("-")).into();
        }
    }
}

/// Which operations ask for a key, and what they answer where there is none that is good.
fn say_what_is_asked(document: &mut Value) {
    document["components"]["securitySchemes"] = json!({ "key": {
        "type": "http",
        "scheme": "bearer",
        "description": "A key of the service (hp_…), or a token of the shop's own identity provider where there is one.",
    } });
    document["security"] = json!([{ "key": [] }]);
    let paths = document["paths"].as_object_mut().into_iter().flatten();
    for (path, operations) in paths {
        for (method, operation) in operations.as_object_mut().into_iter().flatten() {
            if operation["tags"][0].as_str().is_some_and(|tag| FOR_ALL.contains(&tag)) {
                operation["security"] = json!([]);
                continue;
            }
            if method == "post" && MADE_ONCE.contains(&path.as_str()) {
                say_that_it_is_made_once(operation);
            }
            if operation.get("requestBody").is_some() {
                refuse(operation, "400", "Not what the media type says, or a header that makes no sense");
                refuse(operation, "413", "Too large");
                refuse(operation, "415", "Of another media type");
            }
            refuse(operation, "401", "Who asks is not known");
            refuse(operation, "403", "The key does not have the scope");
            refuse(operation, "429", "Too many requests, or too many tried to be known from there");
            refuse(operation, "503", "It cannot be done now");
            say_when_to_come_again(operation);
        }
    }
}

/// That the same key with the same body makes one thing.
fn say_that_it_is_made_once(operation: &mut Value) {
    let words = "The same key with the same body makes one, however often it is sent; remembered for 72 hours \
                 (IETF draft-ietf-httpapi-idempotency-key-header)";
    may_have(
        operation,
        "Idempotency-Key",
        words,
        json!({ "type": "string", "maxLength": 255, "pattern": KEY }),
    );
    refuse(operation, "400", "Not what the media type says, or a header that makes no sense");
    refuse(operation, "422", "Every fault of the document; or the key came with another request");
}

/// One more header that a request may have.
fn may_have(operation: &mut Value, name: &str, words: &str, schema: Value) {
    let header = json!({
        "name": name, "in": "header", "required": false, "description": words, "schema": schema,
    });
    match operation.get_mut("parameters").and_then(Value::as_array_mut) {
        Some(parameters) => parameters.push(header),
        None => operation["parameters"] = json!([header]),
    }
}

/// What every answer to a known caller says of their quota, and what is answered to whoever posts too much at once.
fn say_when_to_come_again(operation: &mut Value) {
    let field = |description| json!({ "description": description, "schema": { "type": "string" } });
    for (status, response) in operation["responses"].as_object_mut().into_iter().flatten() {
        let Some(response) = response.as_object_mut() else { continue };
        let mut headers = response.remove("headers").unwrap_or_else(|| json!({}));
        if status.starts_with('2') || status == "429" {
            headers["RateLimit"] = field("What is left, and for how many seconds: \"default\";r=11999;t=60");
            headers["RateLimit-Policy"] = field("The quota, and its seconds: \"default\";q=12000;w=60");
        }
        if matches!(status.as_str(), "429" | "503") {
            headers["Retry-After"] = json!({ "description": "Seconds", "schema": { "type": "integer" } });
        }
        if headers != json!({}) {
            response.insert("headers".to_owned(), headers);
        }
    }
}

/// What has a tag can be asked for under a condition, and by its media type.
fn say_what_may_be_asked(document: &mut Value) {
    let paths = document["paths"].as_object_mut().into_iter().flatten();
    for (_, operations) in paths {
        let read = operations.get_mut("get");
        if let Some(operation) = read.filter(|read| !read["responses"]["200"]["headers"]["ETag"].is_null()) {
            if operation["responses"].get("304").is_none() {
                operation["responses"]["304"] = json!({ "description": "What you have" });
            }
            let (has, wants) =
                ("Tags of what the client has: 304 when", "Tags of what the client wants: 412 when");
            may_have(
                operation,
                "If-None-Match",
                &format!("{has} it is one of them"),
                json!({ "type": "string" }),
            );
            may_have(
                operation,
                "If-Match",
                &format!("{wants} it is none of them"),
                json!({ "type": "string" }),
            );
            refuse(operation, "406", "Not of a media type that Accept names");
            refuse(operation, "412", "Not the one that If-Match names");
        }
    }
}

/// One more problem that an operation answers with; what it says of it itself goes before.
fn refuse(operation: &mut Value, status: &str, description: &str) {
    if operation["responses"].get(status).is_some() {
        return;
    }
    operation["responses"][status] = json!({
        "description": description,
        "content": { "application/problem+json": {
            "schema": { "$ref": "#/components/schemas/Problem" },
        } },
    });
}

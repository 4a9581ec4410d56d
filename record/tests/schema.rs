//! The schemas that are published are those of the types.

use std::path::Path;
use turnwise_record::schema::files;

#[test]
fn the_published_schemas_say_what_the_types_say() {
    let published = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/schema");
    for (name, text) in files().unwrap() {
        let there = std::fs::read_to_string(published.join(&name)).unwrap();
        assert!(
            there == text,
            "{name} is out of date: cargo run -p turnwise-record --example export_schema -- docs/schema"
        );
    }
}

#[test]
fn every_object_of_a_schema_is_closed() {
    for (name, text) in files().unwrap() {
        let schema = serde_json::from_str(&text).unwrap();
        let mut seen = 0;
        closed(&schema, &name, &mut seen);
        assert!(seen > 50, "{name} describes {seen} objects");
    }
}

fn closed(value: &serde_json::Value, at: &str, seen: &mut usize) {
    if let Some(object) = value.as_object() {
        if object.contains_key("properties") && object.get("type").is_some_and(|kind| kind == "object") {
            *seen += 1;
            assert!(object.contains_key("additionalProperties"), "{at} is open");
        }
        for (name, inside) in object {
            closed(inside, &format!("{at}/{name}"), seen);
        }
    }
    for inside in value.as_array().into_iter().flatten() {
        closed(inside, at, seen);
    }
}

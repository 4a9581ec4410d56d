//! The published schemas (JSON Schema 2020-12) of a record and of an export, made from the types themselves.
//!
//! `docs/schema` has them as files. They are strict: a name that they do not know is an error, so that a record of this
//! version cannot carry something that its readers pass over.

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use turnwise_core::record::content::Document;
use turnwise_core::record::export::{EXPORT_FORMAT, EXPORT_VERSION, Export};
use turnwise_core::record::{FORMAT, VERSION};

/// Each schema's file name and text.
///
/// # Errors
/// Where a schema has no JSON form, which none has.
pub fn files() -> Result<[(String, String); 2], serde_json::Error> {
    Ok([
        file::<Document>(FORMAT, VERSION, "A record of a job")?,
        file::<Export>(
            EXPORT_FORMAT,
            EXPORT_VERSION,
            "A record with its signatures, as it is handed over",
        )?,
    ])
}

fn file<T: JsonSchema>(
    format: &str,
    version: &str,
    title: &str,
) -> Result<(String, String), serde_json::Error> {
    let settings = SchemaSettings::draft2020_12()
        .for_serialize()
        .with_transform(RecursiveTransform(tidy));
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    schema.insert("$id".to_owned(), format!("urn:{format}:{version}").into());
    schema.insert("title".to_owned(), title.into());
    let mut text = serde_json::to_string_pretty(&schema)?;
    text.push('\n');
    Ok((format!("{format}-{version}.schema.json"), text))
}

/// Closes every object that says its properties, and takes the marks of a link out of the words.
fn tidy(schema: &mut Schema) {
    let Some(object) = schema.as_object_mut() else {
        return;
    };
    if object.contains_key("properties") && !object.contains_key("additionalProperties") {
        object.insert("additionalProperties".to_owned(), false.into());
    }
    if let Some(serde_json::Value::String(words)) = object.get_mut("description") {
        *words = words.replace("[`", "`").replace("`]", "`");
    }
}

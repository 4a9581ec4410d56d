//! Words in each language of the product.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The same words in each language of the product.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
pub struct Text {
    /// English.
    pub en: String,
    /// Spanish.
    pub es: String,
}

impl Text {
    /// The same words in both languages.
    pub fn new(en: impl Into<String>, es: impl Into<String>) -> Self {
        Self {
            en: en.into(),
            es: es.into(),
        }
    }
}

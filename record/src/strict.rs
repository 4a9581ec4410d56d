//! JSON read without leniency: a name that stands twice in one object is refused, since two readers may take
//! different ones of the two; and so is a number with a fraction or an exponent, or beyond 2^53, since two readers may
//! take it for different ones (figures are text in a record).

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};
use std::fmt;

/// A JSON value in which every object has each name once.
pub(crate) struct Strict(pub(crate) Value);

impl<'de> Deserialize<'de> for Strict {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Reader).map(Self)
    }
}

struct Reader;

impl<'de> Visitor<'de> for Reader {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E: Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Value, E> {
        exact(value.unsigned_abs())?;
        Ok(Value::Number(value.into()))
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Value, E> {
        exact(value)?;
        Ok(Value::Number(value.into()))
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Value, E> {
        Err(E::custom(format!("{NUMBER}: {value}")))
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Value, E> {
        Ok(Value::String(value.to_owned()))
    }

    fn visit_string<E: Error>(self, value: String) -> Result<Value, E> {
        Ok(Value::String(value))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Value, A::Error> {
        let mut all = Vec::new();
        while let Some(Strict(value)) = seq.next_element()? {
            all.push(value);
        }
        Ok(Value::Array(all))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Value, A::Error> {
        let mut all = Map::new();
        while let Some(name) = map.next_key::<String>()? {
            if all.contains_key(&name) {
                return Err(A::Error::custom(format!("{DUPLICATE}: {name}")));
            }
            let Strict(value) = map.next_value()?;
            all.insert(name, value);
        }
        Ok(Value::Object(all))
    }
}

/// Refuses a whole number that not every reader of JSON keeps exactly.
fn exact<E: Error>(value: u64) -> Result<(), E> {
    if value > MOST_EXACT {
        return Err(E::custom(format!("{NUMBER}: {value}")));
    }
    Ok(())
}

/// The largest number up to which every whole number has its own double: 2^53 - 1 (RFC 8259, section 6).
const MOST_EXACT: u64 = (1 << 53) - 1;

/// How the refusal of a number begins that has more than one reading.
pub(crate) const NUMBER: &str = "a number that is no whole number all readers keep";

/// How the refusal of a repeated name begins.
pub(crate) const DUPLICATE: &str = "a name stands twice in one object";

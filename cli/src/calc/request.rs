//! A request: its keys, and the quantities they stand for.
//!
//! Each reader takes its key out; what is left at the end ([`Request::finish`]) is a key that the command does
//! not know, and refused: a misspelt limit must not pass for no limit.

use super::lines::{LONGEST, Line};
use super::{CalcError, error::clip};
use serde::Deserialize;
use serde::de::{Deserializer, Error as _, MapAccess, Visitor};
use serde_json::value::RawValue;
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::fmt;
use turnwise_core::hydraulics::{Liquid, water_density};
use turnwise_core::quantity::{
    AbsolutePressure, Density, Flow, FlowCoefficient, GaugePressure, Measure, QuantityError, Temperature,
    Unit,
};

/// One request.
pub struct Request {
    keys: BTreeMap<String, Box<RawValue>>,
}

/// Water on its way through a valve.
pub struct Passage {
    /// Before the valve.
    pub inlet: AbsolutePressure,
    /// Behind it.
    pub outlet: AbsolutePressure,
    /// How much of the pressure lost in the narrowest place comes back: FL.
    pub recovery: f64,
    /// What passes.
    pub liquid: Liquid,
}

/// What a request says of a flow.
pub enum FlowSaid {
    /// How much.
    Measured(Flow),
    /// Only whether any.
    Whether(bool),
}

/// The keys of an object, none of them twice, and the values not yet read.
struct Keys(BTreeMap<String, Box<RawValue>>);

const DUPLICATE: &str = "the same key twice";

impl<'de> Deserialize<'de> for Keys {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct AnObject;

        impl<'de> Visitor<'de> for AnObject {
            type Value = Keys;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Keys, A::Error> {
                let mut keys = BTreeMap::new();
                while let Some(key) = map.next_key::<String>()? {
                    match keys.entry(key) {
                        Entry::Vacant(place) => place.insert(map.next_value()?),
                        Entry::Occupied(_) => return Err(A::Error::custom(DUPLICATE)),
                    };
                }
                Ok(Keys(keys))
            }
        }

        deserializer.deserialize_map(AnObject)
    }
}

impl Request {
    /// Reads a line.
    pub fn read(line: Line<'_>) -> Result<Self, CalcError> {
        let bytes = match line {
            Line::Bytes(bytes) => bytes,
            Line::TooLong => {
                return Err(CalcError::new(
                    "line_too_long",
                    format!("a line of more than {LONGEST} bytes"),
                ));
            }
        };
        let text =
            std::str::from_utf8(bytes).map_err(|_| CalcError::new("not_utf8", "the line is not UTF-8"))?;
        Self::of(text)
    }

    /// Reads an object.
    fn of(text: &str) -> Result<Self, CalcError> {
        match serde_json::from_str::<Keys>(text) {
            Ok(Keys(keys)) => Ok(Self { keys }),
            Err(error) if error.is_data() && error.to_string().starts_with(DUPLICATE) => {
                Err(CalcError::new("duplicate_key", error.to_string()))
            }
            Err(error) if error.is_data() => {
                Err(CalcError::new("not_an_object", "the line is not a JSON object"))
            }
            Err(error) => Err(CalcError::new("bad_json", error.to_string())),
        }
    }

    /// The `id`, word for word.
    pub fn take_id(&mut self) -> Option<Box<RawValue>> {
        self.keys.remove("id")
    }

    /// Takes the value of a key. Null is as good as not given.
    fn take(&mut self, key: &str) -> Option<Box<RawValue>> {
        self.keys.remove(key).filter(|value| value.get() != "null")
    }

    fn need<T>(found: Option<T>, key: &str) -> Result<T, CalcError> {
        found.ok_or_else(|| CalcError::new("missing_key", format!("no `{key}`")))
    }

    /// A text that must be there.
    pub fn need_text(&mut self, key: &str) -> Result<String, CalcError> {
        let raw = Self::need(self.take(key), key)?;
        text(&raw).map_err(|error| error.at(key))
    }

    /// A unit that must be there.
    pub fn need_unit(&mut self, key: &str) -> Result<Unit, CalcError> {
        self.need_text(key)?
            .trim()
            .parse()
            .map_err(|error| CalcError::from(error).at(key))
    }

    /// A number with a unit that must be there.
    pub fn need_measure(&mut self, key: &str) -> Result<Measure, CalcError> {
        let raw = Self::need(self.take(key), key)?;
        measure(&raw).map_err(|error| error.at(key))
    }

    /// A quantity.
    pub fn quantity<T>(&mut self, key: &str) -> Result<Option<T>, CalcError>
    where
        T: TryFrom<Measure, Error = QuantityError>,
    {
        let Some(raw) = self.take(key) else {
            return Ok(None);
        };
        measure(&raw)
            .and_then(of_kind)
            .map(Some)
            .map_err(|error| error.at(key))
    }

    /// A quantity that must be there.
    pub fn need_quantity<T>(&mut self, key: &str) -> Result<T, CalcError>
    where
        T: TryFrom<Measure, Error = QuantityError>,
    {
        let found = self.quantity(key)?;
        Self::need(found, key)
    }

    /// A quantity whose key names its unit: a bare number, or as any other.
    pub fn quantity_in<T>(&mut self, key: &str, unit: Unit) -> Result<Option<T>, CalcError>
    where
        T: TryFrom<Measure, Error = QuantityError>,
    {
        let Some(raw) = self.take(key) else {
            return Ok(None);
        };
        let measure = match serde_json::from_str::<f64>(raw.get()) {
            Ok(number) => Measure::new(number, unit).map_err(CalcError::from),
            Err(_) => measure(&raw),
        };
        measure.and_then(of_kind).map(Some).map_err(|error| error.at(key))
    }

    /// A plain number, or the same as a text.
    pub fn number(&mut self, key: &str) -> Result<Option<f64>, CalcError> {
        let Some(raw) = self.take(key) else {
            return Ok(None);
        };
        number(&raw).map(Some).map_err(|error| error.at(key))
    }

    /// A plain number that must be there.
    pub fn need_number(&mut self, key: &str) -> Result<f64, CalcError> {
        let found = self.number(key)?;
        Self::need(found, key)
    }

    /// A number in a unit that the key implies: a plain number, or as a text with its unit.
    pub fn number_in(&mut self, key: &str, unit: Unit) -> Result<Option<f64>, CalcError> {
        let Some(raw) = self.take(key) else {
            return Ok(None);
        };
        number(&raw)
            .or_else(|_| Ok(measure(&raw)?.in_unit(unit)?))
            .map(Some)
            .map_err(|error: CalcError| error.at(key))
    }

    /// A text.
    pub fn text(&mut self, key: &str) -> Result<Option<String>, CalcError> {
        let Some(raw) = self.take(key) else {
            return Ok(None);
        };
        text(&raw).map(Some).map_err(|error| error.at(key))
    }

    /// What flows: a quantity, or whether anything does.
    pub fn flow_or_whether(&mut self, key: &str) -> Result<Option<FlowSaid>, CalcError> {
        let Some(raw) = self.take(key) else {
            return Ok(None);
        };
        match raw.get() {
            "true" => Ok(Some(FlowSaid::Whether(true))),
            "false" => Ok(Some(FlowSaid::Whether(false))),
            _ => measure(&raw)
                .and_then(of_kind)
                .map(|flow| Some(FlowSaid::Measured(flow)))
                .map_err(|error| error.at(key)),
        }
    }

    /// The flow coefficient: `cv` or `kv`, one of them, as a plain number or with its unit.
    pub fn need_coefficient(&mut self) -> Result<FlowCoefficient, CalcError> {
        let cv = self.quantity_in("cv", Unit::Cv)?;
        let kv = self.quantity_in("kv", Unit::Kv)?;
        match (cv, kv) {
            (Some(_), Some(_)) => Err(CalcError::new("given_twice", "both `cv` and `kv`")),
            (found, None) | (None, found) => Self::need(found, "cv"),
        }
    }

    /// The water in a valve: at `temperature`, or at the usual one.
    pub fn liquid(&mut self) -> Result<Liquid, CalcError> {
        let temperature = self.quantity("temperature")?;
        Liquid::water(temperature.unwrap_or(Temperature::USUAL_WATER))
            .map_err(|error| CalcError::from(error).at("temperature"))
    }

    /// The density of the water: at `temperature`, or the conventional one.
    pub fn density(&mut self) -> Result<Density, CalcError> {
        match self.quantity("temperature")? {
            None => Ok(Density::CONVENTIONAL_WATER),
            Some(temperature) => {
                water_density(temperature).map_err(|error| CalcError::from(error).at("temperature"))
            }
        }
    }

    /// The atmosphere: `atmosphere_abs`, or the usual one.
    pub fn atmosphere(&mut self) -> Result<AbsolutePressure, CalcError> {
        Ok(self
            .quantity("atmosphere_abs")?
            .unwrap_or(AbsolutePressure::USUAL_ATMOSPHERE))
    }

    /// A pressure: by the gauge under `key`, or absolute under `key_abs`. Never below a vacuum.
    pub fn gauge(
        &mut self,
        key: &str,
        atmosphere: AbsolutePressure,
    ) -> Result<Option<GaugePressure>, CalcError> {
        let absolute_key = format!("{key}_abs");
        let by_gauge: Option<GaugePressure> = self.quantity(key)?;
        let absolute: Option<AbsolutePressure> = self.quantity(&absolute_key)?;
        match (by_gauge, absolute) {
            (Some(_), Some(_)) => Err(CalcError::new(
                "given_twice",
                format!("both `{key}` and `{absolute_key}`"),
            )),
            (Some(pressure), None) => {
                pressure
                    .to_absolute(atmosphere)
                    .map_err(|error| CalcError::from(error).at(key))?;
                Ok(Some(pressure))
            }
            (None, absolute) => Ok(absolute.map(|pressure| pressure.to_gauge(atmosphere))),
        }
    }

    /// A pressure that must be there.
    pub fn need_gauge(
        &mut self,
        key: &str,
        atmosphere: AbsolutePressure,
    ) -> Result<GaugePressure, CalcError> {
        let found = self.gauge(key, atmosphere)?;
        Self::need(found, key)
    }

    /// The water that passes a valve: `inlet`, `outlet` and `fl`, with the optional `temperature` and
    /// `atmosphere_abs`.
    pub fn need_passage(&mut self) -> Result<Passage, CalcError> {
        let atmosphere = self.atmosphere()?;
        Ok(Passage {
            inlet: self.need_gauge("inlet", atmosphere)?.to_absolute(atmosphere)?,
            outlet: self.need_gauge("outlet", atmosphere)?.to_absolute(atmosphere)?,
            recovery: self.need_number("fl")?,
            liquid: self.liquid()?,
        })
    }

    /// A pair of quantities, as a list.
    pub fn pair<T>(&mut self, key: &str) -> Result<Option<[T; 2]>, CalcError>
    where
        T: TryFrom<Measure, Error = QuantityError>,
    {
        let Some(raw) = self.take(key) else {
            return Ok(None);
        };
        let wrong = |_| CalcError::new("wrong_type", "not a list of two").at(key);
        let [low, high] = serde_json::from_str::<[Box<RawValue>; 2]>(raw.get()).map_err(wrong)?;
        let read = |raw: &RawValue| measure(raw).and_then(of_kind).map_err(|error| error.at(key));
        Ok(Some([read(&low)?, read(&high)?]))
    }

    /// A list of objects that must be there, each to be read as a request of its own.
    pub fn need_objects(&mut self, key: &str) -> Result<Vec<Self>, CalcError> {
        let raw = Self::need(self.take(key), key)?;
        let wrong = |_| CalcError::new("wrong_type", "not a list").at(key);
        let all: Vec<Box<RawValue>> = serde_json::from_str(raw.get()).map_err(wrong)?;
        all.iter()
            .enumerate()
            .map(|(at, each)| Self::of(each.get()).map_err(|error| error.at(&format!("{key}[{at}]"))))
            .collect()
    }

    /// A yes or no.
    pub fn flag(&mut self, key: &str) -> Result<Option<bool>, CalcError> {
        let Some(raw) = self.take(key) else {
            return Ok(None);
        };
        let flag = serde_json::from_str(raw.get());
        flag.map(Some)
            .map_err(|_| CalcError::new("wrong_type", "not true or false").at(key))
    }

    /// A list of pairs of plain numbers that must be there.
    pub fn need_pairs(&mut self, key: &str) -> Result<Vec<[f64; 2]>, CalcError> {
        let raw = Self::need(self.take(key), key)?;
        serde_json::from_str(raw.get())
            .map_err(|_| CalcError::new("wrong_type", "not a list of pairs of numbers").at(key))
    }

    /// Says that everything known is taken.
    pub fn finish(self) -> Result<(), CalcError> {
        match self.keys.into_iter().find(|(_, value)| value.get() != "null") {
            None => Ok(()),
            Some((key, _)) => Err(CalcError::new(
                "unknown_key",
                format!("`{}` is not known here", clip(&key)),
            )),
        }
    }
}

fn number(raw: &RawValue) -> Result<f64, CalcError> {
    let wrong = || CalcError::new("wrong_type", "not a number");
    let found: f64 = match serde_json::from_str(raw.get()) {
        Ok(number) => number,
        Err(_) => text(raw)
            .map_err(|_| wrong())?
            .trim()
            .parse()
            .map_err(|_| wrong())?,
    };
    if found.is_finite() {
        Ok(found)
    } else {
        Err(CalcError::new("not_finite", "not a finite number"))
    }
}

fn text(raw: &RawValue) -> Result<String, CalcError> {
    serde_json::from_str(raw.get()).map_err(|_| CalcError::new("wrong_type", "not a text"))
}

fn measure(raw: &RawValue) -> Result<Measure, CalcError> {
    let text: String = serde_json::from_str(raw.get()).map_err(|_| {
        CalcError::new(
            "wrong_type",
            "not a text of a number and a unit, such as \"60 psi\"",
        )
    })?;
    Ok(text.parse()?)
}

fn of_kind<T: TryFrom<Measure, Error = QuantityError>>(measure: Measure) -> Result<T, CalcError> {
    Ok(T::try_from(measure)?)
}

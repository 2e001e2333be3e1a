//! JSON read with bounds, so that no file takes more memory or time than a forecast needs; a key given twice is a fault.

use std::cell::Cell;
use std::fmt::{Formatter, Result as Written};

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};

use crate::constants::{DEEPEST_JSON, MOST_JSON_VALUES};

/// Reads one value.
///
/// # Errors
/// It is no JSON, a key is given twice, or it is deeper or of more values than any forecast.
pub(crate) fn read(text: &str) -> Result<Value, serde_json::Error> {
    let mut from = serde_json::Deserializer::from_str(text);
    let values = Cell::new(0);
    let value = (&mut from).deserialize_any(Within { values: &values, depth: 0 })?;
    from.end()?;
    Ok(value)
}

/// A value at a depth, counted with all the others.
#[derive(Clone, Copy)]
struct Within<'a> {
    values: &'a Cell<usize>,
    depth: usize,
}

impl Within<'_> {
    fn deeper<E: Error>(self) -> Result<Self, E> {
        if self.depth == DEEPEST_JSON {
            let why =
                format!("lists and objects are more than {DEEPEST_JSON} deep; no forecast is");
            return Err(E::custom(why));
        }
        Ok(Self { depth: self.depth + 1, ..self })
    }
}

impl<'de> DeserializeSeed<'de> for Within<'_> {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Value, D::Error> {
        from.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Within<'_> {
    type Value = Value;

    fn expecting(&self, f: &mut Formatter<'_>) -> Written {
        f.write_str("JSON")
    }

    fn visit_unit<E: Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<Value, A::Error> {
        let inside = self.deeper()?;
        let mut list = Vec::new();
        while let Some(value) = from.next_element_seed(inside)? {
            count(self.values)?;
            list.push(value);
        }
        Ok(Value::Array(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut from: A) -> Result<Value, A::Error> {
        let inside = self.deeper()?;
        let mut object = Map::new();
        while let Some(key) = from.next_key::<String>()? {
            count(self.values)?;
            let value = from.next_value_seed(inside)?;
            if object.contains_key(&key) {
                let key: String = key.chars().take(40).collect();
                return Err(A::Error::custom(format!("`{key}` is given twice; which one holds?")));
            }
            object.insert(key, value);
        }
        Ok(Value::Object(object))
    }
}

fn count<E: Error>(values: &Cell<usize>) -> Result<(), E> {
    values.set(values.get() + 1);
    if values.get() > MOST_JSON_VALUES {
        let why = format!("it holds more than {MOST_JSON_VALUES} values; no forecast does");
        return Err(E::custom(why));
    }
    Ok(())
}

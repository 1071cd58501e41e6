//! The few shapes of the format that are not plain fields: maps whose order counts, and values that may be written in two ways.

use std::fmt;
use std::marker::PhantomData;

use serde::de::value::MapAccessDeserializer;
use serde::de::{self, Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};

/// A map that keeps the order of its entries. Doubled keys are refused before it is read.
#[derive(Debug, Clone)]
pub(super) struct Ordered<T>(pub Vec<(String, T)>);

impl<T> Default for Ordered<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Ordered<T> {
    /// The value under a name.
    pub(super) fn get(&self, name: &str) -> Option<&T> {
        self.0.iter().find(|(n, _)| n == name).map(|(_, value)| value)
    }
}

struct OrderedVisitor<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for OrderedVisitor<T> {
    type Value = Ordered<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a map of names")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(Ordered(entries))
    }

    // `limits:` with nothing under it.
    fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
        Ok(Ordered::default())
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Ordered<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(OrderedVisitor(PhantomData))
    }
}

/// A source: `NAME` or `{name: NAME, place: ...}`.
#[derive(Debug, Clone)]
pub(super) struct Cite {
    pub name: String,
    pub place: String,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct CiteFields {
    name: String,
    #[serde(default)]
    place: String,
}

struct CiteVisitor;

impl<'de> Visitor<'de> for CiteVisitor {
    type Value = Cite;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the name of a source, or {name: ..., place: ...}")
    }

    fn visit_str<E: de::Error>(self, name: &str) -> Result<Cite, E> {
        Ok(Cite { name: name.to_string(), place: String::new() })
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Cite, A::Error> {
        let fields = CiteFields::deserialize(MapAccessDeserializer::new(map))?;
        Ok(Cite { name: fields.name, place: fields.place })
    }
}

impl<'de> Deserialize<'de> for Cite {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(CiteVisitor)
    }
}

/// A figure: a plain number, or a text with a unit.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Figure {
    /// A number without a unit.
    Bare(f64),
    /// A text, such as `8 kohm`.
    Text(String),
}

struct FigureVisitor;

impl Visitor<'_> for FigureVisitor {
    type Value = Figure;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a number, or a text such as \"8 kohm\"")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Figure, E> {
        Ok(Figure::Text(text.to_string()))
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Figure, E> {
        Ok(Figure::Bare(number))
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Figure, E> {
        Ok(Figure::Bare(number as f64))
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Figure, E> {
        Ok(Figure::Bare(number as f64))
    }
}

impl<'de> Deserialize<'de> for Figure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(FigureVisitor)
    }
}

/// A name or a list of names.
#[derive(Debug, Clone)]
pub(super) struct Names(pub Vec<String>);

struct NamesVisitor;

impl<'de> Visitor<'de> for NamesVisitor {
    type Value = Names;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the name of an outcome, or a list of names")
    }

    fn visit_str<E: de::Error>(self, name: &str) -> Result<Names, E> {
        Ok(Names(vec![name.to_string()]))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Names, A::Error> {
        let mut names = Vec::new();
        while let Some(name) = seq.next_element()? {
            names.push(name);
        }
        Ok(Names(names))
    }
}

impl<'de> Deserialize<'de> for Names {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(NamesVisitor)
    }
}

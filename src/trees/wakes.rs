//! What wakes a cause, as a tree writes it: weights of triggers, and the older form that they took the place of.

use std::fmt;

use serde::de::{self, Deserialize, Deserializer, MapAccess, Visitor};

use super::shapes::{Cite, Ordered};
use crate::model::Trigger;

/// A weight of a trigger, with a source of its own where that is not the one of all.
#[derive(Debug, Clone)]
pub(super) struct Weight {
    pub weight: f64,
    pub source: Option<Cite>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct WeightMap {
    weight: f64,
    source: Option<Cite>,
}

struct WeightVisitor;

impl<'de> Visitor<'de> for WeightVisitor {
    type Value = Weight;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a weight, or a map with weight and source")
    }

    fn visit_f64<E: de::Error>(self, weight: f64) -> Result<Weight, E> {
        Ok(Weight { weight, source: None })
    }

    fn visit_u64<E: de::Error>(self, weight: u64) -> Result<Weight, E> {
        self.visit_f64(weight as f64)
    }

    fn visit_i64<E: de::Error>(self, weight: i64) -> Result<Weight, E> {
        self.visit_f64(weight as f64)
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Weight, A::Error> {
        let WeightMap { weight, source } = WeightMap::deserialize(de::value::MapAccessDeserializer::new(map))?;
        Ok(Weight { weight, source })
    }
}

impl<'de> Deserialize<'de> for Weight {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(WeightVisitor)
    }
}

/// What wakes a cause: weights of `steady`, `at-times`, `moments` and of levels under each condition's name, and their `source`.
#[derive(Debug, Clone, Default)]
pub(super) struct WakesTwin {
    pub steady: Option<Weight>,
    pub at_times: Option<Weight>,
    pub moments: Option<Weight>,
    pub levels: Ordered<Ordered<Weight>>,
    pub source: Option<Cite>,
    /// The older form: the chance in a quiet spell, to which levels added.
    pub base: Option<Base>,
}

/// The base of the older form.
#[derive(Debug, Clone, Copy)]
pub(super) enum Base {
    Known(f64),
    Unknown,
}

impl Base {
    pub(super) fn chance(self) -> f64 {
        match self {
            Self::Known(chance) => chance,
            // What it mixed on the average.
            Self::Unknown => 0.28,
        }
    }
}

struct BaseVisitor;

impl Visitor<'_> for BaseVisitor {
    type Value = Base;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a number from 0 to 1, or the word unknown")
    }

    fn visit_str<E: de::Error>(self, word: &str) -> Result<Base, E> {
        if word == "unknown" { Ok(Base::Unknown) } else { Err(E::invalid_value(de::Unexpected::Str(word), &self)) }
    }

    fn visit_f64<E: de::Error>(self, base: f64) -> Result<Base, E> {
        Ok(Base::Known(base))
    }

    fn visit_u64<E: de::Error>(self, base: u64) -> Result<Base, E> {
        self.visit_f64(base as f64)
    }

    fn visit_i64<E: de::Error>(self, base: i64) -> Result<Base, E> {
        self.visit_f64(base as f64)
    }
}

impl<'de> Deserialize<'de> for Base {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(BaseVisitor)
    }
}

struct WakesVisitor;

impl<'de> Visitor<'de> for WakesVisitor {
    type Value = WakesTwin;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a map with the weights of what wakes it, and their source")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<WakesTwin, A::Error> {
        let mut wakes = WakesTwin::default();
        while let Some(name) = map.next_key::<String>()? {
            match name.as_str() {
                "steady" => wakes.steady = Some(map.next_value()?),
                "at-times" => wakes.at_times = Some(map.next_value()?),
                "moments" => wakes.moments = Some(map.next_value()?),
                "source" => wakes.source = Some(map.next_value()?),
                "base" => wakes.base = Some(map.next_value()?),
                _ => wakes.levels.0.push((name, map.next_value()?)),
            }
        }
        Ok(wakes)
    }
}

impl<'de> Deserialize<'de> for WakesTwin {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(WakesVisitor)
    }
}

/// The weights of a trigger that the words of a tree name, in the order in which they are told.
pub(super) enum Named<'a> {
    Steady,
    Level(&'a str, &'a str),
    AtTimes,
    Moments,
}

impl WakesTwin {
    /// Every weight by what it is of; those of the older form are worked out.
    pub(super) fn weights(&self) -> Vec<(Named<'_>, f64)> {
        if let Some(base) = self.base {
            return self.of_base(base.chance());
        }
        let of = |weight: &Option<Weight>| weight.as_ref().map(|w| w.weight);
        let mut all: Vec<(Named<'_>, f64)> = Vec::new();
        all.extend(of(&self.steady).map(|w| (Named::Steady, w)));
        all.extend(self.each_level().map(|(condition, level, w)| (Named::Level(condition, level), w.weight)));
        all.extend(of(&self.at_times).map(|w| (Named::AtTimes, w)));
        all.extend(of(&self.moments).map(|w| (Named::Moments, w)));
        all
    }

    /// The levels: condition, level, weight.
    pub(super) fn each_level(&self) -> impl Iterator<Item = (&str, &str, &Weight)> {
        self.levels.0.iter().flat_map(|(condition, levels)| {
            levels.0.iter().map(|(level, weight)| (condition.as_str(), level.as_str(), weight))
        })
    }

    /// Every source that it names.
    pub(super) fn sources(&self) -> impl Iterator<Item = &Cite> {
        let own = [&self.steady, &self.at_times, &self.moments].into_iter().flatten();
        let levels = self.each_level().map(|(_, _, weight)| weight);
        self.source.iter().chain(own.chain(levels).filter_map(|weight| weight.source.as_ref()))
    }

    /// The weights that come nearest to the older form: the same chance of being awake in a quiet spell and at each level, as far as
    /// triggers that are kept can have it. A little is left for moments, of which the older form knew nothing.
    fn of_base(&self, base: f64) -> Vec<(Named<'_>, f64)> {
        const MOMENTS: f64 = 0.03;
        let mut levels: Vec<(&str, &str, f64)> = self
            .each_level()
            .map(|(condition, level, added)| {
                let gained = Trigger::WHERE_IT_HOLDS - Trigger::WHERE_NOT;
                (condition, level, (1.0 - base) * added.weight / gained)
            })
            .collect();
        let moments = if base >= 1.0 { 0.0 } else { MOMENTS };
        let sum: f64 = levels.iter().map(|l| l.2).sum();
        let room = 1.0 - moments - base.min(0.05);
        let shrunk = if sum > room { room / sum } else { 1.0 };
        levels.iter_mut().for_each(|l| l.2 *= shrunk);
        let of_levels = sum * shrunk;
        let rest = 1.0 - moments - of_levels;
        let at_times = Trigger::CHANCES.iter().sum::<f64>() / Trigger::CHANCES.len() as f64;
        // Of what is left, so much is steady that the chance in a quiet spell comes out.
        let steady = ((base - Trigger::WHERE_NOT * of_levels - at_times * rest) / (1.0 - at_times)).clamp(0.0, rest);
        let mut all = vec![(Named::Steady, steady)];
        all.extend(levels.into_iter().map(|(condition, level, weight)| (Named::Level(condition, level), weight)));
        all.push((Named::AtTimes, rest - steady));
        all.push((Named::Moments, moments));
        all.iter_mut().for_each(|(_, weight)| *weight = (*weight * 100.0).round() / 100.0);
        all.retain(|(_, weight)| *weight > 0.0);
        all
    }

    /// The weights as a tree writes them: "{steady: 0.3, heat: {hot: 0.4}, at-times: 0.3".
    pub(super) fn written(&self) -> String {
        // Levels of one condition stand together under its name.
        let mut parts: Vec<(&str, Vec<String>)> = Vec::new();
        for (named, weight) in self.weights() {
            match named {
                Named::Steady => parts.push(("", vec![format!("steady: {weight}")])),
                Named::AtTimes => parts.push(("", vec![format!("at-times: {weight}")])),
                Named::Moments => parts.push(("", vec![format!("moments: {weight}")])),
                Named::Level(condition, level) => match parts.iter_mut().find(|(known, _)| *known == condition) {
                    Some((_, levels)) => levels.push(format!("{level}: {weight}")),
                    None => parts.push((condition, vec![format!("{level}: {weight}")])),
                },
            }
        }
        let words = parts.into_iter().map(|(condition, weights)| match condition {
            "" => weights.concat(),
            _ => format!("{condition}: {{{}}}", weights.join(", ")),
        });
        format!("{{{}", words.collect::<Vec<_>>().join(", "))
    }
}

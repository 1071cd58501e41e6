//! placeholder until the measure room lands
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    pub dimension: u8,
    pub unit: Option<String>,
    pub name: String,
}
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    pub x: f64,
}
impl Reading {
    pub fn value(&self) -> Option<f64> {
        Some(self.x)
    }
}
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("x")]
pub struct ReadingError;
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Context {
    pub feet: Option<f64>,
    pub peers: Vec<f64>,
    pub other_side: Option<f64>,
    pub before: Option<f64>,
    pub celsius: Option<f64>,
}
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Judgement {
    pub weights: Vec<(String, f64)>,
    pub clear: bool,
    pub words: String,
}
pub fn judge(_: &Limit, _: &Reading, _: &Context) -> Judgement {
    Judgement::default()
}
pub fn parse_reading(_: &str, _: u8, _: Option<&String>) -> Result<Reading, ReadingError> {
    Err(ReadingError)
}

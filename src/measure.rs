/// placeholder until the measure room lands
#[derive(Debug, Clone, PartialEq)]
pub struct Limit;

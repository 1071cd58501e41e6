//! Doubt, measured.

/// Entropy in nats.
pub(super) fn entropy(weights: &[f64]) -> f64 {
    -weights.iter().filter(|w| **w > 0.0).map(|w| w * w.ln()).sum::<f64>()
}

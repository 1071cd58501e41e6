//! Like readings beside each other: their middle, their spread, and the one that stands out.
//!
//! Owns the median and the median absolute deviation. Must not know what was measured.

use serde::{Deserialize, Serialize};

/// How far out a reading is before it is called the odd one: a robust score of 3.5 (Iglewicz and Hoaglin, How to Detect
/// and Handle Outliers, 1993, quoted from memory).
pub const ODD_SCORE: f64 = 3.5;

/// 0.75 of a normal distribution lies below this many standard deviations: it makes the median absolute deviation
/// comparable with a standard deviation.
const NORMAL_QUARTILE: f64 = 0.674_489_750_196_081_7;

/// The least spread taken for like readings, as a share of their median: readings that agree to the last digit would
/// otherwise condemn one that differs by a single digit. One hundredth, the accuracy of an ordinary meter (common practice).
const LEAST_SPREAD: f64 = 0.01;

/// Scores are cut off here, so that they stay finite where all the others are nought.
const GREATEST_SCORE: f64 = 999.0;

/// The reading that stands out among its like.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct OddOne {
    /// Its place in the list.
    pub index: usize,
    /// How many robust standard deviations it lies above (below: negative) the median of all. At most 999 either way.
    pub score: f64,
}

/// The middle value, or the mean of the two middle ones. `None` for an empty list or one with a value that is not finite.
pub fn median(values: &[f64]) -> Option<f64> {
    if values.is_empty() || values.iter().any(|value| !value.is_finite()) {
        return None;
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let upper = *sorted.get(sorted.len() / 2)?;
    if sorted.len() % 2 == 1 {
        return Some(upper);
    }
    let lower = *sorted.get(sorted.len() / 2 - 1)?;
    Some(lower.midpoint(upper))
}

/// The median of the distances from the median. `None` as for [`median`].
pub fn mad(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    let distances: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    median(&distances)
}

/// How many robust standard deviations each value lies from the median of all; for a grid of like readings.
/// Empty where there are fewer than three values or one is not finite: of two, neither is the odd one.
pub fn robust_scores(values: &[f64]) -> Vec<f64> {
    let (Some(middle), Some(spread)) = (median(values), mad(values)) else {
        return Vec::new();
    };
    if values.len() < 3 {
        return Vec::new();
    }
    let spread = spread.max(LEAST_SPREAD * middle.abs());
    values
        .iter()
        .map(|value| {
            let distance = value - middle;
            if distance == 0.0 {
                return 0.0;
            }
            (NORMAL_QUARTILE * distance / spread).clamp(-GREATEST_SCORE, GREATEST_SCORE)
        })
        .collect()
}

/// The value farthest from the median, if it is at least [`ODD_SCORE`] robust standard deviations out.
pub fn odd_one_out(values: &[f64]) -> Option<OddOne> {
    robust_scores(values)
        .into_iter()
        .enumerate()
        .max_by(|(_, left), (_, right)| left.abs().total_cmp(&right.abs()))
        .filter(|(_, score)| score.abs() >= ODD_SCORE)
        .map(|(index, score)| OddOne { index, score })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]

    use proptest::prelude::*;

    use super::*;

    #[test]
    fn medians_and_spreads_by_hand() {
        assert_eq!(median(&[3.0, 1.0, 2.0]), Some(2.0));
        assert_eq!(median(&[4.0, 1.0, 2.0, 3.0]), Some(2.5));
        assert_eq!(median(&[]), None);
        assert_eq!(median(&[1.0, f64::NAN]), None);
        assert_eq!(mad(&[1.0, 1.0, 2.0, 2.0, 4.0, 6.0, 9.0]), Some(1.0));
    }

    #[test]
    fn like_readings_have_no_odd_one() {
        assert_eq!(odd_one_out(&[1.1, 1.1, 1.1, 1.1]), None);
        // One digit of difference is no difference.
        assert_eq!(odd_one_out(&[1.10, 1.10, 1.10, 1.11]), None);
        assert_eq!(odd_one_out(&[5.0, 9.0]), None);
        assert_eq!(odd_one_out(&[0.0, 0.0, 0.0]), None);
    }

    #[test]
    fn one_among_noughts_stands_out_and_stays_finite() {
        let odd = odd_one_out(&[0.0, 0.0, -5.0, 0.0]).unwrap();
        assert_eq!((odd.index, odd.score), (2, -999.0));
    }

    proptest! {
        #[test]
        fn a_gross_outlier_is_found_wherever_it_stands(
            mut values in proptest::collection::vec(9.9_f64..10.1, 4..12),
            place in 0_usize..12,
        ) {
            let place = place % values.len();
            values[place] = 20.0;
            prop_assert_eq!(odd_one_out(&values).map(|odd| odd.index), Some(place));
        }
    }
}

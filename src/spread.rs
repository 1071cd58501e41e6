//! What is known of a rate, a chance, a share or a median: the figure, and the interval it lies in with 95 %.
//!
//! Quantiles of Gamma and Beta, and sums of the binomial, come from `statrs`.

use statrs::distribution::{Beta, Binomial, ContinuousCDF as _, DiscreteCDF as _, Gamma};

/// The tails outside an interval of 95 %.
const TAIL: f64 = 0.025;
/// The same as a number of standard deviations: the 97.5 % point of the normal distribution.
const SIGMAS: f64 = 1.959_963_984_540_054;

/// A figure with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Spread {
    /// The mean.
    pub mean: f64,
    /// The 2.5 % point.
    pub low: f64,
    /// The 97.5 % point.
    pub high: f64,
}

impl Spread {
    /// A rate that follows a Gamma of this shape over this exposure: shape events seen in so many hours have this mean.
    #[must_use]
    pub fn gamma(shape: f64, exposure: f64) -> Self {
        let mean = shape / exposure;
        match Gamma::new(shape, exposure) {
            Ok(gamma) => Self { mean, low: gamma.inverse_cdf(TAIL), high: gamma.inverse_cdf(1.0 - TAIL) },
            // A shape or exposure that is not above nought: nothing is known but the mean.
            Err(_) => Self { mean, low: 0.0, high: f64::INFINITY },
        }
    }

    /// A chance that follows a Beta: so many hits and misses, those of the prior included.
    #[must_use]
    pub fn beta(hits: f64, misses: f64) -> Self {
        let mean = hits / (hits + misses);
        match Beta::new(hits, misses) {
            Ok(beta) => Self { mean, low: beta.inverse_cdf(TAIL), high: beta.inverse_cdf(1.0 - TAIL) },
            Err(_) => Self { mean, low: 0.0, high: 1.0 },
        }
    }

    /// Hits out of trials by Wilson's score interval (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927). Nothing is known without trials.
    #[must_use]
    pub fn wilson(hits: f64, trials: f64) -> Self {
        if trials <= 0.0 {
            return Self { mean: 0.5, low: 0.0, high: 1.0 };
        }
        let share = hits / trials;
        let squared = SIGMAS * SIGMAS;
        let centre = (share + squared / (2.0 * trials)) / (1.0 + squared / trials);
        let half = SIGMAS / (1.0 + squared / trials)
            * (share * (1.0 - share) / trials + squared / (4.0 * trials * trials)).sqrt();
        Self { mean: share, low: (centre - half).max(0.0), high: (centre + half).min(1.0) }
    }
}

/// The ranks, from 1, of the two values between which the median of what so many values were drawn from lies with 95 % or more: the
/// narrowest that are as far from either end (W. J. Conover, Practical Nonparametric Statistics, 3rd ed. 1999, section 3.2). None of fewer
/// than 6 values, whose whole range holds it less often.
#[must_use]
pub fn median_ranks(values: usize) -> Option<(usize, usize)> {
    let below = Binomial::new(0.5, values as u64).ok()?;
    // The value of rank k is above the median with the chance that fewer than k of the values are below it.
    let outside = |rank: usize| below.cdf(rank as u64 - 1) <= TAIL;
    let low = (1..=values / 2).take_while(|rank| outside(*rank)).last()?;
    Some((low, values + 1 - low))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    fn close(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
    }

    /// F. Garwood's exact limits for a Poisson mean (Biometrika 28, 1936), as tabled in handbooks: with x events seen the 95 % limits are
    /// the 2.5 % point of Gamma(x) and the 97.5 % point of Gamma(x + 1).
    #[test]
    fn gamma_agrees_with_the_table_of_poisson_limits() {
        for (events, low, high) in [(1.0, 0.0253, 5.572), (5.0, 1.623, 11.668), (10.0, 4.795, 18.390)] {
            close(Spread::gamma(events, 1.0).low, low, 5e-4);
            close(Spread::gamma(events + 1.0, 1.0).high, high, 1e-3);
        }
    }

    /// A chi-squared of k degrees of freedom is a Gamma of shape k/2 and rate 1/2: the 2.5 % and 97.5 % points of the table in the
    /// NIST/SEMATECH e-Handbook, section 1.3.6.7.4.
    #[test]
    fn gamma_agrees_with_the_table_of_chi_squared() {
        for (degrees, low, high) in [(2.0, 0.051, 7.378), (10.0, 3.247, 20.483), (30.0, 16.791, 46.979)] {
            let found = Spread::gamma(degrees / 2.0, 0.5);
            close(found.low, low, 6e-4);
            close(found.high, high, 6e-4);
        }
    }

    /// Values of scipy 1.17.1, `scipy.stats.gamma.ppf` and `scipy.stats.beta.ppf` at 0.025 and 0.975; the second Beta is the interval
    /// of Jeffreys for 2 hits in 20.
    #[test]
    fn quantiles_agree_with_scipy() {
        for ((shape, exposure), low, high) in [
            ((2.5, 125.0), 0.003_324_846_453_946_65, 0.051_330_007_976_120_1),
            ((26.5, 1000.0), 0.017_388_164_308_345_3, 0.037_500_932_160_964_3),
            ((0.3, 1.0), 3.185_679_031_739_17e-6, 1.900_263_642_838_83),
        ] {
            let found = Spread::gamma(shape, exposure);
            close(found.low / low, 1.0, 1e-7);
            close(found.high / high, 1.0, 1e-7);
        }
        for ((hits, misses), low, high) in [
            ((5.0, 35.0), 0.042_968_343_001_788_9, 0.242_209_726_950_618),
            ((2.5, 18.5), 0.021_372_488_022_474_8, 0.283_853_257_304_252),
            ((190.0, 10.0), 0.915_885_362_998_265, 0.975_642_728_683_792),
        ] {
            let found = Spread::beta(hits, misses);
            close(found.low / low, 1.0, 1e-7);
            close(found.high / high, 1.0, 1e-7);
        }
    }

    /// The table of ranks and confidence levels for a median that textbooks of statistics print (levels in per cent, to a tenth), as far as 20
    /// values; and the example of 100 values in M. J. Campbell and M. J. Gardner, British Medical Journal 296 (1988), whose ranks are 40 and
    /// 61 (quoted from memory; sums of the binomial agree).
    #[test]
    fn ranks_for_a_median_are_those_of_the_tables() {
        for (values, ranks, level) in [
            (6, (1, 6), 96.9),
            (7, (1, 7), 98.4),
            (8, (1, 8), 99.2),
            (9, (2, 8), 96.1),
            (10, (2, 9), 97.9),
            (12, (3, 10), 96.1),
            (13, (3, 11), 97.8),
            (15, (4, 12), 96.5),
            (16, (4, 13), 97.9),
            (17, (5, 13), 95.1),
            (18, (5, 14), 96.9),
            (19, (5, 15), 98.1),
            (20, (6, 15), 95.9),
        ] {
            assert_eq!(median_ranks(values), Some(ranks), "of {values}");
            let below = Binomial::new(0.5, values as u64).unwrap();
            let held = below.cdf(ranks.1 as u64 - 1) - below.cdf(ranks.0 as u64 - 1);
            close(100.0 * held, level, 0.051);
        }
        assert_eq!(median_ranks(100), Some((40, 61)));
        for values in 0..6 {
            assert_eq!(median_ranks(values), None, "of {values}");
        }
    }

    /// Counted again without the library: the halves of Pascal's triangle.
    #[test]
    fn ranks_for_a_median_leave_at_most_a_fortieth_on_either_side() {
        let mut ways = vec![1.0_f64];
        for values in 1..=300 {
            ways = (0..=values)
                .map(|k| ways.get(k).unwrap_or(&0.0) / 2.0 + k.checked_sub(1).map_or(0.0, |k| ways[k] / 2.0))
                .collect();
            let tail = |rank: usize| ways[..rank].iter().sum::<f64>();
            match median_ranks(values) {
                None => assert!(tail(1) > TAIL, "of {values}"),
                Some((low, high)) => {
                    assert_eq!(low + high, values + 1);
                    assert!(tail(low) <= TAIL && (low + 1 > values / 2 || tail(low + 1) > TAIL), "of {values}");
                }
            }
        }
    }

    /// R. G. Newcombe, Statistics in Medicine 17 (1998), table I, score method without correction for continuity: 81 of 263, 15 of 148,
    /// 0 of 20 and 1 of 29 (quoted from memory; `scipy.stats.binomtest(...).proportion_ci(method="wilson")` of scipy 1.17.1 agrees).
    #[test]
    fn wilson_agrees_with_newcombe() {
        for (hits, trials, low, high) in [
            (81.0, 263.0, 0.2553, 0.3662),
            (15.0, 148.0, 0.0624, 0.1605),
            (0.0, 20.0, 0.0, 0.1611),
            (1.0, 29.0, 0.0061, 0.1718),
        ] {
            let found = Spread::wilson(hits, trials);
            close(found.low, low, 5e-5);
            close(found.high, high, 5e-5);
        }
    }
}

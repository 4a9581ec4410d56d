//! A mixture of normal distributions: what a posterior is here.

use std::f64::consts::{PI, SQRT_2};

/// One part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::setting) struct Part {
    /// Its share. All shares add up to one.
    pub weight: f64,
    pub mean: f64,
    /// Standard deviation, above zero.
    pub sd: f64,
}

/// The standard normal distribution function: `Phi(z) = erfc(-z / sqrt 2) / 2`. Standard textbook form.
pub(in crate::setting) fn normal_cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z / SQRT_2)
}

fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// The same mixture with equal parts put together: dead bands that no reversal has told apart all say the same.
pub(in crate::setting) fn gathered(mut parts: Vec<Part>) -> Vec<Part> {
    parts.sort_unstable_by(|one, other| {
        let by_mean = one.mean.total_cmp(&other.mean);
        by_mean.then(one.sd.total_cmp(&other.sd))
    });
    parts.dedup_by(|next, kept| {
        let same = next.mean.to_bits() == kept.mean.to_bits() && next.sd.to_bits() == kept.sd.to_bits();
        if same {
            kept.weight += next.weight;
        }
        same
    });
    parts
}

/// The same mixture without its least likely parts, which together come to no more than `share`.
pub(in crate::setting) fn trimmed(mut parts: Vec<Part>, share: f64) -> Vec<Part> {
    parts.sort_unstable_by(|one, other| other.weight.total_cmp(&one.weight));
    let mut left = 1.0;
    let kept = parts.iter().take_while(|part| {
        let needed = left > share;
        left -= part.weight;
        needed
    });
    parts.truncate(kept.count());
    let all: f64 = parts.iter().map(|part| part.weight).sum();
    for part in &mut parts {
        part.weight /= all;
    }
    parts
}

/// The mean.
pub(in crate::setting) fn mean(parts: &[Part]) -> f64 {
    parts.iter().map(|part| part.weight * part.mean).sum()
}

/// How much lies below `at`.
pub(in crate::setting) fn below(parts: &[Part], at: f64) -> f64 {
    parts
        .iter()
        .map(|part| part.weight * normal_cdf((at - part.mean) / part.sd))
        .sum()
}

/// Below where `share` of it lies: Newton's steps, kept between two bounds that close in.
pub(in crate::setting) fn quantile(parts: &[Part], share: f64) -> f64 {
    let reach = |sign: f64| parts.iter().map(move |part| part.mean + sign * 9.0 * part.sd);
    let mut low = reach(-1.0).fold(f64::INFINITY, f64::min);
    let mut high = reach(1.0).fold(f64::NEG_INFINITY, f64::max);
    let middle = mean(parts);
    let variance = |part: &Part| part.weight * (part.sd.powi(2) + (part.mean - middle).powi(2));
    // A first guess that is right for one normal at the shares that matter.
    let guess = 1.96 * parts.iter().map(variance).sum::<f64>().sqrt() * (share - 0.5).signum();
    let mut at = (middle + guess).clamp(low, high);
    for _ in 0..200 {
        let excess = below(parts, at) - share;
        if excess > 0.0 {
            high = at;
        } else {
            low = at;
        }
        let density: f64 = parts
            .iter()
            .map(|part| part.weight * normal_density((at - part.mean) / part.sd) / part.sd)
            .sum();
        let step = at - excess / density;
        let next = if step > low && step < high {
            step
        } else {
            f64::midpoint(low, high)
        };
        if (next - at).abs() <= 1e-11 * (1.0 + at.abs()) {
            return next;
        }
        at = next;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quantiles_of_one_normal_are_the_tabled_ones() {
        let one = [Part {
            weight: 1.0,
            mean: 10.0,
            sd: 2.0,
        }];
        // 1.959964: the two-sided 95 % point of the standard normal, from memory; any table has it.
        assert!((quantile(&one, 0.975) - (10.0 + 2.0 * 1.959_964)).abs() < 1e-5);
        assert!((quantile(&one, 0.025) - (10.0 - 2.0 * 1.959_964)).abs() < 1e-5);
        assert!((normal_cdf(0.0) - 0.5).abs() < 1e-15);
    }

    #[test]
    fn what_is_trimmed_comes_to_no_more_than_the_share_and_the_rest_to_one() {
        let part = |weight| Part {
            weight,
            mean: weight,
            sd: 1.0,
        };
        let kept = trimmed([0.000_05, 0.6, 0.000_04, 0.399_91].map(part).to_vec(), 1e-4);
        let means: Vec<f64> = kept.iter().map(|part| part.mean).collect();
        assert_eq!(means, [0.6, 0.399_91]);
        assert!((kept.iter().map(|part| part.weight).sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!(trimmed([0.5, 0.5].map(part).to_vec(), 1e-4).len(), 2);
    }

    #[test]
    fn a_share_lies_below_its_quantile_however_far_apart_the_parts_are() {
        let far = [
            Part {
                weight: 0.97,
                mean: 0.0,
                sd: 0.001,
            },
            Part {
                weight: 0.03,
                mean: 50.0,
                sd: 3.0,
            },
        ];
        for share in [0.001, 0.025, 0.5, 0.96, 0.9699, 0.975, 0.999] {
            let found = below(&far, quantile(&far, share));
            assert!((found - share).abs() < 1e-9, "{share}: {found}");
        }
    }
}

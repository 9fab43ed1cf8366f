//! Long runs made of stock lengths that lap: how many pieces, and how much steel. In whole nanometres.

use super::{Part, Unanswered, Worked, some_length};
use crate::units::Length;

/// A run made of pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pieces {
    /// How many.
    pub count: u64,
    /// Their length in all, laps counted twice.
    pub total: Length,
}

/// The fewest pieces of one stock length that make a straight run: n = (R - lap) / (S - lap) rounded up, at least 1; in all
/// R + (n - 1) lap (plane arithmetic). Where the laps lie is the designer's choice.
///
/// # Errors
///
/// [`Unanswered`] for no run, a lap below nothing, stock no longer than the lap, and totals that cannot be held.
pub fn pieces(run: Length, stock: Length, lap: Length) -> Result<Worked<Pieces>, Unanswered> {
    let run = some_length("R", run)?;
    if lap < Length::ZERO {
        return Err(Unanswered::Nothing("lap"));
    }
    let gain = some_length("S - lap", stock - lap)?;
    let beyond = u64::try_from((run - lap).nm()).unwrap_or(0);
    let count = beyond.div_ceil(gain.nm().unsigned_abs()).max(1);
    let total = i128::from(run.nm()) + i128::from(count - 1) * i128::from(lap.nm());
    let total =
        i64::try_from(total).map_err(|_| Unanswered::Outside("lap", "the laps come to more than can be held"))?;
    Ok(Worked {
        value: Pieces { count, total: Length::from_nm(total) },
        formula: "n = (R - lap) / (S - lap) rounded up; R + (n - 1) * lap in all",
        source: "",
        parts: vec![
            Part::length("R", run, "length of the run"),
            Part::length("S", stock, "stock length"),
            Part::length("lap", lap, "length of each lap"),
        ],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::mm;
    use proptest::prelude::*;

    fn feet(tenths: i64) -> Length {
        Length::FOOT * tenths / 10
    }

    fn found(run: i64, stock: i64, lap: i64) -> (u64, Length) {
        let pieces = pieces(feet(run), feet(stock), feet(lap)).unwrap().value;
        (pieces.count, pieces.total)
    }

    #[test]
    fn dev_16_to_18_runs_of_20_ft_stock() {
        assert_eq!(found(450, 200, 20), (3, feet(490)));
        // 38 ft is just two pieces; a tenth of a foot more is three.
        assert_eq!(found(380, 200, 20), (2, feet(400)));
        assert_eq!(found(381, 200, 20), (3, feet(421)));
        assert_eq!(found(1000, 200, 25), (6, feet(1125)));
    }

    #[test]
    fn short_runs_and_no_lap() {
        assert_eq!(found(200, 200, 20), (1, feet(200)));
        assert_eq!(found(10, 200, 20), (1, feet(10)));
        assert_eq!(found(400, 200, 0), (2, feet(400)));
    }

    #[test]
    fn what_cannot_be_made_is_refused() {
        assert_eq!(pieces(feet(450), feet(20), feet(20)), Err(Unanswered::Nothing("S - lap")));
        assert_eq!(pieces(Length::ZERO, feet(200), feet(20)), Err(Unanswered::Nothing("R")));
        assert_eq!(pieces(feet(450), feet(200), -feet(20)), Err(Unanswered::Nothing("lap")));
        let hair = Length::from_nm(1);
        let far = Length::LIMIT;
        assert!(matches!(pieces(far, far / 2, far / 2 - hair), Err(Unanswered::Outside("lap", _))));
    }

    proptest! {
        #[test]
        fn pieces_reach_and_one_less_would_not(run in 1_i64..200_000, stock in 2_i64..20_000, part in 0.0..0.9_f64) {
            let lap = (stock as f64 * part) as i64;
            let made = pieces(mm(run), mm(stock), mm(lap)).unwrap().value;
            let n = i64::try_from(made.count).unwrap();
            let reach = |n: i64| mm(stock) * n - mm(lap) * (n - 1);
            prop_assert!(reach(n) >= mm(run));
            prop_assert!(n == 1 || reach(n - 1) < mm(run));
            prop_assert_eq!(made.total, mm(run) + mm(lap) * (n - 1));
        }
    }
}

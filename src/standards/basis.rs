//! Which set of rules a job declares for development lengths and laps, and one question for all of them.
//!
//! The declared set answers alone: never the least of several.

use super::{
    Unanswered, Worked,
    development::{self, Class, Hooked, Method, Straight},
    eurocode::{self, Anchored, Bond},
    residential::{self, Entry},
};
use crate::units::{Length, Ratio};

/// A set of rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// ACI 318-19, Table 25.4.2.3.
    Aci,
    /// ACI 318-19, Equation 25.4.2.4a.
    AciGeneral,
    /// IRC Table R608.5.4(1).
    Irc,
    /// EN 1992-1-1, 8.4 and 8.7.
    Ec2,
}

/// How laps are spread along the bars.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spliced {
    /// What part of the bars is lapped at one place.
    pub at_one_place: Ratio,
    /// How often the steel that is there holds the steel that is needed; 1 where nobody says.
    pub provided_over_required: f64,
}

impl Spliced {
    /// All bars at one place, no more steel than needed: what to take when nothing is said.
    pub const ALL: Spliced = Spliced { at_one_place: Ratio::from_percent(100.0), provided_over_required: 1.0 };
}

impl Basis {
    /// The development length of a straight bar in tension.
    ///
    /// # Errors
    ///
    /// [`Unanswered`] where the rules do not cover it.
    pub fn straight(self, bar: &Straight) -> Result<Worked<Length>, Unanswered> {
        match self {
            Basis::Aci => development::straight(bar, Method::Simplified),
            Basis::AciGeneral => development::straight(bar, Method::General),
            Basis::Irc => residential::irc(Entry::Straight, bar.diameter, bar.fy),
            Basis::Ec2 => eurocode::straight(&anchored(bar)),
        }
    }

    /// The lap of two equal bars in tension.
    ///
    /// # Errors
    ///
    /// [`Unanswered`] where the rules do not cover it.
    pub fn lap(self, bar: &Straight, spliced: Spliced) -> Result<Worked<Length>, Unanswered> {
        let class = Class::of(spliced.provided_over_required, spliced.at_one_place);
        match self {
            Basis::Aci => development::lap(bar, Method::Simplified, class),
            Basis::AciGeneral => development::lap(bar, Method::General, class),
            Basis::Irc => residential::irc(Entry::Lap, bar.diameter, bar.fy),
            Basis::Ec2 => eurocode::lap(&anchored(bar), spliced.at_one_place),
        }
    }

    /// The development length of a standard hook in tension, to its outside. `tail_cover` is the cover behind the tail of
    /// a 90 degree hook (`None` for a hook of 180 degrees); only the IRC asks for it.
    ///
    /// # Errors
    ///
    /// [`Unanswered`] where the rules do not cover it; hooks by EN 1992-1-1 are not covered here.
    pub fn hooked(self, bar: &Hooked, tail_cover: Option<Length>) -> Result<Worked<Length>, Unanswered> {
        match self {
            Basis::Aci | Basis::AciGeneral => development::hooked(bar),
            Basis::Irc => {
                let covered =
                    bar.side_cover * 2 >= Length::INCH * 5 && tail_cover.is_none_or(|cover| cover >= Length::INCH * 2);
                residential::irc(if covered { Entry::HookCovered } else { Entry::Hook }, bar.diameter, bar.fy)
            }
            Basis::Ec2 => Err(Unanswered::Outside("hook", "hooks by EN 1992-1-1 are not covered here")),
        }
    }
}

fn anchored(bar: &Straight) -> Anchored {
    Anchored {
        diameter: bar.diameter,
        fck: bar.fc,
        fyk: bar.fy,
        bond: Bond::of(bar.fresh_below),
        cd: bar.cover.min(bar.clear_spacing / 2),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        standards::{
            ConcreteWeight,
            development::Coating,
            mm,
            tests::{inches, no, printed},
        },
        units::{Stress, System},
    };

    fn bar() -> Straight {
        Straight {
            system: System::Feet,
            diameter: no(4),
            fy: Stress::from_psi(60_000.0),
            fc: Stress::from_psi(3000.0),
            weight: ConcreteWeight::Normal,
            coating: Coating::Bare,
            cover: inches(1.5),
            clear_spacing: inches(11.5),
            ties: false,
            ktr: Length::ZERO,
            fresh_below: None,
        }
    }

    #[test]
    fn each_basis_answers_by_its_own_rules() {
        let found = |basis: Basis| {
            let straight = basis.straight(&bar()).unwrap().value.inches();
            (straight, basis.lap(&bar(), Spliced::ALL).unwrap().value.inches())
        };
        for (basis, straight, lap) in
            [(Basis::Aci, 21.909, 28.482), (Basis::AciGeneral, 13.145, 17.089), (Basis::Irc, 23.0, 30.0)]
        {
            printed(found(basis).0, straight, 3);
            printed(found(basis).1, lap, 3);
        }
        let metric = Straight {
            system: System::Metric,
            diameter: mm(12),
            fy: Stress::from_mpa(500.0),
            fc: Stress::from_mpa(25.0),
            cover: mm(35),
            clear_spacing: mm(200),
            ..bar()
        };
        printed(Basis::Ec2.straight(&metric).unwrap().value.metres() * 1e3, 345.0, 0);
        let poor = Straight { fresh_below: Some(mm(900)), ..metric };
        printed(Basis::Ec2.straight(&poor).unwrap().value.metres() * 1e3, 493.0, 0);
        let close = Straight { clear_spacing: mm(24), ..metric };
        printed(Basis::Ec2.straight(&close).unwrap().value.metres() * 1e3, 484.0, 0);
        assert!(Basis::Irc.straight(&metric).is_err());
    }

    #[test]
    fn laps_spread_out_are_class_a() {
        let spread = Spliced { at_one_place: Ratio::from_percent(50.0), provided_over_required: 2.0 };
        printed(Basis::Aci.lap(&bar(), spread).unwrap().value.inches(), 21.909, 3);
        let only_spread = Spliced { provided_over_required: 1.0, ..spread };
        printed(Basis::Aci.lap(&bar(), only_spread).unwrap().value.inches(), 28.482, 3);
    }

    #[test]
    fn hooks_by_their_cover() {
        let hook = Hooked {
            system: System::Feet,
            diameter: no(5),
            fy: Stress::from_psi(60_000.0),
            fc: Stress::from_psi(3000.0),
            weight: ConcreteWeight::Normal,
            coating: Coating::Bare,
            spacing: inches(12.0),
            confined: false,
            side_cover: inches(2.5),
            in_column_core: false,
        };
        let irc = |hook: &Hooked, tail| Basis::Irc.hooked(hook, tail).unwrap().value;
        assert_eq!(irc(&hook, None), inches(11.0));
        assert_eq!(irc(&hook, Some(inches(2.0))), inches(11.0));
        assert_eq!(irc(&hook, Some(inches(1.9))), inches(15.0));
        assert_eq!(irc(&Hooked { side_cover: inches(2.4), ..hook }, None), inches(15.0));
        // #5 at 3000 psi, apart but thinly covered at the side: 7.87 in times 1.25.
        printed(Basis::Aci.hooked(&hook, None).unwrap().value.inches(), 9.84, 2);
        assert!(Basis::Ec2.hooked(&hook, None).is_err());
    }
}

//! Worked numbers as digits: as the papers show them, in full so that the arithmetic can be done again, and as plain
//! numbers for programs.

use super::measures::rounded;
use crate::{
    ledger::Figure,
    units::{Area, Length, System, show},
};

/// As the papers show it.
pub(super) fn shown(figure: Figure, system: System) -> String {
    match figure {
        Figure::Length(length) => show::exact(length, system).to_string(),
        Figure::Cut(length) => show::cut(length, system).to_string(),
        Figure::Area(area) if is_small(area) => show::small_area(area, system).to_string(),
        Figure::Area(area) => show::area(area, system).to_string(),
        Figure::SmallArea(area) => show::small_area(area, system).to_string(),
        Figure::Volume(volume) => show::volume(volume, system).to_string(),
        Figure::Fluid(volume) => show::fluid(volume, system).to_string(),
        Figure::Water(volume) => show::water(volume, system).to_string(),
        Figure::Mass(mass) => show::mass(mass, system).to_string(),
        Figure::MassPerMetre(mass) => match system {
            System::Feet => unit(mass.lb() * foot(), 4, "lb/ft"),
            System::Metric => unit(mass.kg(), 4, "kg/m"),
        },
        Figure::Density(density) => show::density(density, system).to_string(),
        Figure::Force(force) => show::force(force, system).to_string(),
        Figure::LineLoad(load) => match system {
            System::Feet => unit(load.plf(), 0, "lbf/ft"),
            System::Metric => unit(load.n_m() / 1e3, 2, "kN/m"),
        },
        Figure::Moment(moment) => match system {
            System::Feet => unit(moment.lbf_ft(), 0, "lbf-ft"),
            System::Metric => unit(moment.newton_metres() / 1e3, 3, "kN-m"),
        },
        Figure::Stress(stress) => show::stress(stress, system).to_string(),
        Figure::Pressure(pressure) => show::pressure(pressure, system).to_string(),
        Figure::Speed(speed) => match system {
            System::Feet => unit(speed.mph(), 1, "mph"),
            System::Metric => unit(speed.kph(), 1, "kph"),
        },
        Figure::Rise(speed) => show::rise(speed, system).to_string(),
        Figure::Acceleration(acceleration) => unit(acceleration.m_s2(), 2, "m/s2"),
        Figure::Sound(level) => show::sound(level).to_string(),
        Figure::Drying(drying) => show::drying(drying, system).to_string(),
        Figure::Duration(time) => show::time(time).to_string(),
        Figure::Temperature(temperature) => show::temperature(temperature, system).to_string(),
        Figure::Difference(difference) => show::temperature_difference(difference, system).to_string(),
        Figure::Angle(angle) => show::angle(angle).to_string(),
        Figure::Ratio(ratio) => show::percent(ratio).to_string(),
        Figure::Money(money) => show::money(money).to_string(),
        Figure::Count(count) | Figure::Whole { count, .. } => count.to_string(),
        Figure::Number(number) => show::decimal(number, 6).to_string(),
    }
}

/// In decimals of one unit, with digits enough to do the arithmetic again: inches, cubic feet, pounds; millimetres, cubic
/// metres, kilograms.
pub(super) fn full(figure: Figure, system: System) -> String {
    let feet = system == System::Feet;
    match figure {
        Figure::Length(length) | Figure::Cut(length) if feet => unit(length.inches(), 4, "in"),
        Figure::Length(length) | Figure::Cut(length) => unit(length.metres() * 1e3, 3, "mm"),
        Figure::Area(area) if is_small(area) => of_lengths(figure, system),
        Figure::Area(area) if feet => unit(area.square_feet(), 4, "ft2"),
        Figure::Area(area) => unit(area.square_metres(), 6, "m2"),
        Figure::SmallArea(area) if feet => unit(area.square_feet() * 144.0, 4, "in2"),
        Figure::SmallArea(area) => unit(area.square_metres() * 1e6, 1, "mm2"),
        Figure::Volume(volume) if feet => unit(volume.cubic_feet(), 4, "ft3"),
        Figure::Volume(volume) => unit(volume.cubic_metres(), 6, "m3"),
        Figure::Fluid(volume) if feet => unit(volume.cubic_inches(), 4, "in3"),
        Figure::Fluid(volume) => unit(volume.cubic_metres() * 1e9, 1, "mm3"),
        // A quart is a quarter of 231 in3 (NIST Handbook 44, Appendix C).
        Figure::Water(volume) if feet => unit(volume.cubic_inches() * 4.0 / 231.0, 4, "qt"),
        Figure::Water(volume) => unit(volume.cubic_metres() * 1e3, 4, "L"),
        Figure::Mass(mass) if feet => unit(mass.lb(), 4, "lb"),
        Figure::Mass(mass) => unit(mass.kg(), 4, "kg"),
        Figure::MassPerMetre(mass) if feet => unit(mass.lb() * foot() / 12.0, 7, "lb/in"),
        Figure::MassPerMetre(mass) => unit(mass.kg() / 1e3, 9, "kg/mm"),
        Figure::Density(density) if feet => unit(density.pcf(), 4, "lb/ft3"),
        Figure::Density(density) => unit(density.kg_m3(), 2, "kg/m3"),
        Figure::Force(force) if feet => unit(force.lbf(), 2, "lbf"),
        Figure::Force(force) => unit(force.newtons(), 1, "N"),
        Figure::LineLoad(load) if feet => unit(load.plf() / 12.0, 4, "lbf/in"),
        Figure::LineLoad(load) => unit(load.n_m() / 1e3, 4, "N/mm"),
        Figure::Moment(moment) if feet => unit(moment.lbf_ft() * 12.0, 2, "lbf-in"),
        Figure::Moment(moment) => unit(moment.newton_metres() * 1e3, 0, "N-mm"),
        Figure::Speed(speed) if feet => unit(speed.mph(), 4, "mph"),
        Figure::Speed(speed) => unit(speed.kph(), 4, "kph"),
        Figure::Rise(speed) if feet => unit(speed.ft_h(), 4, "ft/h"),
        Figure::Rise(speed) => unit(speed.m_h(), 4, "m/h"),
        Figure::Acceleration(acceleration) => unit(acceleration.m_s2(), 4, "m/s2"),
        Figure::Sound(level) => unit(level.dba(), 4, "dB"),
        Figure::Drying(drying) if feet => unit(drying.psf_h(), 4, "lb/ft2/h"),
        Figure::Drying(drying) => unit(drying.kg_m2_h(), 4, "kg/m2/h"),
        Figure::Temperature(temperature) if feet => unit(temperature.deg_f(), 2, "degF"),
        Figure::Temperature(temperature) => unit(temperature.deg_c(), 2, "degC"),
        Figure::Difference(difference) if feet => unit(difference.deg_f(), 2, "degF"),
        Figure::Difference(difference) => unit(difference.kelvins(), 2, "degC"),
        Figure::Pressure(pressure) if feet => unit(pressure.psf(), 2, "psf"),
        Figure::Pressure(pressure) => unit(pressure.pa() / 1e3, 4, "kPa"),
        Figure::Stress(stress) if feet => unit(stress.psi(), 2, "psi"),
        Figure::Stress(stress) => unit(stress.mpa(), 4, "MPa"),
        Figure::Angle(angle) => unit(angle.degrees(), 4, "deg"),
        Figure::Ratio(ratio) => format!("{}%", show::decimal(ratio.percent(), 4)),
        Figure::Money(money) => format!("{} {}", show::exact_decimal(money.amount, 6), money.currency),
        Figure::Duration(_) | Figure::Count(_) | Figure::Whole { .. } | Figure::Number(_) => shown(figure, system),
    }
}

/// In the units lengths multiply to: square and cubic inches, square and cubic millimetres. Other figures in full.
pub(super) fn of_lengths(figure: Figure, system: System) -> String {
    let feet = system == System::Feet;
    match figure {
        Figure::Area(area) if feet => unit(area.square_feet() * 144.0, 4, "in2"),
        Figure::Area(area) => unit(area.square_metres() * 1e6, 1, "mm2"),
        Figure::Volume(volume) if feet => unit(volume.cubic_inches(), 4, "in3"),
        Figure::Volume(volume) => unit(volume.cubic_metres() * 1e9, 0, "mm3"),
        _ => full(figure, system),
    }
}

/// An area that says nothing in square feet: that of a bar, or of a few.
pub(super) fn is_small(area: Area) -> bool {
    area > Area::ZERO && area.square_feet() < 0.1
}

/// As shown, and in full beside it where that says more.
pub(super) fn both(figure: Figure, system: System) -> String {
    let (shown, full) = (shown(figure, system), full(figure, system));
    let number = |text: &str| {
        let (digits, unit) = text.split_once(' ').or_else(|| text.strip_suffix('"').map(|inches| (inches, "in")))?;
        Some((digits.parse::<f64>().ok()?, unit.to_owned()))
    };
    if shown == full || number(&shown).is_some_and(|shown| number(&full) == Some(shown)) {
        shown
    } else {
        format!("{shown} ({full})")
    }
}

/// The number a count was rounded from; none for other figures. It shows so many decimals that one sees why.
pub(super) fn before_rounding(figure: Figure) -> Option<String> {
    let Figure::Whole { count, of } = figure else { return None };
    let shown = show::decimal(of, 4).to_string();
    let hides_why = shown.parse() != Ok(count) && !shown.contains('.');
    Some(if hides_why { show::decimal(of, 12).to_string() } else { shown })
}

/// As a plain number in the units of the JSON contract.
pub(super) fn plain(figure: Figure) -> (f64, &'static str) {
    match figure {
        Figure::Length(length) | Figure::Cut(length) => (rounded(length.metres() * 1e3, 6), "mm"),
        Figure::Area(area) | Figure::SmallArea(area) => (rounded(area.square_metres(), 9), "m2"),
        Figure::Volume(volume) | Figure::Fluid(volume) | Figure::Water(volume) => {
            (rounded(volume.cubic_metres(), 12), "m3")
        }
        Figure::Mass(mass) => (rounded(mass.kg(), 6), "kg"),
        Figure::MassPerMetre(mass) => (rounded(mass.kg(), 6), "kg/m"),
        Figure::Density(density) => (rounded(density.kg_m3(), 6), "kg/m3"),
        Figure::Force(force) => (rounded(force.newtons(), 6), "N"),
        Figure::LineLoad(load) => (rounded(load.n_m(), 6), "N/m"),
        Figure::Moment(moment) => (rounded(moment.newton_metres(), 6), "N m"),
        Figure::Speed(speed) | Figure::Rise(speed) => (rounded(speed.m_s(), 9), "m/s"),
        Figure::Acceleration(acceleration) => (rounded(acceleration.m_s2(), 9), "m/s2"),
        Figure::Sound(level) => (rounded(level.dba(), 9), "dB"),
        Figure::Drying(drying) => (rounded(drying.kg_m2_h(), 6), "kg/m2/h"),
        Figure::Stress(stress) | Figure::Pressure(stress) => (rounded(stress.mpa(), 9), "MPa"),
        Figure::Duration(time) => (rounded(time.seconds(), 3), "s"),
        Figure::Temperature(temperature) => (rounded(temperature.deg_c(), 6), "degC"),
        Figure::Difference(difference) => (rounded(difference.kelvins(), 6), "K"),
        Figure::Angle(angle) => (rounded(angle.degrees(), 6), "deg"),
        Figure::Ratio(ratio) => (rounded(ratio.fraction(), 9), ""),
        Figure::Money(money) => (rounded(money.amount.to_f64(), 6), money.currency.code()),
        Figure::Count(count) | Figure::Whole { count, .. } => (count as f64, ""),
        Figure::Number(number) => (rounded(number, 9), ""),
    }
}

fn foot() -> f64 {
    Length::FOOT.metres()
}

fn unit(number: f64, places: u32, unit: &str) -> String {
    format!("{} {unit}", show::decimal(number, places))
}

/// What a number says of itself in a formula: the parts of a sum, letters replaced by values.
#[derive(Debug, Clone, Copy)]
pub(super) struct Letter<'l> {
    /// The letter or word.
    pub symbol: &'l str,
    /// Its value.
    pub value: Figure,
}

/// The most parts of a sum that are written out.
const PARTS_AT_MOST: usize = 12;

/// Sums of what stands in the list under one letter.
const SUMS: [(&str, &str); 4] = [
    ("sum of the parts", "part"),
    ("sum of the legs", "leg"),
    ("sum of the bends", "bend"),
    ("sum of the hooks", "hook"),
];

/// A formula with its letters replaced by their values; none where it is not arithmetic, or a letter has no value. What
/// stands after a comma is words.
///
/// `digits` shows a value.
pub(super) fn filled_in(formula: &str, letters: &[Letter], digits: &dyn Fn(Figure) -> String) -> Option<String> {
    let arithmetic = formula.split(',').next()?;
    let mut out = String::new();
    let mut rest = arithmetic;
    let is_word = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '_' | '\'');
    while let Some(first) = rest.chars().next() {
        if let Some((symbol, after)) =
            SUMS.iter().find_map(|(phrase, symbol)| Some((*symbol, rest.strip_prefix(phrase)?)))
        {
            let parts: Vec<String> =
                letters.iter().filter(|letter| letter.symbol == symbol).map(|letter| digits(letter.value)).collect();
            if parts.is_empty() || parts.len() > PARTS_AT_MOST {
                return None;
            }
            out.push_str(&parts.join(" + "));
            rest = after;
            continue;
        }
        // A letter of the formula may be more than a word: the root of a strength is one.
        let whole = letters.iter().map(|letter| letter.symbol).filter(|symbol| {
            symbol.contains('(') && rest.strip_prefix(symbol).is_some_and(|after| !after.starts_with(is_word))
        });
        let end = match whole.map(str::len).max() {
            Some(end) => end,
            None => rest.find(|letter| is_word(letter) != is_word(first)).unwrap_or(rest.len()),
        };
        let (token, after) = rest.split_at(end);
        rest = after;
        let is_name = first.is_ascii_alphabetic() && !matches!(token, "pi" | "tan" | "sqrt");
        if !is_name {
            out.push_str(token);
            continue;
        }
        let mut same = letters.iter().filter(|letter| letter.symbol == token);
        let value = digits(same.next()?.value);
        if same.next().is_some() {
            return None;
        }
        // A power is of the number and its unit together.
        if after.starts_with('^') {
            out.push_str(&format!("({value})"));
        } else {
            out.push_str(&value);
        }
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Ratio;

    #[test]
    fn a_formula_is_filled_in() {
        let letters = [
            Letter {
                symbol: "volume",
                value: Figure::Volume(Area::from_nm2(Length::FOOT.nm().pow(2).into()) * Length::FOOT),
            },
            Letter { symbol: "waste", value: Figure::Ratio(Ratio::from_fraction(0.08)) },
        ];
        let filled = |formula| filled_in(formula, &letters, &|figure| full(figure, System::Feet));
        assert_eq!(filled("volume * (1 + waste)").as_deref(), Some("1 ft3 * (1 + 8%)"));
        assert_eq!(filled("volume^2 / 3, up to whole bags").as_deref(), Some("(1 ft3)^2 / 3"));
        assert_eq!(filled("volume * height"), None);
        assert_eq!(filled("as written"), None);
        assert_eq!(filled("sum of the parts"), None);
        let parts =
            [Letter { symbol: "part", value: Figure::Count(9) }, Letter { symbol: "part", value: Figure::Count(3) }];
        assert_eq!(
            filled_in("sum of the parts", &parts, &|figure| full(figure, System::Feet)).as_deref(),
            Some("9 + 3")
        );
    }

    #[test]
    fn what_was_rounded_up_shows_why() {
        let before = |count, of| before_rounding(Figure::Whole { count, of }).unwrap();
        assert_eq!(before(28, 28.000_000_000_000_004), "28");
        assert_eq!(before(29, 28.000_01), "28.00001");
        assert_eq!(before(24, 23.333_333), "23.3333");
        assert_eq!(before_rounding(Figure::Count(3)), None);
    }
}

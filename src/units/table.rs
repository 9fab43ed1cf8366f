//! The unit table: the words that may stand behind a number, and what each is worth.
//!
//! The factors are exact by definition: NIST Special Publication 811 (2008), Appendix B, and NIST Handbook 44,
//! Appendix C. From these four all inch-pound factors here follow: 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg,
//! standard gravity 9.806 65 m/s2 (so 1 lbf = 4.448 221 615 260 5 N), and 1 gal (US) = 231 in3.

use std::sync::LazyLock;

use super::{Dimension, Exact};

/// The two systems of units a job may be measured and printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// Feet and inches, pounds, degrees Fahrenheit.
    Feet,
    /// Millimetres and metres, kilograms, degrees Celsius.
    Metric,
}

/// A word that may stand behind a number, and what it is worth in its dimension's own scale.
#[derive(Debug, PartialEq, Eq)]
pub struct Unit {
    /// The word, as the reference shows it; for a counted noun its plural.
    pub word: &'static str,
    /// Other forms of the same word: the singular, or the plural.
    pub aliases: &'static [&'static str],
    /// What is measured with it.
    pub dimension: Dimension,
    /// What it stands for, in words.
    pub meaning: &'static str,
    /// The system it belongs to, or none where both use it.
    pub system: Option<System>,
    factor: (i128, i128),
    zero: (i128, i128),
}

impl Unit {
    /// What one of it is worth in the scale of its [`Dimension`]: nanometres, kilograms, seconds and so on.
    #[must_use]
    pub fn factor(&self) -> Exact {
        Exact::new(self.factor.0, self.factor.1).unwrap_or(Exact::ONE)
    }

    /// Where its zero lies in the scale of its dimension; not 0 only for a temperature in degrees Fahrenheit.
    #[must_use]
    pub fn zero(&self) -> Exact {
        Exact::new(self.zero.0, self.zero.1).unwrap_or(Exact::ZERO)
    }

    /// So many of it, in the scale of its dimension; `None` where that is too large.
    #[must_use]
    pub fn of(&self, number: Exact) -> Option<Exact> {
        number.times(self.factor())?.plus(self.zero())
    }

    /// The form of the word behind a number: `1 bag`, `2 bags`, `1 day`.
    #[must_use]
    pub fn form(&self, number: Exact) -> &'static str {
        match self.aliases.first() {
            Some(one) if number == Exact::ONE => one,
            _ => self.word,
        }
    }

    /// Whether it is a counted noun, such as `bags`.
    #[must_use]
    pub fn is_noun(&self) -> bool {
        self.dimension == Dimension::Number
    }

    /// Whether it is a currency.
    #[must_use]
    pub fn is_currency(&self) -> bool {
        self.dimension == Dimension::Money
    }

    /// The same word where a difference of temperatures is wanted: 9 degF apart is 5 degC apart.
    #[must_use]
    pub fn as_difference(&self) -> Option<&'static Unit> {
        DIFFERENCES.iter().find(|unit| self.dimension == Dimension::Temperature && unit.word == self.word)
    }

    /// The same word where a force is wanted: `lb` is then the pound of force.
    #[must_use]
    pub fn as_force(&self) -> Option<&'static Unit> {
        FORCES.iter().find(|unit| self.dimension == Dimension::Mass && unit.word == self.word)
    }
}

const INCH: i128 = 25_400_000; // nm
const FOOT: i128 = 12 * INCH;
const YARD: i128 = 3 * FOOT;
const MM: i128 = 1_000_000;
const CM: i128 = 10 * MM;
const METRE: i128 = 1000 * MM;
const INCH3: i128 = INCH * INCH * INCH;
const GALLON: i128 = 231 * INCH3;
const LITRE: i128 = 1000 * CM * CM * CM;
const POUND: (i128, i128) = (45_359_237, 100_000_000); // kg
const POUND_FORCE: (i128, i128) = (44_482_216_152_605, 10_000_000_000_000); // N
/// One pound of force on a square foot, in pascals: the factors of `lbf` over 0.3048 m squared.
const PSF: (i128, i128) = (44_482_216_152_605, 10_000_000_000_000 / 100_000_000 * 9_290_304);
const PSI: (i128, i128) = (144 * PSF.0, PSF.1);
const KSI: (i128, i128) = (1000 * PSI.0, PSI.1);
/// One pound in a cubic foot, in kg/m3: 0.453 592 37 over 0.028 316 846 592.
const PCF: (i128, i128) = (453_592_370_000, 28_316_846_592);

use Dimension as D;

const fn inch_pound(word: &'static str, dimension: D, factor: (i128, i128), meaning: &'static str) -> Unit {
    Unit { word, aliases: &[], dimension, meaning, system: Some(System::Feet), factor, zero: (0, 1) }
}

const fn metric(word: &'static str, dimension: D, factor: (i128, i128), meaning: &'static str) -> Unit {
    Unit { word, aliases: &[], dimension, meaning, system: Some(System::Metric), factor, zero: (0, 1) }
}

const fn either(
    word: &'static str,
    aliases: &'static [&'static str],
    dimension: D,
    factor: (i128, i128),
    meaning: &'static str,
) -> Unit {
    Unit { word, aliases, dimension, meaning, system: None, factor, zero: (0, 1) }
}

const fn noun(word: &'static str, one: &'static [&'static str], meaning: &'static str) -> Unit {
    either(word, one, D::Number, (1, 1), meaning)
}

const fn currency(code: &'static str, meaning: &'static str) -> Unit {
    either(code, &[], D::Money, (1, 1), meaning)
}

/// Every unit and counted noun, dimension by dimension.
pub static UNITS: &[Unit] = &[
    inch_pound("in", D::Length, (INCH, 1), "inch"),
    inch_pound("ft", D::Length, (FOOT, 1), "foot"),
    inch_pound("yd", D::Length, (YARD, 1), "yard"),
    metric("mm", D::Length, (MM, 1), "millimetre"),
    metric("cm", D::Length, (CM, 1), "centimetre"),
    metric("m", D::Length, (METRE, 1), "metre"),
    inch_pound("in2", D::Area, (INCH * INCH, 1), "square inch"),
    inch_pound("ft2", D::Area, (FOOT * FOOT, 1), "square foot"),
    inch_pound("yd2", D::Area, (YARD * YARD, 1), "square yard"),
    metric("mm2", D::Area, (MM * MM, 1), "square millimetre"),
    metric("cm2", D::Area, (CM * CM, 1), "square centimetre"),
    metric("m2", D::Area, (METRE * METRE, 1), "square metre"),
    inch_pound("in3", D::Volume, (INCH3, 1), "cubic inch"),
    inch_pound("ft3", D::Volume, (FOOT * FOOT * FOOT, 1), "cubic foot"),
    inch_pound("yd3", D::Volume, (YARD * YARD * YARD, 1), "cubic yard"),
    inch_pound("gal", D::Volume, (GALLON, 1), "US gallon, 231 in3"),
    inch_pound("qt", D::Volume, (GALLON / 4, 1), "US liquid quart, a quarter gallon"),
    inch_pound("pt", D::Volume, (GALLON / 8, 1), "US liquid pint, an eighth of a gallon"),
    inch_pound("fl-oz", D::Volume, (GALLON / 128, 1), "US fluid ounce, 1/128 gallon"),
    metric("mL", D::Volume, (LITRE / 1000, 1), "millilitre"),
    metric("L", D::Volume, (LITRE, 1), "litre"),
    metric("cm3", D::Volume, (CM * CM * CM, 1), "cubic centimetre"),
    metric("m3", D::Volume, (METRE * METRE * METRE, 1), "cubic metre"),
    inch_pound("oz", D::Mass, (POUND.0, 16 * POUND.1), "ounce (avoirdupois), 1/16 lb"),
    inch_pound("lb", D::Mass, POUND, "pound; where a force is wanted, the pound of force"),
    inch_pound("ton", D::Mass, (2000 * POUND.0, POUND.1), "short ton, 2000 lb"),
    metric("g", D::Mass, (1, 1000), "gram"),
    metric("kg", D::Mass, (1, 1), "kilogram"),
    metric("t", D::Mass, (1000, 1), "metric ton, 1000 kg"),
    inch_pound("lbf", D::Force, POUND_FORCE, "pound of force"),
    metric("N", D::Force, (1, 1), "newton"),
    metric("kN", D::Force, (1000, 1), "kilonewton"),
    inch_pound("psi", D::Stress, PSI, "pound of force per square inch"),
    inch_pound("ksi", D::Stress, KSI, "1000 psi"),
    inch_pound("psf", D::Stress, PSF, "pound of force per square foot"),
    metric("Pa", D::Stress, (1, 1), "pascal"),
    metric("kPa", D::Stress, (1000, 1), "kilopascal"),
    metric("MPa", D::Stress, (1_000_000, 1), "megapascal"),
    inch_pound("pcf", D::Density, PCF, "pound per cubic foot"),
    Unit {
        word: "degF",
        aliases: &[],
        dimension: D::Temperature,
        meaning: "degree Fahrenheit; where a difference is wanted, 5/9 kelvin",
        system: Some(System::Feet),
        factor: (5, 9),
        zero: (-160, 9),
    },
    metric("degC", D::Temperature, (1, 1), "degree Celsius; where a difference is wanted, one kelvin"),
    either("s", &[], D::Time, (1, 1), "second"),
    either("min", &[], D::Time, (60, 1), "minute"),
    either("h", &[], D::Time, (3600, 1), "hour"),
    either("days", &["day"], D::Time, (86_400, 1), "day of 24 hours on the clock"),
    either("weeks", &["week"], D::Time, (604_800, 1), "seven days on the clock"),
    WORKING_DAYS,
    inch_pound("mph", D::Speed, (1_609_344, 3_600_000), "mile per hour"),
    metric("kph", D::Speed, (1000, 3600), "kilometre per hour"),
    metric("m/s", D::Speed, (1, 1), "metre per second, as forecasts tell the wind"),
    either("m/s2", &[], D::Acceleration, (1, 1), "metre per second squared, as the shaking of a tool is told"),
    either("dB", &["dBA"], D::Sound, (1, 1), "decibel, A-weighted"),
    either("deg", &[], D::Angle, (1, 1), "degree of angle"),
    either("%", &[], D::Ratio, (1, 100), "hundredth part; it stands without a blank"),
    noun("bags", &["bag"], "bag of dry mix"),
    noun("bars", &["bar"], "reinforcing bar"),
    noun("batches", &["batch"], "batch of one mixer filling"),
    noun("blades", &["blade"], "blade of a saw"),
    noun("boards", &["board"], "board"),
    noun("buckets", &["bucket"], "bucket carried"),
    noun("cartridges", &["cartridge"], "cartridge of resin"),
    noun("coils", &["coil"], "coil of wire"),
    noun("holes", &["hole"], "drilled hole"),
    noun("loads", &["load"], "load of a vehicle"),
    noun("people", &["person"], "person in the crew"),
    noun("pieces", &["piece"], "piece cut"),
    noun("posts", &["post"], "post or prop"),
    noun("sheets", &["sheet"], "sheet of sheathing"),
    noun("stakes", &["stake"], "stake"),
    noun("times", &["time"], "time something is done"),
    noun("trips", &["trip"], "trip"),
    currency("USD", "US dollar"),
    currency("CAD", "Canadian dollar"),
    currency("EUR", "euro"),
    currency("GBP", "pound sterling"),
    currency("AUD", "Australian dollar"),
    currency("NZD", "New Zealand dollar"),
    currency("CHF", "Swiss franc"),
    currency("SEK", "Swedish krona"),
    currency("NOK", "Norwegian krone"),
    currency("DKK", "Danish krone"),
    currency("ISK", "Icelandic krona"),
    currency("PLN", "Polish zloty"),
    currency("CZK", "Czech koruna"),
    currency("HUF", "forint"),
    currency("RON", "Romanian leu"),
    currency("TRY", "Turkish lira"),
    currency("ILS", "new shekel"),
    currency("ZAR", "rand"),
    currency("INR", "Indian rupee"),
    currency("JPY", "yen"),
    currency("KRW", "won"),
    currency("CNY", "yuan renminbi"),
    currency("HKD", "Hong Kong dollar"),
    currency("TWD", "new Taiwan dollar"),
    currency("SGD", "Singapore dollar"),
    currency("MYR", "ringgit"),
    currency("THB", "baht"),
    currency("PHP", "Philippine peso"),
    currency("IDR", "rupiah"),
    currency("MXN", "Mexican peso"),
    currency("BRL", "Brazilian real"),
    currency("ARS", "Argentine peso"),
    currency("CLP", "Chilean peso"),
    currency("COP", "Colombian peso"),
];

const WORKING_DAYS: Unit = either("working days", &["working day"], D::WorkingTime, (1, 1), "Monday to Friday");

static DIFFERENCES: &[Unit] = &[
    inch_pound("degF", D::TemperatureDifference, (5, 9), "degree Fahrenheit of difference"),
    metric("degC", D::TemperatureDifference, (1, 1), "degree Celsius of difference"),
];

static FORCES: &[Unit] = &[inch_pound("lb", D::Force, POUND_FORCE, "pound of force")];

/// Every form of every word with its unit, sorted by the word.
static BY_WORD: LazyLock<Vec<(&'static str, &'static Unit)>> = LazyLock::new(|| {
    let forms = |unit: &'static Unit| unit.aliases.iter().copied().chain([unit.word]).map(move |word| (word, unit));
    let mut all: Vec<_> = UNITS.iter().flat_map(forms).collect();
    all.sort_by_key(|(word, _)| *word);
    all
});

/// The unit or counted noun a word names, if the table has it; capitals count: `m` is not `M`.
#[must_use]
pub fn unit(word: &str) -> Option<&'static Unit> {
    let at = BY_WORD.binary_search_by_key(&word, |(known, _)| known).ok()?;
    BY_WORD.get(at).map(|(_, unit)| *unit)
}

/// The unit two words name together: `working days`.
#[must_use]
pub fn two_words(first: &str, second: &str) -> Option<&'static Unit> {
    if first != "working" || !matches!(second, "day" | "days") {
        return None;
    }
    unit("working days")
}

/// The units something of this dimension may be written in, in the table's order.
pub fn of_dimension(dimension: Dimension) -> impl Iterator<Item = &'static Unit> {
    let points = UNITS.iter().filter(move |unit| unit.dimension == dimension);
    points.chain(DIFFERENCES.iter().filter(move |unit| unit.dimension == dimension))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn worth(word: &str) -> f64 {
        unit(word).unwrap().factor().to_f64()
    }

    /// NIST SP 811, Appendix B.8 and B.9; the factors printed in bold there are exact.
    #[test]
    fn factors_are_the_published_ones() {
        assert_eq!(worth("ft3"), 0.028_316_846_592 * 1e27);
        assert_eq!(worth("in3"), 1.638_706_4e-5 * 1e27);
        assert_eq!(worth("lb"), 0.453_592_37);
        assert_eq!(worth("oz"), 0.028_349_523_125);
        assert_eq!(worth("ton"), 907.184_74);
        assert_eq!(worth("lbf"), 4.448_221_615_260_5);
        assert!((worth("psi") - 6_894.757_293_168).abs() < 1e-9);
        assert!((worth("psf") - 47.880_258_98).abs() < 1e-8);
        assert!((worth("pcf") - 16.018_463_37).abs() < 1e-8);
        assert_eq!(worth("mph"), 0.447_04);
        assert_eq!(worth("ft2"), 9.290_304e-2 * 1e18);
        assert!((worth("gal") / 1e27 - 3.785_411_784e-3).abs() < 1e-15);
        assert!((worth("fl-oz") / 1e27 - 2.957_352_956_25e-5).abs() < 1e-17);
        assert!((worth("qt") / 1e27 - 9.463_529_46e-4).abs() < 1e-16);
    }

    /// NIST Handbook 44, Appendix C: 1 gallon = 231 cubic inches, 1 cubic yard = 201.974 gallons.
    #[test]
    fn a_gallon_is_231_cubic_inches() {
        let gallon = unit("gal").unwrap().factor();
        assert_eq!(gallon.over(unit("in3").unwrap().factor()), Some(Exact::whole(231)));
        let in_a_yard = unit("yd3").unwrap().factor().over(gallon).unwrap();
        assert_eq!(in_a_yard.times(Exact::whole(1000)).unwrap().to_nearest_i128(), 201_974);
        for (parts, word) in [(4, "qt"), (8, "pt"), (128, "fl-oz")] {
            assert_eq!(unit(word).unwrap().of(Exact::whole(parts)), Some(gallon));
        }
    }

    #[test]
    fn fahrenheit_has_its_own_zero() {
        let deg_f = unit("degF").unwrap();
        for (f, c) in [(32, 0), (212, 100), (-40, -40), (50, 10)] {
            assert_eq!(deg_f.of(Exact::whole(f)), Some(Exact::whole(c)), "{f} degF");
        }
        assert_eq!(deg_f.as_difference().unwrap().of(Exact::whole(9)), Some(Exact::whole(5)));
        assert_eq!(unit("degC").unwrap().as_difference().unwrap().of(Exact::ONE), Some(Exact::ONE));
        assert_eq!(unit("ft").unwrap().as_difference(), None);
    }

    #[test]
    fn a_pound_is_a_force_where_one_is_wanted() {
        let pound = unit("lb").unwrap();
        assert_eq!(pound.dimension, Dimension::Mass);
        let force = pound.as_force().unwrap();
        assert_eq!((force.dimension, force.factor()), (Dimension::Force, unit("lbf").unwrap().factor()));
        assert_eq!(unit("kg").unwrap().as_force(), None);
    }

    #[test]
    fn every_form_of_every_word_finds_its_unit() {
        for one in UNITS {
            for word in one.aliases.iter().chain([&one.word]) {
                assert!(std::ptr::eq(unit(word).unwrap(), one), "{word} names two units");
            }
        }
        for word in ["", "inch", "M", "KG", "feet", "each", "working", "usd", "é"] {
            assert_eq!(unit(word), None, "{word}");
        }
        assert_eq!(two_words("working", "days").unwrap().dimension, Dimension::WorkingTime);
        assert_eq!(two_words("working", "day"), two_words("working", "days"));
        assert_eq!(two_words("working", "weeks"), None);
    }

    #[test]
    fn one_is_not_two() {
        for (word, one, more) in [("bag", "bag", "bags"), ("people", "person", "people"), ("lb", "lb", "lb")] {
            assert_eq!(unit(word).unwrap().form(Exact::ONE), one);
            assert_eq!(unit(word).unwrap().form(Exact::ZERO), more);
        }
    }

    #[test]
    fn every_dimension_but_dates_has_a_unit() {
        for dimension in Dimension::ALL {
            assert_eq!(of_dimension(dimension).next().is_none(), dimension == Dimension::Date, "{dimension}");
        }
    }

    #[test]
    fn words_are_ones_a_text_can_hold() {
        for one in UNITS.iter().filter(|unit| !matches!(unit.word, "%" | "working days")) {
            for word in one.aliases.iter().chain([&one.word]) {
                assert!(word.starts_with(|c: char| c.is_ascii_alphabetic()), "{word}");
                let joins = |b| matches!(b, b'-' | b'/');
                assert!(word.bytes().all(|b| b.is_ascii_alphanumeric() || joins(b)), "{word}");
                assert!(!word.ends_with(['-', '/']), "{word}");
            }
        }
    }
}

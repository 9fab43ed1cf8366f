//! What a bag yields, and what is carried.

use super::{Figure, Part, Unanswered, Worked, some_number};
use crate::units::{Density, Mass, Ratio, Volume};

/// What a bag yields by its mass and its water, over what the fresh concrete weighs. The label on the bag goes before it.
///
/// # Errors
///
/// [`Unanswered`] for no mix or weight, and for water less than nothing.
pub fn yield_by_mass(dry: Mass, water: Mass, fresh: Density) -> Result<Worked<Volume>, Unanswered> {
    some_number("dry", dry.kg())?;
    some_number("fresh", fresh.kg_m3())?;
    if !(water >= Mass::ZERO && water.kg().is_finite()) {
        return Err(Unanswered::Nothing("water"));
    }
    Ok(Worked {
        value: Volume::round_cubic_metres((dry + water).kg() / fresh.kg_m3()),
        formula: "(dry + water) / fresh",
        source: "mass balance; ASTM C138 is the test, from memory",
        parts: vec![
            mass("dry", dry, "dry mix in the bag"),
            mass("water", water, "water added"),
            Part::density("fresh", fresh, "weight of the fresh concrete"),
        ],
    })
}

/// What a bag yields by the rule of the trade, 0.15 ft3 for 20 lb of dry mix (seen on several pages).
///
/// # Errors
///
/// [`Unanswered`] for no mix.
pub fn yield_by_rule(dry: Mass) -> Result<Worked<Volume>, Unanswered> {
    some_number("dry", dry.kg())?;
    Ok(Worked {
        value: Volume::round_cubic_metres(dry.lb() * 0.0075 * 0.028_316_846_592),
        formula: "dry * 0.15 / 20, lb and ft3",
        source: "rule of the trade, seen on several pages",
        parts: vec![mass("dry", dry, "dry mix in the bag")],
    })
}

/// The water a yield implies: what the fresh concrete weighs less the dry mix.
///
/// # Errors
///
/// [`Unanswered`] for no mix, yield or weight, and for a yield lighter than the dry mix.
pub fn implied_water(dry: Mass, yields: Volume, fresh: Density) -> Result<Worked<Mass>, Unanswered> {
    some_number("dry", dry.kg())?;
    some_number("yields", yields.cubic_metres())?;
    some_number("fresh", fresh.kg_m3())?;
    let water = fresh * yields - dry;
    if water < Mass::ZERO {
        return Err(Unanswered::Outside("yields", "the concrete would weigh less than the dry mix"));
    }
    Ok(Worked {
        value: water,
        formula: "fresh * yields - dry",
        source: "mass balance",
        parts: vec![
            Part::density("fresh", fresh, "weight of the fresh concrete"),
            Part::volume("yields", yields, "what the bag yields"),
            mass("dry", dry, "dry mix in the bag"),
        ],
    })
}

/// What a bucket weighs, filled in part, without the bucket.
///
/// # Errors
///
/// [`Unanswered`] for no bucket or weight, and for a fill outside of 0 to 100%.
pub fn bucket_weight(bucket: Volume, fill: Ratio, fresh: Density) -> Result<Worked<Mass>, Unanswered> {
    some_number("bucket", bucket.cubic_metres())?;
    some_number("fresh", fresh.kg_m3())?;
    if !(0.0..=1.0).contains(&fill.fraction()) {
        return Err(Unanswered::Outside("fill", "a bucket is filled to no more than 100%"));
    }
    Ok(Worked {
        value: fresh * bucket * fill.fraction(),
        formula: "bucket * fill * fresh",
        source: "",
        parts: vec![
            Part::volume("bucket", bucket, "volume of the bucket"),
            Part::ratio("fill", fill, "how full it is carried"),
            Part::density("fresh", fresh, "weight of the fresh concrete"),
        ],
    })
}

/// How many bags a vehicle takes: what is left of the load on its door placard beside the people, in whole bags.
///
/// # Errors
///
/// [`Unanswered`] for no placard or bag, and for people heavier than it.
pub fn bags_in_a_load(placard: Mass, people: Mass, bag: Mass) -> Result<Worked<u64>, Unanswered> {
    some_number("placard", placard.kg())?;
    some_number("bag", bag.kg())?;
    if !(people >= Mass::ZERO && people <= placard) {
        return Err(Unanswered::Outside("people", "no heavier than the placard allows"));
    }
    // A hair's breadth for figures that come from another unit.
    let bags = ((placard - people) / bag * (1.0 + 1e-9)).floor();
    Ok(Worked {
        value: bags.min(1e9) as u64,
        formula: "(placard - people) / bag, down to whole bags",
        source: "load on the door placard: occupants and cargo together",
        parts: vec![
            mass("placard", placard, "occupants and cargo together"),
            mass("people", people, "people in the vehicle"),
            mass("bag", bag, "one bag"),
        ],
    })
}

fn mass(symbol: &'static str, value: Mass, why: &'static str) -> Part {
    Part { symbol, value: Figure::Mass(value), why }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{standards::tests::printed, units::whole_up};

    const FRESH: Density = Density::from_pcf(145.0);

    #[test]
    fn yields_and_the_water_they_imply() {
        // Yields by 0.15 ft3 for 20 lb, as several makers print them; water by our own arithmetic at 145 lb/ft3.
        for (bag, cubic_feet, litres, per_yard, pounds, quarts, litres_of_water) in [
            (40.0, 0.300, 8.50, 90, 3.5, 1.68, 1.59),
            (50.0, 0.375, 10.62, 72, 4.38, 2.10, 1.98),
            (60.0, 0.450, 12.74, 60, 5.25, 2.52, 2.38),
            (80.0, 0.600, 16.99, 45, 7.0, 3.36, 3.18),
            (90.0, 0.675, 19.11, 40, 7.88, 3.77, 3.57),
        ] {
            let dry = Mass::from_lb(bag);
            let yields = yield_by_rule(dry).unwrap().value;
            printed(yields.cubic_feet(), cubic_feet, 3);
            printed(yields.cubic_metres() * 1e3, litres, 2);
            assert_eq!(whole_up(27.0 / yields.cubic_feet()), per_yard);
            let water = implied_water(dry, yields, FRESH).unwrap().value;
            printed(water.lb(), pounds, 2);
            // Litres, and quarts of 0.946352946 L, of water at 4 degrees Celsius.
            printed(water.kg(), litres_of_water, 2);
            printed(water.kg() / 0.946_352_946, quarts, 2);
            let back = yield_by_mass(dry, water, FRESH).unwrap().value;
            printed(back.cubic_feet(), cubic_feet, 6);
        }
        for (bag, cubic_feet, litres, per_metre, whole, water) in [
            (20.0, 0.3307, 9.36, 106.8, 107, 1.75),
            (25.0, 0.413, 11.71, 85.4, 86, 2.19),
            (30.0, 0.496, 14.05, 71.2, 72, 2.63),
            (40.0, 0.661, 18.73, 53.4, 54, 3.50),
        ] {
            let dry = Mass::from_kg(bag);
            let yields = yield_by_rule(dry).unwrap().value;
            printed(yields.cubic_feet(), cubic_feet, if bag == 20.0 { 4 } else { 3 });
            printed(yields.cubic_metres() * 1e3, litres, 2);
            printed(1.0 / yields.cubic_metres(), per_metre, 1);
            assert_eq!(whole_up(1.0 / yields.cubic_metres()), whole);
            printed(implied_water(dry, yields, FRESH).unwrap().value.kg(), water, 2);
        }
        printed(1.0 / yield_by_rule(Mass::from_lb(1.0)).unwrap().value.cubic_feet(), 133.0, 0);
        // What goes wrong without the water, or with the 150 lb/ft3 that are for forms: 0.533 ft3, and 3.3% too little.
        let heavy = Density::from_pcf(150.0);
        let of = |water, fresh| yield_by_mass(Mass::from_lb(80.0), water, fresh).unwrap().value.cubic_feet();
        printed(of(Mass::ZERO, heavy), 0.533, 3);
        printed(of(Mass::from_lb(7.0), FRESH), 0.6, 3);
        printed((1.0 - of(Mass::from_lb(7.0), heavy) / 0.6) * 100.0, 3.3, 1);
    }

    #[test]
    fn buckets_and_loads() {
        // Our own arithmetic; the gallon of 231 in3 from NIST Handbook 44, Appendix C.
        let bucket = Volume::from_nm3(5 * 231 * i128::from(25_400_000_i64).pow(3));
        printed(bucket.cubic_feet(), 0.668, 3);
        printed(bucket.cubic_metres() * 1e3, 18.93, 2);
        for (fill, pounds, kilograms) in
            [(1.0, 96.9, 44.0), (0.8, 77.5, 35.2), (2.0 / 3.0, 64.6, 29.3), (0.5, 48.5, 22.0)]
        {
            let found = bucket_weight(bucket, Ratio::from_fraction(fill), FRESH).unwrap().value;
            printed(found.lb(), pounds, 1);
            printed(found.kg(), kilograms, 1);
        }
        // 10 ft by 8 in by 2 ft in 80 lb bags, 5% waste: 24 bags, 2088 lb, 48 trips of half a bucket's 0.30 ft3.
        let yields = yield_by_rule(Mass::from_lb(80.0)).unwrap().value;
        let wall = 10.0 * 2.0 * 2.0 / 3.0;
        printed(wall / yields.cubic_feet(), 22.2, 1);
        printed(wall * 1.05 / yields.cubic_feet(), 23.33, 2);
        let bags = whole_up(wall * 1.05 / yields.cubic_feet());
        assert_eq!(bags, 24);
        printed((FRESH * yields).lb(), 87.0, 6);
        printed((FRESH * yields * bags as f64).lb(), 2088.0, 6);
        assert_eq!(bags * whole_up(yields.cubic_feet() / 0.30), 48);
        // A barrow of 2 to 3 ft3.
        let foot3 = crate::units::Length::FOOT * crate::units::Length::FOOT * crate::units::Length::FOOT;
        printed((FRESH * foot3 * 2.0).lb(), 290.0, 6);
        printed((FRESH * foot3 * 3.0).lb(), 435.0, 6);
        let found = bags_in_a_load(Mass::from_lb(1200.0), Mass::from_lb(180.0), Mass::from_lb(80.0)).unwrap().value;
        assert_eq!(found, 12);
        assert_eq!(24_u64.div_ceil(found), 2);
        // A cubic metre in bags of 25 kg: 86 of them, 2150 kg.
        let bag = Mass::from_kg(25.0);
        let count = whole_up(1.0 / yield_by_rule(bag).unwrap().value.cubic_metres());
        printed((bag * count as f64).kg(), 2150.0, 6);
        assert!(bags_in_a_load(Mass::from_lb(100.0), Mass::from_lb(180.0), Mass::from_lb(80.0)).is_err());
    }
}

//! What is read, what is refused, and what is offered instead.

use super::*;
use crate::units::Length;
use proptest::prelude::*;

fn inches(text: &str) -> Exact {
    match number(text).unwrap().what {
        What::Length(nm) => nm.over(Exact::from(Length::INCH.nm())).unwrap(),
        other => panic!("{text} is {other:?}"),
    }
}

fn plain(text: &str) -> Exact {
    match number(text).unwrap().what {
        What::Plain(value) => value,
        other => panic!("{text} is {other:?}"),
    }
}

#[test]
fn feet_and_inches() {
    for (text, value) in [
        ("8\"", "8"),
        ("-3/4\"", "-3/4"),
        ("12'-6 1/2\"", "150.5"),
        ("12' 6\"", "150"),
        ("12'6\"", "150"),
        ("9'-6\"", "114"),
        ("6'", "72"),
        ("6 1/2'", "78"),
        ("12.54'", "150.48"),
        ("6.5\"", "6.5"),
        ("5'-6.5\"", "66.5"),
        ("1/16\"", "1/16"),
        ("5'-1/2\"", "60.5"),
        ("5' 1/2\"", "60.5"),
        ("-5'-6\"", "-66"),
        ("00'-0\"", "0"),
        ("0'-11 63/64\"", "767/64"),
        ("12''", "12"),
        ("5'-6''", "66"),
        ("2/4\"", "1/2"),
        ("0/8\"", "0"),
        ("6½\"", "6.5"),
        ("6 ½\"", "6.5"),
        ("½\"", "1/2"),
        ("12'-6½\"", "150.5"),
        ("12′–6½″", "150.5"),
        ("12’‑6 1⁄2”", "150.5"),
        ("\u{2212}3⁄4″", "-3/4"),
        ("4′", "48"),
    ] {
        assert_eq!(inches(text), Exact::from_text(value).unwrap(), "{text}");
    }
}

#[test]
fn plain_numbers() {
    for (text, value) in [
        ("6", "6"),
        ("6.5", "6.5"),
        ("2 1/2", "2.5"),
        ("6½", "6.5"),
        ("⅓", "1/3"),
        ("9/8", "9/8"),
        ("1/3", "1/3"),
        ("0", "0"),
        ("0005", "5"),
        ("-0", "0"),
        ("-2 1/2", "-2.5"),
        ("61/2", "30.5"),
        ("0.60", "0.6"),
        ("999999999999999999", "999999999999999999"),
    ] {
        assert_eq!(plain(text), Exact::from_text(value).unwrap(), "{text}");
    }
    assert!(number("-0").unwrap().signed);
    assert!(!number("0").unwrap().signed);
    assert_eq!(number("2 1/3").unwrap().denominator, Some(3));
    assert_eq!(number("2.5").unwrap().denominator, None);
}

#[test]
fn percent_dates_and_clock_times() {
    assert_eq!(number("8%").unwrap().what, What::Percent(Exact::from_text("0.08").unwrap()));
    assert_eq!(number("2.5 %").unwrap().what, What::Percent(Exact::from_text("0.025").unwrap()));
    assert_eq!(number("-1/2%").unwrap().what, What::Percent(Exact::from_text("-0.005").unwrap()));
    assert_eq!(number("2027-05-03").unwrap().what, What::Date(Date::new(2027, 5, 3).unwrap()));
    assert_eq!(number("16:30").unwrap().what, What::Clock(990));
    assert_eq!(number("8:00").unwrap().what, What::Clock(480));
    assert_eq!(number("24:00").unwrap().what, What::Clock(1440));
}

#[test]
fn what_is_refused_says_why_and_what_to_write() {
    use MisreadKind::*;
    for (text, kind, at, instead) in [
        ("1/0", ZeroDenominator, 2..3, None),
        ("6 1/0\"", ZeroDenominator, 4..5, None),
        ("1/3\"", NotOnTape, 0..3, None),
        ("6 1/10\"", NotOnTape, 2..6, None),
        ("6 5/10\"", NotOnTape, 2..6, Some("6 1/2\"")),
        ("3/128\"", NotOnTape, 0..5, None),
        ("6⅓\"", NotOnTape, 1..4, None),
        ("6 9/8\"", ImproperFraction, 2..5, Some("7 1/8\"")),
        ("9/8\"", ImproperFraction, 0..3, Some("1 1/8\"")),
        ("8/8\"", ImproperFraction, 0..3, Some("1\"")),
        ("4/3\"", ImproperFraction, 0..3, None),
        ("5'-11 9/8\"", ImproperFraction, 6..9, Some("6'-0 1/8\"")),
        ("6 9/8", ImproperFraction, 2..5, Some("7 1/8")),
        ("6 4/3'", ImproperFraction, 2..5, Some("7 1/3'")),
        ("5'-14\"", TwelveInches, 3..5, Some("6'-2\"")),
        ("-5'-14 1/2\"", TwelveInches, 4..10, Some("-6'-2 1/2\"")),
        ("5'-14.25\"", TwelveInches, 3..8, Some("6'-2.25\"")),
        ("5'-12\"", TwelveInches, 3..5, Some("6'-0\"")),
        ("5'6", NoInchMark, 2..3, Some("5'-6\"")),
        ("5'-6", NoInchMark, 3..4, Some("5'-6\"")),
        ("5' 6", NoInchMark, 3..4, Some("5'-6\"")),
        ("-5'-6 1/2", NoInchMark, 4..9, Some("-5'-6 1/2\"")),
        ("5'-14", NoInchMark, 3..5, None),
        ("5'-6'", FeetTwice, 4..5, Some("5'-6\"")),
        ("5.5'-3\"", BrokenFeet, 0..3, None),
        ("5 1/2'-3\"", BrokenFeet, 0..5, None),
        ("5-1/2\"", HyphenBeforeFraction, 1..2, Some("5 1/2\"")),
        ("12'-6-1/2\"", HyphenBeforeFraction, 5..6, Some("12'-6 1/2\"")),
        ("6 -1/2\"", SignInside, 2..3, None),
        ("12' -6\"", SignInside, 3..4, None),
        ("12'\u{2212}6\"", SignInside, 3..6, None),
        ("5-6", HyphenInside, 1..2, None),
        ("2027-05", HyphenInside, 4..5, None),
        ("–4\"", DashForMinus, 0..3, Some("-4\"")),
        ("5.", TrailingPoint, 1..2, Some("5")),
        ("5.\"", TrailingPoint, 1..2, Some("5\"")),
        ("-5.", TrailingPoint, 2..3, Some("-5")),
        (".5", LeadingPoint, 0..1, Some("0.5")),
        ("5'-.5\"", LeadingPoint, 3..4, Some("5'-0.5\"")),
        ("1.2.3", TwoPoints, 3..4, None),
        ("1.000.5", TwoPoints, 5..6, None),
        ("1000000000000000000", TooLarge, 0..19, None),
        ("0.1234567890123456789", TooLarge, 0..21, None),
        ("3281'", TooLarge, 0..5, None),
        ("2027-02-30", NoSuchDate, 0..10, None),
        ("2027-13-01", NoSuchDate, 0..10, None),
        ("1899-12-31", NoSuchDate, 0..10, None),
        ("2027/05/03", DateOrder, 0..10, Some("2027-05-03")),
        ("2027-5-3", DateOrder, 0..8, Some("2027-05-03")),
        ("13-05-2027", DateOrder, 0..10, Some("2027-05-13")),
        ("05/13/2027", DateOrder, 0..10, Some("2027-05-13")),
        ("03-05-2027", DateOrder, 0..10, None),
        ("05-05-2027", DateOrder, 0..10, Some("2027-05-05")),
        ("03.05.2027", DateOrder, 0..10, None),
        ("17.5.2027", DateOrder, 0..9, Some("2027-05-17")),
        ("2027.05.03", DateOrder, 0..10, Some("2027-05-03")),
        ("3/5/27", DateOrder, 0..6, None),
        ("25:00", NoSuchTime, 0..5, None),
        ("24:01", NoSuchTime, 0..5, None),
        ("16:60", NoSuchTime, 0..5, None),
        ("8:5", NoSuchTime, 0..3, None),
        ("16:30:00", NoSuchTime, 0..8, None),
        ("", NotANumber, 0..0, None),
        ("-", NotANumber, 1..1, None),
        ("--5", NotANumber, 1..2, None),
        ("+5", NotANumber, 0..1, None),
        ("6\"5", NotANumber, 2..3, None),
        ("6\"-5'", NotANumber, 2..5, None),
        ("٣", NotANumber, 0..2, None),
        ("1½½", NotANumber, 3..5, None),
        ("6.5 1/2\"", NotANumber, 3..8, None),
        ("5'%", NotANumber, 2..3, None),
        ("1/½", NotANumber, 2..4, None),
    ] {
        let misread = number(text).unwrap_err();
        assert_eq!((misread.kind, misread.at, misread.instead.as_deref()), (kind, at, instead), "{text}");
    }
}

#[test]
fn long_texts_are_answered_in_time() {
    for part in ["9", "–", "5.", "5-", "5'", "1/", "½", " ", "5. ", "-.5"] {
        assert!(number(&part.repeat(200_000)).is_err(), "{part}");
    }
}

proptest! {
    #[test]
    fn the_short_way_reads_what_the_long_way_does(text in "-?[0-9]{0,20}[\"'%.½ ]{0,2}|-?[0-9]{1,7}[\"'%]?") {
        if let Some(reading) = short(&text) {
            prop_assert_eq!(Ok(reading), read(&text, true));
        } else if text.bytes().all(|sign| sign.is_ascii_digit()) {
            prop_assert!(read(&text, true).is_err(), "a plain number is read the short way");
        }
    }

    #[test]
    fn any_text_is_answered_and_its_place_lies_inside(text in "[0-9./'\" %:½⅓′″–\u{2212}-]{0,12}|.*") {
        if let Err(misread) = number(&text) {
            prop_assert!(text.get(misread.at.clone()).is_some());
            if let Some(instead) = misread.instead {
                prop_assert!(number(&instead).is_ok(), "{instead}");
            }
        }
    }

    #[test]
    fn a_sign_only_turns_the_value(text in "[0-9]{1,3}('-[0-9]|' [0-9]| 1/2|[.][0-9]|½)?[\"'%]?") {
        prop_assume!(!text.starts_with('-'));
        let turned = number(&format!("-{text}"));
        match number(&text) {
            Ok(Reading { what: What::Plain(v), .. }) => prop_assert_eq!(turned.unwrap().what, What::Plain(v.negated().unwrap())),
            Ok(Reading { what: What::Length(v), .. }) => prop_assert_eq!(turned.unwrap().what, What::Length(v.negated().unwrap())),
            Ok(Reading { what: What::Percent(v), .. }) => prop_assert_eq!(turned.unwrap().what, What::Percent(v.negated().unwrap())),
            Ok(other) => prop_assert!(false, "{other:?}"),
            Err(misread) => prop_assert_eq!(turned.unwrap_err().kind, misread.kind),
        }
    }
}

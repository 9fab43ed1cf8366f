//! What can be found when words are given their meaning.

use crate::{problem::Rule, rule};

rule!(KIND_UNKNOWN, "kind-unknown", Error, "a block of a kind nobody knows");
rule!(CLAUSE_UNKNOWN, "clause-unknown", Error, "a clause the kind of block does not have");
rule!(CLAUSE_TWICE, "clause-twice", Error, "a clause or part written twice");
rule!(CLAUSE_MISSING, "clause-missing", Error, "a clause or part the block cannot do without");
rule!(CLAUSES_EXCLUDE, "clauses-exclude", Error, "two clauses that cannot stand together");
rule!(NAME_UNKNOWN, "name-unknown", Error, "a name nothing in the job has");
rule!(NAME_TWICE, "name-twice", Error, "one name for two things");
rule!(NAME_MISSING, "name-missing", Error, "a block without its name or title");
rule!(NAME_RESERVED, "name-reserved", Error, "a name that is a word of the language");
rule!(NAME_MISFIT, "name-misfit", Error, "a name of another kind of thing than is wanted");
rule!(NAMES_ALIKE, "names-alike", Warning, "two names that look alike");
rule!(HEAD_EXTRA, "head-extra", Error, "more in the head of a block than belongs there");
rule!(BLOCK_MISSING, "block-missing", Error, "a head without the block it needs, or a block where none belongs");
rule!(PROPERTY_UNKNOWN, "property-unknown", Error, "a property the thing does not have");
rule!(LEG_UNKNOWN, "leg-unknown", Error, "a leg the wall does not have");
rule!(CHOICE_UNKNOWN, "choice-unknown", Error, "a word that is not one of the few wanted here");
rule!(VALUE_MISSING, "value-missing", Error, "a word with nothing after it");
rule!(VALUE_EXTRA, "value-extra", Error, "more after a word than belongs there");
rule!(VALUE_MISFIT, "value-misfit", Error, "another sort of value than is wanted");
rule!(UNIT_MISSING, "unit-missing", Error, "a number without its unit");
rule!(UNIT_UNKNOWN, "unit-unknown", Error, "a word after a number that is no unit");
rule!(UNIT_TWICE, "unit-twice", Error, "two units for one number");
rule!(UNIT_GLUED, "unit-glued", Error, "a number and its unit run together");
rule!(DIMENSION_WRONG, "dimension-wrong", Error, "a length where a weight is wanted, and the like");
rule!(NUMBER_UNREADABLE, "number-unreadable", Error, "a number that has no one reading");
rule!(SIDE_BY_SIDE, "side-by-side", Error, "two values with nothing between them");
rule!(FEET_MINUS_INCHES, "feet-minus-inches", Warning, "inches taken from feet, written like one length");
rule!(SIGN_WRONG, "sign-wrong", Error, "zero or less where more is wanted");
rule!(COUNT_BROKEN, "count-broken", Error, "a count that is not whole");
rule!(TOO_LARGE, "too-large", Error, "a quantity beyond what is computed with");
rule!(DIVIDED_BY_ZERO, "divided-by-zero", Error, "a division by nothing");
rule!(NESTED_DEEP, "nested-deep", Error, "parentheses inside parentheses, too deep");
rule!(RANGE_BACKWARDS, "range-backwards", Error, "a range that ends before it begins");
rule!(DATE_UNREADABLE, "date-unreadable", Error, "no date where one is wanted");
rule!(CIRCLE, "circle", Error, "values that are made from each other in a circle");
rule!(JOB_COUNT, "job-count", Error, "no job block, or more than one");
rule!(VERB_UNKNOWN, "verb-unknown", Error, "a step that does something nobody knows");
rule!(VERB_MISFIT, "verb-misfit", Error, "a step that does to a thing what cannot be done to it");
rule!(ACCEPT_UNREADABLE, "accept-unreadable", Error, "an acceptance that does not say what, on what and why");
rule!(ACCEPT_ERROR, "accept-error", Error, "an error cannot be accepted");
rule!(ACCEPT_IDLE, "accept-idle", Warning, "an acceptance of something that is not found");

/// All of them.
pub static ALL: &[&Rule] = &[
    &KIND_UNKNOWN,
    &CLAUSE_UNKNOWN,
    &CLAUSE_TWICE,
    &CLAUSE_MISSING,
    &CLAUSES_EXCLUDE,
    &NAME_UNKNOWN,
    &NAME_TWICE,
    &NAME_MISSING,
    &NAME_RESERVED,
    &NAME_MISFIT,
    &NAMES_ALIKE,
    &HEAD_EXTRA,
    &BLOCK_MISSING,
    &PROPERTY_UNKNOWN,
    &LEG_UNKNOWN,
    &CHOICE_UNKNOWN,
    &VALUE_MISSING,
    &VALUE_EXTRA,
    &VALUE_MISFIT,
    &UNIT_MISSING,
    &UNIT_UNKNOWN,
    &UNIT_TWICE,
    &UNIT_GLUED,
    &DIMENSION_WRONG,
    &NUMBER_UNREADABLE,
    &SIDE_BY_SIDE,
    &FEET_MINUS_INCHES,
    &SIGN_WRONG,
    &COUNT_BROKEN,
    &TOO_LARGE,
    &DIVIDED_BY_ZERO,
    &NESTED_DEEP,
    &RANGE_BACKWARDS,
    &DATE_UNREADABLE,
    &CIRCLE,
    &JOB_COUNT,
    &VERB_UNKNOWN,
    &VERB_MISFIT,
    &ACCEPT_UNREADABLE,
    &ACCEPT_ERROR,
    &ACCEPT_IDLE,
];

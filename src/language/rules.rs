//! What can be found in a text before anyone knows what its words mean.

use crate::{problem::Rule, rule};

rule!(NOT_TEXT, "not-text", Error, "the file is not text in UTF-8");
rule!(NOTHING_HERE, "nothing-here", Error, "the file holds no job");
rule!(ODD_CHARACTER, "odd-character", Error, "a character that has no place outside strings and comments");
rule!(HIDDEN_CHARACTER, "hidden-character", Warning, "a character in a string or comment that does not show");
rule!(LINE_TOO_LONG, "line-too-long", Error, "a line beyond the longest that is read");
rule!(WORD_TOO_LONG, "word-too-long", Error, "a word beyond the longest that is read");
rule!(STRING_UNCLOSED, "string-unclosed", Error, "a string is opened and never closed");
rule!(STRING_RUN_ON, "string-run-on", Error, "something follows a string that cannot");
rule!(BLOCK_UNCLOSED, "block-unclosed", Error, "a block is opened and never closed");
rule!(BRACE_STRAY, "brace-stray", Error, "a closing brace closes nothing");
rule!(BRACE_NEXT_LINE, "brace-next-line", Error, "the opening brace is not on the line of its head");
rule!(DECIMAL_COMMA, "decimal-comma", Error, "a comma between two figures");
rule!(INCLUDE_MISSING, "include-missing", Error, "an included file is not there or cannot be read");
rule!(INCLUDE_OUTSIDE, "include-outside", Error, "an included file lies outside the folder of the job");
rule!(INCLUDE_CIRCLE, "include-circle", Error, "files include each other in a circle");
rule!(INCLUDE_DEEP, "include-deep", Error, "more includes than are followed");

/// All of them.
pub static ALL: &[&Rule] = &[
    &NOT_TEXT,
    &NOTHING_HERE,
    &ODD_CHARACTER,
    &HIDDEN_CHARACTER,
    &LINE_TOO_LONG,
    &WORD_TOO_LONG,
    &STRING_UNCLOSED,
    &STRING_RUN_ON,
    &BLOCK_UNCLOSED,
    &BRACE_STRAY,
    &BRACE_NEXT_LINE,
    &DECIMAL_COMMA,
    &INCLUDE_MISSING,
    &INCLUDE_OUTSIDE,
    &INCLUDE_CIRCLE,
    &INCLUDE_DEEP,
];

//! From text to a lossless tree: tokens, blocks and clauses, recovery, includes, and the formatter.
//!
//! This room knows shapes, never the list of kinds or clauses. Reading cannot fail: every byte is kept, a bad line costs
//! no more than itself, and what is wrong comes back as findings beside the tree. It is the only room that knows pest.

mod format;
mod include;
pub mod limits;
pub mod rules;
mod scan;
mod shapes;
mod tree;

pub use format::{Formatted, form, format};
pub use include::{Loaded, Unread, load, load_found, load_text, unquote};
pub use limits::Limits;
pub use tree::{Block, Body, Clause, Tok, Token, TokenKind, Tree, parse, parse_part};

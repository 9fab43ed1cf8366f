//! stub
use super::{Drawing, Of};
pub fn draw(_of: &Of) -> Vec<Drawing> { Vec::new() }

//! The limits that keep any input bounded, each tested at, below and above its value, and each to be changed with
//! `--limit NAME=NUMBER`.

/// The limits of one run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Limits {
    /// Longest line, in bytes.
    pub line: usize,
    /// Longest word, in bytes.
    pub word: usize,
    /// Parentheses inside parentheses.
    pub depth: usize,
    /// Includes inside includes.
    pub chain: usize,
    /// Included files in all.
    pub includes: usize,
    /// Holes, bars and the like made by one job.
    pub parts: u64,
    /// Waits between steps that follow by themselves.
    pub waits: usize,
    /// Pairs of bars, or of parts of them, compared along one wall.
    pub pairs: u64,
    /// Findings shown in words.
    pub shown: usize,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits {
            line: 1 << 20,
            word: 255,
            depth: 128,
            chain: 32,
            includes: 10_000,
            parts: 1_000_000,
            waits: 1_000_000,
            pairs: 20_000_000,
            shown: 100,
        }
    }
}

impl Limits {
    /// The names that can be set, with what they bound.
    pub const NAMES: [(&'static str, &'static str); 9] = [
        ("line", "bytes in one line"),
        ("word", "bytes in one word"),
        ("depth", "parentheses inside parentheses"),
        ("chain", "includes inside includes"),
        ("includes", "included files in all"),
        ("parts", "holes, bars and the like made by one job"),
        ("waits", "waits between steps that follow by themselves"),
        ("pairs", "pairs of bars, or of parts of them, compared along one wall"),
        ("shown", "findings shown in words"),
    ];

    /// Each limit: its name, its value, what it bounds.
    pub fn each(&self) -> impl Iterator<Item = (&'static str, u64, &'static str)> {
        Limits::NAMES.into_iter().map(|(name, bounds)| {
            let value = match name {
                "line" => self.line as u64,
                "word" => self.word as u64,
                "depth" => self.depth as u64,
                "chain" => self.chain as u64,
                "includes" => self.includes as u64,
                "parts" => self.parts,
                "waits" => self.waits as u64,
                "pairs" => self.pairs,
                _ => self.shown as u64,
            };
            (name, value, bounds)
        })
    }

    /// Sets one limit by name; false when there is no such limit.
    pub fn set(&mut self, name: &str, value: u64) -> bool {
        let size = usize::try_from(value).unwrap_or(usize::MAX);
        match name {
            "line" => self.line = size.min((1 << 24) - 1),
            "word" => self.word = size,
            "depth" => self.depth = size.min(10_000),
            "chain" => self.chain = size.min(1_000),
            "includes" => self.includes = size,
            "parts" => self.parts = value,
            "waits" => self.waits = size,
            "pairs" => self.pairs = value,
            "shown" => self.shown = size,
            _ => return false,
        }
        true
    }
}

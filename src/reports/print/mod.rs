//! The printers, one a file; each prints any [`Paper`](super::Paper) to a writer and keeps no row.
//!
//! A printer writes in whole lines, but many of them: hand it a `BufWriter`.
